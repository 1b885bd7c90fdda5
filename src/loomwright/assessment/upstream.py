"""The fuse that guards a wire which has none of its own: the nearest one on the way from its battery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from loomwright.plan.pieces import FlatRun, Piece, Spot, Wiring
from loomwright.plan.values import Fuse

from .sources import is_battery
from .states import shortest

_MINUS = ("minus", "out_minus", "battery_minus", "panel_minus")


@dataclass(frozen=True, slots=True)
class Guard:
    """A fuse before a wire: that of a piece (`spot`), or the main fuse of a box (`fuse`, at `at`)."""

    at: str
    piece: Piece | None = None
    spot: Spot | None = None
    fuse: Fuse | None = None


def guards(wiring: Wiring, graph: Mapping[str, list[str]]) -> dict[str, Guard]:
    """Return, by run id, the nearest fuse before each run that has none of its own.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    graph : mapping of str to list of str
        Which points are joined, as the contacts stand.
    """
    spots = fuse_spots(wiring)
    batteries = [id for id in wiring.parts if is_battery(wiring, id)]
    found: dict[str, Guard] = {}
    for flat in wiring.runs.values():
        if flat.mains or flat.inner or any(piece.spots for piece in flat.pieces) or _is_minus(wiring, flat):
            continue
        for battery in batteries:
            way = shortest(graph, f"{battery}.plus", flat.pieces[0].a)
            guard = _last_fuse(wiring, spots, way) if way else None
            if guard is not None:
                found[flat.id] = guard
                break
    return found


def _is_minus(wiring: Wiring, flat: FlatRun) -> bool:
    ends = (flat.pieces[0].a, *flat.loads)
    return any(wiring.terminal_of(point) in _MINUS or point in wiring.plan.studs for point in ends)


def fuse_spots(wiring: Wiring) -> dict[frozenset[str], Guard]:
    """Return the fuse between each pair of neighbouring points that has one."""
    found: dict[frozenset[str], Guard] = {}
    for piece in wiring.pieces():
        for spot in piece.spots:
            ends = (piece.a, piece.b)
            if spot.way is not None:
                ends = (f"{wiring.part_of(spot.way)}.in", spot.way)
            found[frozenset(ends)] = Guard(spot.way or piece.a_text, piece, spot)
    return found


def _last_fuse(wiring: Wiring, spots: Mapping[frozenset[str], Guard], way: list[str]) -> Guard | None:
    return next(iter(reversed(fuses_on(wiring, spots, way))), None)


def fuses_on(wiring: Wiring, spots: Mapping[frozenset[str], Guard], way: list[str]) -> list[Guard]:
    """Return the fuses that a way through points passes, in its order; `spots` as `fuse_spots` has them."""
    found = (spots.get(frozenset((a, b))) or _main_fuse(wiring, a, b) for a, b in pairwise(way))
    return [guard for guard in found if guard is not None]


def _main_fuse(wiring: Wiring, a: str, b: str) -> Guard | None:
    """Return the main fuse of a box that the way passes between its terminal and one of its ways."""
    part_id = wiring.part_of(a)
    if part_id is None or part_id != wiring.part_of(b) or wiring.parts[part_id].kind != "fuse_box":
        return None
    fuses = wiring.parts[part_id].main_fuse
    return Guard(part_id, fuse=fuses[0]) if isinstance(fuses, tuple) and fuses else None
