"""What is put on each end of each wire: terminal, barrel, length to strip, seal, sleeve, label.

What the plan says comes first (threads of studs, `posts` of parts, pins of plugs), then what such parts
usually have (`tables.terminals`), said as such; what nobody knows is said as unknown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.checks import ALL_POSTS
from loomwright.plan.model import Part
from loomwright.plan.pieces import BODY, Piece
from loomwright.source import Source
from loomwright.tables import terminals as table

from .record import Assessment, WireFigure
from .sizes import place_of, zones_of

#: Whence a terminal is known.
PLAN, USUAL, NOBODY = "plan", "usual", ""


@dataclass(frozen=True, slots=True)
class Terminal:
    """A terminal: its kind (`tables.terminals.KINDS`) and size ("M8", "6.3 mm"; "" if it has none).

    `whence` is "plan", "usual" (what such parts have) or "" (nobody knows); `unknown` says what to look up.
    """

    kind: str
    size: str = ""
    whence: str = PLAN
    unknown: str = ""

    @property
    def words(self) -> str:
        """In words: "ring M8", "ring, thread not known"."""
        missing = ", thread not known" if self.kind == table.RING and not self.size else ""
        return f"{table.KINDS[self.kind]}{' ' * bool(self.size)}{self.size}{missing}"


@dataclass(frozen=True, slots=True, kw_only=True)
class WireEnd:
    """One end of one wire.

    Attributes
    ----------
    wire, side, point, text : str
        Its id; "a" (where its current comes from) or "b"; the point it ends at, and that as typed.
    place : str
        "" if nobody knows.
    terminal : Terminal
    barrel : str
        Which barrel takes the cable; "" if nothing is known.
    strip_mm : float or None
        How far to strip. [mm]
    seal, sleeve : str
        In words; "" for none.
    pin : str
        Of a plug, "" elsewhere.
    holder : str
        A fuse stands here in a holder of its own: its type and rating; `link` is what its other side gets.
    shared : tuple of str
        Other wires on the same terminal; of a splice all that it joins.
    label : str
        What is printed on the wire at both of its ends: its number, or its id as long as it has none.
    label_ends : str
        Beside it: from > to.
    made : bool
        False for the vehicle maker's own and for what is there already.
    """

    wire: str
    side: str
    point: str
    text: str
    place: str
    terminal: Terminal
    barrel: str
    strip_mm: float | None
    seal: str
    sleeve: str
    pin: str
    holder: str
    link: Terminal | None
    shared: tuple[str, ...]
    label: str
    label_ends: str
    made: bool

    @property
    def source(self) -> Source | None:
        """Where the terminal comes from; None for the plan itself."""
        return None if self.terminal.whence == PLAN else table.USUAL_SOURCE


def listed_wires(job: Assessment) -> Iterator[WireFigure]:
    """Give the wires that lists hold: no joints of 0 m, nothing inside a box."""
    return (wire for wire in job.wires.values() if not wire.inner and wire.length_m != 0.0)


def label_of(job: Assessment, wire: str) -> str:
    """Return what a wire is labelled with: its number, else its id."""
    return str(job.plan.labels.numbers.get(wire) or wire)


def ends_of(job: Assessment) -> dict[str, tuple[WireEnd, WireEnd]]:
    """Return both ends of every listed wire, by its id.

    Parameters
    ----------
    job : Assessment

    Returns
    -------
    dict
        The end where the current comes from, and the other one.
    """
    pieces = {piece.id: piece for piece in job.wiring.pieces()}
    maker = _Maker(job)
    return {
        wire.id: (maker.end(wire, pieces[wire.id], "a"), maker.end(wire, pieces[wire.id], "b"))
        for wire in listed_wires(job)
    }


class _Maker:
    """Makes the ends of the wires of one van."""

    def __init__(self, job: Assessment) -> None:
        self.job, self.wiring = job, job.wiring
        self.listed = {wire.id for wire in listed_wires(job)}
        self.wet = {
            id: bool(zones_of(job.plan, place) & table.WET_ZONES) for id, place in job.plan.places.items()
        }

    def end(self, wire: WireFigure, piece: Piece, side: str) -> WireEnd:
        """Return one end."""
        point, text = (piece.a, piece.a_text) if side == "a" else (piece.b, piece.b_text)
        place = self._place(point)
        own = self._fitting(self._terminal(point, text), wire, point)
        terminal, link, holder = self._held(wire, piece, side, own)
        area, wet = wire.area_mm2, self.wet.get(place, False)
        crimped = area is not None and terminal.kind in table.STRIP_MM
        made = not wire.factory and self.wiring.runs[wire.run].run.status == "new"
        return WireEnd(
            wire=wire.id,
            side=side,
            point=point,
            text=text,
            place=place,
            terminal=terminal,
            barrel=table.barrel(terminal.kind, area or 0.0, wire.gauge) if crimped and made else "",
            strip_mm=table.strip_mm(terminal.kind, area) if area is not None and made else None,
            seal=self._seal(wire, terminal, wet) if made else "",
            sleeve=self._sleeve(wire, terminal, "" if link else point, wet) if made else "",
            pin=self.wiring.terminal_of(point) if terminal.kind == table.PIN else "",
            holder=holder,
            link=link,
            shared=self._shared(wire.id, point),
            label=label_of(self.job, wire.id),
            label_ends=f"{wire.from_} > {wire.to}",
            made=made,
        )

    def _place(self, point: str) -> str:
        """Return where a point is; a joint lies at the first load whose leg has no length."""
        hanging = (one for one in self.wiring.by_point.get(point, ()) if one.id not in self.listed)
        near = [point, *(one.b if one.a == point else one.a for one in hanging if "~" in point)]
        return next((place for one in near if (place := place_of(self.wiring, one)) is not None), "")

    # --- terminals -------------------------------------------------------------------------------------

    def _terminal(self, point: str, text: str) -> Terminal:
        """Return what the thing at a point takes; of a composite what its port does, by the end as typed."""
        if point in self.job.plan.studs:
            return Terminal(table.RING, self.job.plan.studs[point].thread)
        if point.endswith(f"@{BODY}"):
            return Terminal(table.RING, "", PLAN, "thread of the bolt on the body")
        part_id = self.wiring.part_of(point)
        if part_id is None:
            return Terminal(table.SPLICE) if "~" in point else Terminal(table.UNKNOWN, "", NOBODY, point)
        if "/" in part_id:
            unit, _, port = text.partition(".")
            posts = self.job.plan.parts[unit].posts if unit in self.job.plan.parts else {}
            typed = posts.get(port) or posts.get(ALL_POSTS)
            return _typed(typed) if typed else Terminal(table.UNKNOWN, "", NOBODY, f"what {text} takes")
        return self._of_part(part_id, self.wiring.parts[part_id], self.wiring.terminal_of(point))

    def _of_part(self, id: str, part: Part, name: str) -> Terminal:
        typed = part.posts.get(name) or part.posts.get(ALL_POSTS)
        if typed:
            return _typed(typed)
        kind = table.APART.get((part.kind, name)) or table.USUAL.get(part.kind, table.UNKNOWN)
        if part.kind == "fuse_box" and name.isdigit():
            kind = table.WAYS.get(str(part.fuse_type), table.UNKNOWN)
        where = f"{id}.{name}" if name else id
        if kind == table.UNKNOWN:
            return Terminal(kind, "", NOBODY, f"what {where} takes")
        if kind == table.RING:
            return Terminal(kind, "", USUAL, f"thread of {where}")
        certain = part.kind in ("plug", "splice")
        return Terminal(kind, table.TAB if kind == table.RECEPTACLE else "", PLAN if certain else USUAL)

    def _fitting(self, terminal: Terminal, wire: WireFigure, point: str) -> Terminal:
        """A large cable has no flat receptacle: it gets a ring."""
        if terminal.kind == table.RECEPTACLE and terminal.whence == USUAL and _is_large(wire):
            return Terminal(table.RING, "", USUAL, f"thread of {point}")
        return terminal

    def _held(
        self, wire: WireFigure, piece: Piece, side: str, own: Terminal
    ) -> tuple[Terminal, Terminal | None, str]:
        """Return the terminal, what is beyond a fuse in a holder of its own there, and the holder."""
        for spot, fuse in zip(piece.spots, wire.fuses, strict=False):
            if spot.side == side and spot.way is None:
                rating = "" if fuse.rating_a is None else f"{fuse.rating_a:g} A "
                words = f"{rating}{fuse.kind.replace('_', ' ')}".strip() or "type not known"
                if fuse.kind == "post":
                    return Terminal(table.RING, "", USUAL, f"thread of the fuse in {wire.id}"), None, words
                if table.WAYS.get(fuse.kind) == table.RING or _is_large(wire):
                    return Terminal(table.RING, "", USUAL, f"thread of the holder in {wire.id}"), own, words
                if not fuse.kind:
                    return Terminal(table.UNKNOWN, "", NOBODY, "type of the fuse"), own, words
                return Terminal(table.SPLICE, "", USUAL), own, words
        return own, None, ""

    def _shared(self, wire: str, point: str) -> tuple[str, ...]:
        found = (one.id for one in self.wiring.by_point.get(point, ()) if one.id != wire)
        return tuple(id for id in found if id in self.listed)

    # --- seals and sleeves -----------------------------------------------------------------------------

    def _seal(self, wire: WireFigure, terminal: Terminal, wet: bool) -> str:
        if terminal.kind != table.PIN or not wet:
            return ""
        thick = self.job.loom.thick_mm(wire.id)
        return f"single-wire seal for {thick:g} mm" if thick else "single-wire seal"

    def _sleeve(self, wire: WireFigure, terminal: Terminal, point: str, wet: bool) -> str:
        if terminal.kind not in (table.RING, table.SPLICE, table.RECEPTACLE):
            return ""
        thick = self.job.loom.thick_mm(wire.id)
        mm = table.shrink_mm(thick) if thick else None
        size = "" if mm is None else f" {mm:g} mm"
        large = wire.area_mm2 is not None and wire.area_mm2 >= table.LUG_FROM_MM2
        words = f"adhesive-lined heat-shrink{size}" if wet else ""
        if not wet and (terminal.kind == table.SPLICE or large):
            words = f"heat-shrink{size}"
        part = self.wiring.part_of(point)
        battery = part is not None and self.wiring.parts[part].kind in ("battery", "vehicle_battery")
        cap = "cap over the post" if battery and self.wiring.terminal_of(point) == "plus" else ""
        return ", ".join(word for word in (words, cap) if word)


def _is_large(wire: WireFigure) -> bool:
    return wire.area_mm2 is not None and wire.area_mm2 > table.LARGEST_ON_TAB_MM2


def _typed(text: str) -> Terminal:
    """Return the terminal that a plan types: "M8", "6.3 mm", "ferrule"; any other text is a connector's."""
    word = text.strip()
    if re.fullmatch(r"[Mm] ?\d+(\.\d+)?", word):
        return Terminal(table.RING, word.upper().replace(" ", ""))
    if re.fullmatch(r"\d+(\.\d+)? ?mm", word):
        return Terminal(table.RECEPTACLE, f"{word.removesuffix('mm').strip()} mm")
    if word.casefold() in (table.FERRULE, table.SPLICE, table.BARE):
        return Terminal(word.casefold())
    if word.casefold() == table.RING:
        return Terminal(table.RING, "", PLAN, "its thread")
    return Terminal(table.OWN, word)


