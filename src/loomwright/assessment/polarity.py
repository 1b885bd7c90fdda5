"""Breakers with a plus mark, and the sides from which a current may come through them.

A magnetic breaker for direct current may blow its arc into the chutes one way only: its plus mark has to look
at what feeds the short. Where a battery lies on one side and a battery, charger or alternator on the other,
either may feed it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.pieces import Piece, Spot, Wiring
from loomwright.plan.values import UNKNOWN

from .inputs import Corner, Inputs
from .states import neighbours, reach
from .topology import Topology
from .unfused import limited, unlimited


@dataclass(frozen=True, slots=True)
class Marked:
    """A breaker whose plus mark matters.

    `mark` is "from", "to" or "unknown"; `ahead` are the parts that give on the side the mark looks at (on
    that of `from` where it is not known), `behind` those on the other.
    """

    run: str
    at: str
    mark: str
    ahead: tuple[str, ...]
    behind: tuple[str, ...]


def marked_breakers(topology: Topology) -> tuple[Marked, ...]:
    """Return every fuse or breaker whose plus mark the plan names or leaves open, with what feeds it."""
    wiring = topology.wiring
    gives = {plus: wiring.part_of(plus) or plus for plus, _ in unlimited(wiring, _bad(wiring))}
    gives |= {plus: wiring.part_of(plus) or plus for plus in limited(wiring)}
    return tuple(
        _sides(topology, gives, flat.id, piece, spot)
        for flat in wiring.runs.values()
        if not flat.mains
        for piece in flat.pieces
        for spot in piece.spots
        if spot.fuse.plus_mark != "none"
    )


def _bad(wiring: Wiring) -> Inputs:
    return Inputs(wiring.plan, Corner.BAD)


def _sides(topology: Topology, gives: Mapping[str, str], run: str, piece: Piece, spot: Spot) -> Marked:
    wiring, way = topology.wiring, spot.way
    graph = neighbours(wiring, topology.standing.closed, {way or piece.id})
    from_, to = (f"{wiring.part_of(way)}.in", way) if way is not None else (piece.a, piece.b)
    before, after = (tuple(_parts(graph, gives, point)) for point in (from_, to))
    mark = "unknown" if spot.fuse.plus_mark is UNKNOWN else str(spot.fuse.plus_mark)
    at = way or (piece.a_text if spot.side == "a" else piece.b_text)
    ahead, behind = (after, before) if mark == "to" else (before, after)
    return Marked(run, at, mark, ahead, behind)


def _parts(graph: Mapping[str, list[str]], gives: Mapping[str, str], start: str) -> Iterator[str]:
    reached = reach(graph, start)
    yield from dict.fromkeys(part for plus, part in gives.items() if plus in reached)


__all__ = ["Marked", "marked_breakers"]
