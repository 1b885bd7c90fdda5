"""What is to be ordered: parts, cable, terminals, fuses, sleeves, tube, grommets, with spares.

What exists already is left out. Terminals come from the ends of wires, cable from the cut list, tube from
the sections of the loom. Spares are common practice.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Quantity
from loomwright.tables import terminals as table
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.tables.work import (
    SHRINK_M,
    SPARE_FUSES,
    SPARE_LARGE_FUSES,
    SPARE_TERMINALS,
    TUBE_RESERVE,
)

from .covers import cover_in
from .cut_list import CutList
from .ends import Terminal, WireEnd
from .holes import Hole
from .record import Assessment, FuseFigure, WireFigure
from .weights import VEHICLES_OWN

#: The groups of an order, in its order.
GROUPS = ("parts", "cable", "terminals", "seals and sleeves", "fuses", "tube and grommets", "studs", "labels")
#: Fields that a part is ordered by, and what goes before them.
_FACTS = (
    "voltage", "chemistry", "capacity", "power", "current", "rating", "regulation", "ways", "pins", "poles",
    "fuse_type", "contact", "coil", "peak", "transfer", "charge_current", "ip",
)  # fmt: skip
_CALLED = {"coil": "coil ", "peak": "peak ", "transfer": "passes ", "rating": "rated ", "current": "gives "}
#: Fuses that are bolted in or sit on a post.
_LARGE = ("bolted", "high_breaking", "post")
_UNKNOWN = "terminals not known"
_NO_GOODS = frozenset({"splice", "appliance", *VEHICLES_OWN})


@dataclass(frozen=True, slots=True)
class Ordered:
    """One line of an order.

    Attributes
    ----------
    group, what : str
    needed : float
        How many, or how many metres.
    spare : float
        On top.
    unit : str
        "" for pieces, "m" for metres.
    note : str
        Which reels, which part, what to look up first.
    """

    group: str
    what: str
    needed: float
    spare: float = 0.0
    unit: str = ""
    note: str = ""

    @property
    def order(self) -> float:
        """What is ordered."""
        return self.needed + self.spare


def order_of(
    job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]], cuts: CutList, holes: Iterable[Hole]
) -> tuple[Ordered, ...]:
    """Return what is to be ordered, group by group.

    Parameters
    ----------
    job : Assessment
    ends, cuts, holes
        As `ends_of`, `cut_list` and `hole_list` give them.
    """
    made = [end for pair in ends.values() for end in pair if end.made]
    return (
        *_parts(job),
        *_cable(cuts),
        *_terminals(job, made),
        *_sleeves(made),
        *_fuses(job, made),
        *_tube(job),
        *_grommets(holes),
        *_studs(job),
        Ordered("labels", "wire labels, two on each wire", len(made)),
    )


def _parts(job: Assessment) -> Iterator[Ordered]:
    for id, part in job.plan.parts.items():
        if part.status == "new" and part.kind not in _NO_GOODS:
            count = part.count if isinstance(part.count, int) else 1
            name = part.name or id.replace("_", " ")
            words = ", ".join(word for word in (part.type, part.order, _facts(part)) if word)
            yield Ordered("parts", f"{name} ({part.kind.replace('_', ' ')})", count, note=words)


def _facts(part: Part) -> str:
    """Return what a part has to be, as the plan says it: what a substitute has to have too."""
    found = []
    for name in _FACTS:
        value = getattr(part, name)
        text = value.typed if isinstance(value, Quantity) else value if isinstance(value, str | int) else ""
        if text and name in part.typed:
            unit = f" {name}" if name in ("ways", "pins", "poles") else ""
            found.append(f"{_CALLED.get(name, '')}{str(text).replace('_', ' ')}{unit}")
    return ", ".join(found)


def _cable(cuts: CutList) -> Iterator[Ordered]:
    for lot in cuts.lots:
        many = Counter(lot.buy_m)
        reels = ", ".join(f"{n} × {m:g} m" for m, n in sorted(many.items(), reverse=True))
        what = f"cable {lot.stock.size} {lot.stock.colour}, {lot.stock.sort}"
        yield Ordered("cable", what, lot.cut_m, lot.bought_m - lot.cut_m, "m", reels)


def _terminals(job: Assessment, ends: Iterable[WireEnd]) -> Iterator[Ordered]:
    """Give terminals by kind, size and barrel; a splice counts once for all of its wires."""
    counted: Counter[str] = Counter()
    look_up: dict[str, dict[str, None]] = {}
    spliced: set[str] = set()
    for end in ends:
        for terminal in filter(None, (end.terminal, end.link)):
            if terminal.kind == table.SPLICE and not end.holder:
                if end.point in spliced:
                    continue
                spliced.add(end.point)
            what = _named(terminal, job.wires[end.wire])
            counted[what] += 1
            if terminal.unknown:
                look_up.setdefault(what, {})[terminal.unknown] = None
    for what, count in sorted(counted.items()):
        notes = list(look_up.get(what, ()))
        more = f" and {len(notes) - 4} more" if len(notes) > 4 else ""
        note = f"look up: {', '.join(notes[:4])}{more}" if notes else ""
        spare = 0 if what in (_UNKNOWN, table.KINDS[table.OWN]) else math.ceil(SPARE_TERMINALS * count)
        yield Ordered("terminals", what, count, spare, note=note)


def _named(terminal: Terminal, wire: WireFigure) -> str:
    if terminal.kind == table.UNKNOWN:
        return _UNKNOWN
    if wire.area_mm2 is None or terminal.kind not in table.STRIP_MM:
        return terminal.words
    return f"{terminal.words}, for {table.barrel(terminal.kind, wire.area_mm2, wire.gauge)}"


def _sleeves(ends: Iterable[WireEnd]) -> Iterator[Ordered]:
    ends = list(ends)
    counted = Counter(word for end in ends for word in end.sleeve.split(", ") if word)
    for what, count in sorted(counted.items()):
        if "heat-shrink" in what:
            metres = count * SHRINK_M
            note = f"{count} × {SHRINK_M * 1e3:g} mm"
            yield Ordered("seals and sleeves", what, metres, math.ceil(metres) - metres, "m", note)
        else:
            yield Ordered("seals and sleeves", what, count)
    for what, count in sorted(Counter(end.seal for end in ends if end.seal).items()):
        yield Ordered("seals and sleeves", what, count, math.ceil(SPARE_TERMINALS * count))


def _fuses(job: Assessment, ends: Iterable[WireEnd]) -> Iterator[Ordered]:
    made = {end.wire for end in ends}
    fitted: dict[str, FuseFigure] = {
        f"{box}.main": fuse
        for box, fuse in job.main_fuses.items()
        if "/" not in box and job.wiring.parts[box].status == "new"
    }
    for piece in job.wiring.pieces():
        if piece.id in made:
            for spot, fuse in zip(piece.spots, job.wires[piece.id].fuses, strict=False):
                if "/" not in fuse.at:
                    fitted[spot.way or f"{piece.id}:{spot.side}"] = fuse
    counted = Counter((fuse.kind, fuse.rating_a) for fuse in fitted.values())
    for (kind, rating), count in sorted(counted.items(), key=lambda item: (item[0][0], item[0][1] or 0.0)):
        spare = SPARE_LARGE_FUSES if kind in _LARGE else SPARE_FUSES
        amps = "rating not known" if rating is None else f"{rating:g} A"
        known = FUSE_TYPES.get(kind)
        says = "type not known" if known is None else known.says
        odd = known is not None and known.ratings_a and rating is not None and rating not in known.ratings_a
        note = "no standard rating of this type" if odd else ""
        yield Ordered("fuses", f"fuse {amps}, {says}", count, 0 if kind == "breaker" else spare, note=note)
    holders = Counter(end.holder.split(" A ")[-1] for end in ends if end.holder)
    for holder, count in sorted(holders.items()):
        yield Ordered("fuses", f"holder in the cable, {holder}", count)


def _tube(job: Assessment) -> Iterator[Ordered]:
    """Give tube by its bore, braided sleeve, and tape: what the stretches of the loom are covered with."""
    metres: dict[str, float] = {}
    for section in job.loom.sections:
        cover = cover_in(job, section.path, section.thick_mm, len(section.wires))
        if cover.kind == "tube":
            what = (
                "wrap, thicker than any tube" if cover.bore_mm is None else f"split tube {cover.bore_mm:g} mm"
            )
        else:
            what = {"sleeve": "braided sleeve", "tape": "loom under tape"}.get(cover.kind, "")
        if what:
            metres[what] = metres.get(what, 0.0) + section.metres
    for what, long_m in sorted(metres.items()):
        needed = long_m * (1.0 + TUBE_RESERVE)
        yield Ordered("tube and grommets", what, long_m, math.ceil(needed) - long_m, "m")


def _grommets(holes: Iterable[Hole]) -> Iterator[Ordered]:
    paths: dict[float, list[str]] = {}
    for hole in holes:
        if hole.grommet_mm is not None:
            paths.setdefault(hole.grommet_mm, []).append(hole.path)
    for bore, names in sorted(paths.items()):
        note = f"{', '.join(names)}; outside diameter by its hole"
        yield Ordered("tube and grommets", f"grommet or gland, bore {bore:g} mm", len(names), note=note)


def _studs(job: Assessment) -> Iterator[Ordered]:
    threads = Counter(stud.thread for stud in job.plan.studs.values() if stud.factory is not True)
    for thread, count in sorted(threads.items()):
        yield Ordered(
            "studs", f"stud {thread} with nut and toothed washer", count, note="seal after tightening"
        )


__all__ = ["GROUPS", "Ordered", "order_of"]
