"""Which way a feed runs where it comes down to a box and goes up again: arrowheads in the wires."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from loomwright.drawing.geometry import Point
from loomwright.drawing.scene import Link, Symbol
from loomwright.drawing.symbols_marks import charging_way, feeding_way
from loomwright.drawing.wires import all_runs, crossings

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
_OFF, _STEP, _CLEAR = 4.7, 2.0, 4.6
#: Half the length of a head with clear paper to the next sign. [mm]
_HEAD = 4.45


def draw_charging_ways(painter: Painter) -> None:
    """Draw the arrowheads of a painted sheet."""
    ends = [(placed, *end) for placed in painter.leaf.strands for end in _ends(painter, placed)]
    crossed = [crossing.at for crossing in crossings(all_runs(painter.canvas.items))] if ends else []
    for placed, foot, comes_in, feeds in ends:
        put = _wire_over(placed, foot)
        at = None if put is None else _free(put, middle_of(placed.column), crossed)
        if at is None or put is None or not isinstance(put.step, WireStep):
            continue
        core, _ = painter.style(put.step.piece)
        sign = feeding_way(core) if feeds else charging_way(core)
        of = Link("wire", put.step.piece.id)
        painter.canvas.add([Symbol(sign, at, 180 if comes_in else 0, of=of)])


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


def _wire_over(placed: Placed, foot: float) -> Put | None:
    """Return the stretch of wire that ends at a box, the one above its fuse if it is too short."""
    stretches = [p for p in placed.puts if isinstance(p.step, WireStep) and p.bottom <= foot + 0.01]
    return next((p for p in reversed(stretches) if p.bottom - p.top >= _OFF + _HEAD), None)


def _free(put: Put, x: float, crossed: list[Point]) -> Point | None:
    """Return where a head may lie in a stretch of wire, as low as no crossing wire is near."""
    y = put.bottom - _OFF
    while y > put.top + _HEAD:
        if all(at[0] != x or abs(at[1] - y) > _CLEAR for at in crossed):
            return x, y
        y -= _STEP
    return None
