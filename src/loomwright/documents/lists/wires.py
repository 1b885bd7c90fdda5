"""The lists of wires: what is cut from which reel, their ends, plugs, splices, earth points."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from loomwright.assessment.cut_list import CutList, Lot
from loomwright.assessment.earths import EarthPoint
from loomwright.assessment.ends import USUAL, Joined, WireEnd
from loomwright.assessment.plugs import Plug
from loomwright.loom.cutting import REEL_SOURCE
from loomwright.tables.earth_points import TORQUE_SOURCE
from loomwright.tables.terminals import CRIMP_SOURCE, SEAL_SOURCE, STRIP_SOURCE, USUAL_SOURCE

from .record import Column, Face, List, Row


def cut_table(cuts: CutList) -> List:
    """Return the pieces to cut, reel by reel, the longest first."""
    rows = [row for lot in cuts.lots for row in _cut_rows(lot)]
    notes = [f"In all {cuts.cut_m:.1f} m in {len(rows)} pieces."]
    if any(one.basis != "plan" for lot in cuts.lots for one in lot.cuts):
        notes.append("Where the length is not from the plan, lay a string before cutting.")
    if cuts.kept:
        notes.append(f"Not cut, as they are there or have no length: {', '.join(cuts.kept)}.")
    return List(
        "cuts",
        "Cut list",
        "By reel, the longest first: cut in this order, and put both labels on before the wire goes into the"
        " van.",
        (
            Column("size", "Size", wide=1.0),
            Column("colour", "Colour", wide=0.7),
            Column("sort", "Insulation", wide=1.5),
            Column("reel", "Reel", wide=0.5),
            Column("labels", "Label", wide=1.2),
            Column("wires", "Wire", of="wire", wide=1.2),
            Column("length_m", "Cut", "m", wide=0.6),
            Column("from", "From", wide=1.4),
            Column("to", "To", wide=1.4),
            Column("length_from", "Length from", wide=0.8),
        ),
        tuple(rows),
        tuple(notes),
        heads=4,
    )


def _cut_rows(lot: Lot) -> Iterator[Row]:
    by_wire = {one.wires[0]: one for one in lot.cuts}
    for number, reel in enumerate(lot.reels, 1):
        for wire, _ in reel.cuts:
            one = by_wire[wire]
            yield (
                lot.stock.size, lot.stock.colour, lot.stock.sort, number, one.labels, one.wires, one.metres,
                one.from_, one.to, one.basis,
            )  # fmt: skip


def reel_table(cuts: CutList) -> List:
    """Return what is bought of each cable."""
    rows = [
        (
            lot.stock.size, lot.stock.colour, lot.stock.sort, len(lot.cuts), lot.cut_m,
            reels_words(lot.buy_m), lot.bought_m, lot.bought_m - lot.cut_m,
        )
        for lot in cuts.lots
    ]  # fmt: skip
    return List(
        "reels",
        "Cable to buy",
        "Metres to cut with the plan's reserve, in reels as they are sold; pieces are laid onto reels the"
        " longest first, each where it still fits.",
        (
            Column("size", "Size"),
            Column("colour", "Colour", wide=0.7),
            Column("sort", "Insulation", wide=1.5),
            Column("pieces", "Pieces", wide=0.6),
            Column("cut_m", "Cut", "m", wide=0.7),
            Column("reels", "Reels", wide=1.3),
            Column("bought_m", "Buy", "m", wide=0.7),
            Column("left_m", "Left over", "m", wide=0.8),
        ),
        tuple(rows),
        (f"Reels: {REEL_SOURCE}.",),
    )


def reels_words(reels: Sequence[float]) -> str:
    """Return reels in words.

    Examples
    --------
    >>> reels_words((10.0, 10.0, 25.0))
    '25 m, 2 × 10 m'
    """
    counted = sorted(Counter(reels).items(), reverse=True)
    return ", ".join(f"{metres:g} m" if n == 1 else f"{n} × {metres:g} m" for metres, n in counted)


def end_table(ends: Mapping[str, tuple[WireEnd, WireEnd]]) -> List:
    """Return both ends of each wire, one a row."""
    return List(
        "ends",
        "Ends of wires",
        "Both ends of each wire; the same label on both. The terminal at hand goes before the lengths here.",
        (
            Column("label", "Label", wide=1.1),
            Column("wire", "Wire", of="wire", wide=1.2),
            Column("at", "At", wide=1.6),
            Column("place", "Place", of="place", wide=1.3),
            Column("terminal", "Terminal", wide=1.6),
            Column("barrel", "Barrel for", wide=1.2),
            Column("strip_mm", "Strip", "mm", wide=0.5),
            Column("pin", "Pin", wide=0.4),
            Column("sleeve", "Sleeve, seal", wide=1.9),
            Column("fuse", "Fuse in a holder there", wide=1.4),
            Column("shared", "With", of="wire", wide=1.0),
            Column("known", "Known from", wide=0.9),
            Column("look_up", "Look up", wide=1.3),
        ),
        tuple(_end_row(end) for pair in ends.values() for end in pair),
        (
            f"Usual: {USUAL_SOURCE}. Barrels: {CRIMP_SOURCE}.",
            f"Lengths to strip: {STRIP_SOURCE}. Sleeves: {SEAL_SOURCE}.",
        ),
    )


def _end_row(end: WireEnd) -> Row:
    known = "there already" if not end.made else "usual" if end.terminal.whence == USUAL else ""
    if end.made and end.terminal.whence == "plan":
        known = "plan"
    holder = "" if not end.holder else end.holder + (f", beyond it {end.link.words}" if end.link else "")
    return (
        end.label, (end.wire,), end.text, (end.place,) if end.place else (), end.terminal.words, end.barrel,
        end.strip_mm, end.pin, ", ".join(one for one in (end.seal, end.sleeve) if one), holder, end.shared,
        known, end.terminal.unknown,
    )  # fmt: skip


def end_sheet(ends: Mapping[str, tuple[WireEnd, WireEnd]]) -> List:
    """Return both ends of each wire side by side, in words, as they are worked on at the bench."""
    rows = tuple(
        (a.label, wire if a.label != wire else "", end_words(a), end_words(b))
        for wire, (a, b) in ends.items()
    )
    whole = end_table(ends)
    return List(
        whole.name,
        whole.title,
        whole.lead,
        (
            Column("label", "Label", wide=0.8),
            Column("wire", "Wire", wide=0.8),
            Column("end_a", "One end", wide=3.0),
            Column("end_b", "Other end", wide=3.0),
        ),
        rows,
        whole.notes,
    )


def end_words(end: WireEnd) -> str:
    """Return an end in one line: where, terminal, barrel, strip length, sleeve, fuse, what shares it."""
    at = f"{end.text}, {end.place.replace('_', ' ')}" if end.place else end.text
    if not end.made:
        return f"{at}: there already"
    says = [end.terminal.words + (" (usual)" if end.terminal.whence == USUAL else "")]
    says += [f"for {end.barrel}"] if end.barrel else []
    says += [f"strip {end.strip_mm:g} mm"] if end.strip_mm is not None else []
    says += [one for one in (end.seal, end.sleeve) if one]
    says += [f"holder of a {end.holder} fuse"] if end.holder else []
    says += [f"with {', '.join(end.shared[:3])}{' ...' * (len(end.shared) > 3)}"] if end.shared else []
    return f"{at}: {', '.join(says)}"


def plug_table(plugs: Sequence[Plug], labels: Mapping[str, str]) -> List:
    """Return the pins of all plugs, and their faces; `labels` by wire."""
    rows = [
        (
            (plug.id,), plug.name, (plug.place,) if plug.place else (), pin.number, pin.fixed, pin.loose,
            None if pin.free else pin.current_a, pin.rating_a,
        )
        for plug in plugs
        for pin in plug.pins
    ]  # fmt: skip
    return List(
        "plugs",
        "Plugs and their pins",
        "Pin by pin: the wire on the fixed half and on the loose one. The half that is fed has sockets, so"
        " that no live pin lies bare (common practice). Numbers moulded on the plug go before these.",
        (
            Column("plug", "Plug", of="part", wide=0.7),
            Column("name", "Name", wide=1.3),
            Column("place", "Place", of="place", wide=1.0),
            Column("pin", "Pin", wide=0.4),
            Column("fixed", "Fixed half", of="wire", wide=1.2),
            Column("loose", "Loose half", of="wire", wide=1.2),
            Column("current_a", "Carries", "A", wide=0.7),
            Column("rating_a", "May carry", "A", wide=0.8),
        ),
        tuple(rows),
        faces=tuple(_face(plug, labels) for plug in plugs if plug.pins),
    )


def _face(plug: Plug, labels: Mapping[str, str]) -> Face:
    title = f"{plug.id}, loose half from its front; the fixed half is its mirror image"
    rows = (
        tuple((pin.number, ", ".join(labels[wire] for wire in pin.loose or pin.fixed)) for pin in row)
        for row in plug.rows
    )
    return Face(title, tuple(rows))


def splice_table(splices: Sequence[Joined]) -> List:
    """Return the splices."""
    rows = [
        ((one.place,) if one.place else (), one.wires, one.tails, one.area_mm2, one.point) for one in splices
    ]
    return List(
        "splices",
        "Splices",
        "Which wires meet, and the tails of parts on them. The barrel takes the sum of both sides.",
        (
            Column("place", "Place", of="place"),
            Column("wires", "Wires", of="wire", wide=1.5),
            Column("tails", "Tails of", of="part", wide=1.5),
            Column("area_mm2", "Wires together", "mm²", wide=0.8),
            Column("at", "At"),
        ),
        tuple(rows),
    )


def earth_table(earths: Sequence[EarthPoint]) -> List:
    """Return the rings of all studs, from the metal outwards."""
    rows = []
    for point in earths:
        stud = point.stud
        for number, ring in enumerate(point.rings, 1):
            rows.append(
                (
                    (stud.id,), (stud.place,) if stud.place else (), point.thread, number, ring.label,
                    (ring.wire,), ring.area_mm2, ring.current_a, abs(stud.current_a),
                    1e3 * abs(stud.volts_v), point.torque_nm,
                )
            )  # fmt: skip
    return List(
        "earths",
        "Earth points, ring by ring",
        "Ring 1 lies at the metal: the largest first. Bare metal under it, sealed after tightening; never a"
        " seat, belt, airbag, fuel, brake or door bolt.",
        (
            Column("stud", "Stud", of="stud", wide=0.6),
            Column("place", "Place", of="place", wide=1.2),
            Column("thread", "Thread", wide=0.7),
            Column("ring", "Ring", wide=0.5),
            Column("label", "Label", wide=1.0),
            Column("wire", "Wire", of="wire", wide=1.0),
            Column("area_mm2", "Size", "mm²", wide=0.7),
            Column("current_a", "Carries", "A", wide=0.7),
            Column("sum_a", "All rings", "A", wide=0.7),
            Column("sum_mv", "Lost in the stud", "mV", wide=0.8),
            Column("torque_nm", "Torque about", "N·m", wide=0.8),
        ),
        tuple(rows),
        (f"Torque: {TORQUE_SOURCE}; the maker's figure goes before it.",),
    )


__all__ = [
    "cut_table",
    "earth_table",
    "end_sheet",
    "end_table",
    "end_words",
    "plug_table",
    "reel_table",
    "reels_words",
    "splice_table",
]