@dataclass(frozen=True, slots=True)
class Joined:
    """A splice: where it is, which wires meet in it, and what tails of parts hang on it. [mm²]"""

    point: str
    place: str
    wires: tuple[str, ...]
    tails: tuple[str, ...]
    area_mm2: float | None


def splices_of(job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]]) -> tuple[Joined, ...]:
    """Return the splices of a van, in the order in which its wires come to them.

    `area_mm2` is the sum of all wires in one; None if one of them is not known. Tails: loads that hang on a
    joint by legs of no length.
    """
    found: dict[str, dict[str, None]] = {}
    for pair in ends.values():
        for end in pair:
            if end.terminal.kind == table.SPLICE and not end.holder:
                found.setdefault(end.point, {})[end.wire] = None
    return tuple(_joined(job, ends, point, tuple(wires)) for point, wires in found.items())


def _joined(
    job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]], point: str, wires: tuple[str, ...]
) -> Joined:
    areas = [job.wires[wire].area_mm2 for wire in wires]
    known = [area for area in areas if area is not None]
    hanging = [piece for piece in job.wiring.by_point.get(point, ()) if piece.id not in ends]
    tails = [part for piece in hanging if (part := _other(job, piece, point)) is not None]
    own = job.wiring.part_of(point)
    if own is not None and job.wiring.parts[own].kind != "splice":
        tails = [own]
    place = next((end.place for wire in wires for end in ends[wire] if end.point == point), "")
    return Joined(
        point, place, wires, tuple(dict.fromkeys(tails)), sum(known) if len(known) == len(areas) else None
    )


def _other(job: Assessment, piece: Piece, point: str) -> str | None:
    return job.wiring.part_of(piece.b if piece.a == point else piece.a)


__all__ = ["Joined", "Terminal", "WireEnd", "ends_of", "label_of", "listed_wires", "splices_of"]
