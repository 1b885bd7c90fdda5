"""Moves columns where that saves a crossing, each to the nearest place that does.

Crossings are counted on ranks, before any height is known: a line crosses a bar that reaches over its
column and lies between its two ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from .columns import REACH, Cluster, return_strands
from .sides import Hang
from .strands import End, Strand

#: Ranks of return bars begin here; the body is the last.
_RETURNS, _STUDS, _BODY = 100.0, 190.0, 200.0
#: Rounds of moving; each takes one crossing away at least.
_ROUNDS = 12


@dataclass(frozen=True, slots=True)
class _Ranks:
    """How deep bars and blocks lie, from the rails down to the body."""

    bars: dict[str, float]
    blocks: dict[str, float]

    def of(self, end: End, *, upper: bool) -> float:
        """Return the rank of a strand's end."""
        if end.kind == "bar":
            return self.bars[end.id]
        if end.kind == "block":
            return self.blocks[end.id] + (0.5 if upper else 0.0)
        return 0.0 if upper else _RETURNS - 1.0


def _ranks(hang: Hang) -> _Ranks:
    bars: dict[str, float] = {}
    for place, bar in enumerate(hang.order):
        parent = hang.parent.get(bar)
        bars[bar] = bars.get(parent, 0.0) + 3.0 if parent else (0.0 if place == 0 else 1.0)
    for bar, kind in hang.bars.items():
        if not hang.above[bar]:
            far = hang.to_body.get(bar, 1)
            bars[bar] = {"body": _BODY, "stud": _STUDS}.get(kind, _STUDS - 5.0 - 5.0 * far)
    blocks = dict.fromkeys(hang.edges, 1.0)
    ranks = _Ranks(bars, blocks)
    for _ in range(4):
        for strand in hang.strands:
            if strand.b.kind == "block":
                blocks[strand.b.id] = max(blocks[strand.b.id], ranks.of(strand.a, upper=True) + 1.0)
            elif strand.a.kind == "block" and strand.b.kind == "bar" and hang.above[strand.b.id]:
                bars[strand.b.id] = max(bars[strand.b.id], blocks[strand.a.id] + 1.5)
    return ranks


class _Count:
    """Counts the crossings of an order of clusters."""

    def __init__(self, hang: Hang) -> None:
        self.hang = hang
        self.ranks = _ranks(hang)

    def crossings(self, clusters: Sequence[Cluster]) -> tuple[int, set[int]]:
        """Return how many there are, and the clusters that have a part in one."""
        lines: list[tuple[int, int, float, float, Strand]] = []
        met: dict[str, list[tuple[int, int]]] = {}
        column = 0
        for place, cluster in enumerate(clusters):
            for one in cluster.columns:
                for strand in one.strands:
                    top, foot = self.ranks.of(strand.a, upper=True), self.ranks.of(strand.b, upper=False)
                    lines.append((column, place, top, foot, strand))
                    for end in (strand.a, strand.b):
                        if end.kind == "bar":
                            met.setdefault(end.id, []).append((column, place))
                column += 1
        for strand in return_strands(self.hang):
            first = min(met.get(strand.a.id, [(0, 0)]))
            ends = (self.ranks.bars[strand.a.id], self.ranks.bars[strand.b.id])
            lines.append((*first, *ends, strand))
            for end in (strand.a, strand.b):
                met.setdefault(end.id, []).append(first)
        total, busy = 0, set()
        wide = [
            (bar, min(at)[0], max(at)[0], min(at)[1], max(at)[1]) for bar, at in met.items() if len(at) > 1
        ]
        depth = dict(self.ranks.bars)
        for bar, left, right, _, _ in wide:  # of two return bars in one row the narrower stands above
            if not self.hang.above[bar]:
                depth[bar] -= 1.0 / (1.0 + right - left)
        for bar, left, right, low, high in wide:
            rank = depth[bar]
            stud = self.hang.bars[bar] == "stud"
            for at, place, top, foot, strand in lines:
                if not left < at < right:
                    continue
                top = depth[strand.a.id] if strand.a.kind == "bar" else top
                foot = depth[strand.b.id] if strand.b.kind == "bar" else foot
                if top >= rank:
                    continue
                if foot > rank or (
                    stud and foot == rank and strand.b.id != bar and len(met[strand.b.id]) == 1
                ):
                    total += 1
                    busy |= {place, low, high}
        return total, busy


def with_turned_returns(hang: Hang, clusters: list[Cluster]) -> Hang:
    """Return the wiring with that of two joined return bars below which is crossed less there."""
    for strand in list(return_strands(hang)):
        if any(hang.bars[end.id] in ("stud", "body") for end in (strand.a, strand.b)):
            continue
        upper, lower = strand.a.id, strand.b.id
        lines = sum(
            1 for one in hang.strands if one.b.kind == "bar" and one.b.id == lower and one is not strand
        )
        if lines <= sum(1 for one in return_strands(hang) if one.a.id == lower):
            continue  # no line that ends on it leaves its column free below
        far = {**hang.to_body, upper: hang.to_body.get(lower, 1), lower: hang.to_body.get(upper, 1)}
        strands = tuple(one.turned() if one is strand else one for one in hang.strands)
        other = replace(hang, strands=strands, to_body=far)
        if _Count(other).crossings(clusters)[0] < _Count(hang).crossings(clusters)[0]:
            hang = other
    return hang


def ordered(hang: Hang, clusters: list[Cluster]) -> list[Cluster]:
    """Return the clusters in an order with fewer crossings; where there are none they stay as they are."""
    count = _Count(hang)
    total, busy = count.crossings(clusters)
    for _ in range(_ROUNDS):
        better = _step(count, clusters, total, busy) if total else None
        if better is None:
            break
        clusters = better
        total, busy = count.crossings(clusters)
    return clusters


def _step(count: _Count, clusters: list[Cluster], total: int, busy: set[int]) -> list[Cluster] | None:
    """Return the order after the one shortest move, or turning of a box, that saves a crossing."""
    for place in sorted(busy):
        if _can_turn(clusters[place]):
            turned = list(clusters)
            turned[place] = Cluster(clusters[place].columns[::-1], clusters[place].bar)
            if count.crossings(turned)[0] < total:
                return turned
    for reach in range(1, REACH + 1):
        for place in sorted(busy):
            for target in (place + reach, place - reach):
                if not 0 <= target < len(clusters):
                    continue
                moved = clusters[:place] + clusters[place + 1 :]
                moved.insert(target, clusters[place])
                if count.crossings(moved)[0] < total:
                    return moved
    return None


def _can_turn(cluster: Cluster) -> bool:
    """True for a box that can be drawn the other way round: no pair of switches, nothing beside it."""
    blocks = {block for column in cluster.columns for block, _ in column.blocks}
    return len(blocks) == 1 and "+" not in next(iter(blocks)) and all(c.blocks for c in cluster.columns)
