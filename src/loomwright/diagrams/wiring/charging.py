"""Which way a feed runs where it comes down to a box and goes up again: arrowheads in the wires."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.scene import Link, Symbol, Wire
from loomwright.drawing.symbols_marks import charging_way, feeding_way
from loomwright.drawing.wires import all_runs, crossings
from loomwright.plan.pieces import Piece

from .marks import middle_of
from .spread import Placed, Put
from .strands import End, PartStep, WireStep

if TYPE_CHECKING:
    from .paint import Painter

#: Boxes that pass a feed on: terminal -> whether it comes in there.
_COMES_IN: Mapping[str, Mapping[str, bool]] = {
    "b2b": {"in": True, "out": False},
    "converter": {"in": True, "out": False},
    "solar_regulator": {"battery": False, "second": False},
    "mains_charger": {"plus": False, "second": False},
    "fuel_cell": {"plus": False},
}
#: From the box to the middle of the head; between places that are tried; to a wire that crosses. [mm]
_OFF, _STEP, _CLEAR = 4.6, 2.0, 4.75
#: Clear paper to the next sign; how far off a sign in the same column may have its middle. [mm]
_TO_SIGN, _BESIDE = 1.995, 12.0
#: How much nearer a wire may be than a sign. [mm]
_NEARER = 0.495


def draw_charging_ways(painter: Painter) -> None:
    """Draw the arrowheads of a painted sheet; a wire that is all too short for one has none."""
    ends = [(placed, *end) for placed in painter.leaf.strands for end in _ends(painter, placed)]
    crossed = [crossing.at for crossing in crossings(all_runs(painter.canvas.items))] if ends else []
    signs = [item for item in painter.canvas.items if isinstance(item, Symbol)] if ends else []
    wires = [item for item in painter.canvas.items if isinstance(item, Wire)] if ends else []
    for placed, foot, comes_in, feeds in ends:
        x = middle_of(placed.column)
        beside = [box for sign in signs if abs(sign.at[0] - x) < _BESIDE for box in sign.shape_boxes()]
        for put, piece in _wires_over(placed, foot):
            core, _ = painter.style(piece)
            sign, of = (feeding_way(core) if feeds else charging_way(core)), Link("wire", piece.id)
            foreign = [box for wire in wires if wire.of != of for box in _pieces_at(wire, x)]
            at = _free(put, x, sign.box(), crossed, [*beside, *foreign])
            if at is not None:
                painter.canvas.add([Symbol(sign, at, 180 if comes_in else 0, of=of)])
                break


def _ends(painter: Painter, placed: Placed) -> Iterator[tuple[float, bool, bool]]:
    """Yield for each box beneath a strand: its height, whether the feed comes in, whether it only feeds."""
    strand = placed.strand
    if strand.b.kind == "block":
        comes_in = _way(painter, strand.b, strand.a)
        if comes_in is not None:
            yield placed.bottom, comes_in, painter.parts[strand.b.id].kind == "converter"
    for put in placed.puts:
        if isinstance(put.step, PartStep) and put.step.enter == "plus":
            ways = _COMES_IN.get(painter.parts[put.step.part].kind, {})
            if "plus" in ways:
                yield put.top, ways["plus"], False


def _way(painter: Painter, end: End, far: End) -> bool | None:
    """Return whether a feed comes into a block at an end on its upper edge, None if it does neither."""
    part = painter.parts.get(end.id)
    if part is None:
        return None
    if part.kind == "sensing_relay" or painter.relay_box(end.id):
        between = {painter.battery_kind(rail) for rail in _rails_over(painter, end.id)}
        here = painter.battery_kind(far.id)
        joins = {"battery", "vehicle_battery"} <= between
        return here == "vehicle_battery" if joins and here else None
    return _COMES_IN.get(part.kind, {}).get(end.terminal)


def _rails_over(painter: Painter, block: str) -> list[str]:
    return [
        p.strand.a.id for p in painter.leaf.strands if p.strand.b.kind == "block" and p.strand.b.id == block
    ]


def _wires_over(placed: Placed, foot: float) -> Iterator[tuple[Put, Piece]]:
    """Yield the stretch of wire that ends at a box, then those above its fuse."""
    for put in reversed(placed.puts):
        if isinstance(put.step, WireStep) and put.bottom <= foot + 0.01:
            yield put, put.step.piece


def _pieces_at(wire: Wire, x: float) -> Iterator[Box]:
    """Yield the pieces of a wire that meet a column; a sign may stand nearer to a wire than to a sign."""
    for a, b in pairwise(wire.points):
        if min(a[0], b[0]) <= x <= max(a[0], b[0]):
            yield box_of_points((a, b), wire.half_width - _NEARER)


def _free(put: Put, x: float, head: Box, crossed: list[Point], signs: Sequence[Box]) -> Point | None:
    """Return where a head may lie in a stretch of wire, as low as no wire across and no sign is near."""
    y = put.bottom - _OFF
    while y + head.top > put.top:
        room = head.moved((x, y)).grown(_TO_SIGN)
        met = any(at[0] == x and abs(at[1] - y) <= _CLEAR for at in crossed)
        if not met and not any(room.gap(sign) < 0.0 for sign in signs):
            return x, y
        y -= _STEP
    return None
