"""The fuse that guards a wire which has none of its own: the nearest one on the way from its battery."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from loomwright.plan.pieces import FlatRun, Piece, Spot, Wiring
from loomwright.plan.values import Quantity

from .network import NetworkBuilder
from .record import FuseFigure
from .sources import is_battery
from .states import Contact, neighbours, shortest

_MINUS = ("minus", "out_minus", "battery_minus", "panel_minus")


def upstream_fuses(
    wiring: Wiring, builder: NetworkBuilder, closed: Iterable[Contact]
) -> dict[str, FuseFigure]:
    """Return, by run id, the nearest fuse before each run that has none of its own."""
    graph = neighbours(wiring, closed)
    spots = _spots(wiring)
    found: dict[str, FuseFigure] = {}
    for flat in wiring.runs.values():
        if flat.mains or flat.inner or any(piece.spots for piece in flat.pieces) or _is_minus(wiring, flat):
            continue
        start = flat.pieces[0].a
        for part_id in wiring.parts:
            way = shortest(graph, f"{part_id}.plus", start) if is_battery(wiring, part_id) else None
            fuse = _last_fuse(wiring, builder, spots, way) if way else None
            if fuse is not None:
                found[flat.id] = fuse
                break
    return found


def _is_minus(wiring: Wiring, flat: FlatRun) -> bool:
    ends = (flat.pieces[0].a, *flat.loads)
    return any(wiring.terminal_of(point) in _MINUS or point in wiring.plan.studs for point in ends)


def _spots(wiring: Wiring) -> dict[frozenset[str], tuple[Piece, Spot]]:
    """Return the fuse between each pair of neighbouring points that has one."""
    found: dict[frozenset[str], tuple[Piece, Spot]] = {}
    for piece in wiring.pieces():
        for spot in piece.spots:
            ends = (piece.a, piece.b)
            if spot.way is not None:
                ends = (f"{wiring.part_of(spot.way)}.in", spot.way)
            found[frozenset(ends)] = (piece, spot)
    return found


def _last_fuse(
    wiring: Wiring, builder: NetworkBuilder, spots: dict[frozenset[str], tuple[Piece, Spot]], way: list[str]
) -> FuseFigure | None:
    last: FuseFigure | None = None
    for a, b in pairwise(way):
        last = _main_fuse(wiring, a, b) or last
        if (pair := spots.get(frozenset((a, b)))) is not None:
            piece, spot = pair
            rating = builder.fuse_rating(piece, spot.fuse)
            last = FuseFigure(spot.way or piece.a_text, rating, builder.fuse_kind(piece, spot), None, None)
    return last


def _main_fuse(wiring: Wiring, a: str, b: str) -> FuseFigure | None:
    """Return the main fuse of a box that the way passes between its terminal and one of its ways."""
    part_id = wiring.part_of(a)
    if part_id is None or part_id != wiring.part_of(b) or wiring.parts[part_id].kind != "fuse_box":
        return None
    fuses = wiring.parts[part_id].main_fuse
    if not isinstance(fuses, tuple) or not fuses or not isinstance(fuses[0].rating, Quantity):
        return None
    return FuseFigure(part_id, fuses[0].rating.high, fuses[0].type or "", None, None)
