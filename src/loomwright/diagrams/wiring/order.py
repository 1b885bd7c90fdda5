"""Moves columns where that saves a crossing, each to the nearest place that does.

Crossings are counted on ranks, before any height is known: a line crosses a bar that reaches over its
column and lies between its two ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from .columns import REACH, Cluster, return_strands
from .sides import Hang
from .strands import End

#: Ranks of return bars begin here; the body is the last.
_RETURNS, _STUDS, _BODY = 100.0, 190.0, 200.0
#: Blocks stand lower than most bars, whatever feeds them.
_BLOCKS = 8.0
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
    blocks = dict.fromkeys(hang.edges, _BLOCKS)
    ranks = _Ranks(bars, blocks)
    for _ in range(4):
        for strand in hang.strands:
            if strand.b.kind == "block":
                blocks[strand.b.id] = max(blocks[strand.b.id], ranks.of(strand.a, upper=True) + 1.0)
            elif strand.a.kind == "block" and strand.b.kind == "bar" and hang.above[strand.b.id]:
                bars[strand.b.id] = max(bars[strand.b.id], blocks[strand.a.id] + 1.5)
    return ranks


class _Count:
    """Counts the crossings of an order of clusters: which line could cross which bar is worked out once."""

    def __init__(self, hang: Hang, clusters: Sequence[Cluster]) -> None:
        ranks = _ranks(hang)
        lines: list[tuple[int, int, float, float]] = []  # cluster, column in it, ranks of both ends
        met: dict[str, list[int]] = {}
        ends: list[tuple[End, End]] = []
        for place, cluster in enumerate(clusters):
            for offset, column in enumerate(cluster.columns):
                for strand in column.strands:
                    for end in (strand.a, strand.b):
                        if end.kind == "bar" and end.id not in hang.scatter:
                            met.setdefault(end.id, []).append(len(lines))
                    lines.append(
                        (place, offset, ranks.of(strand.a, upper=True), ranks.of(strand.b, upper=False))
                    )
                    ends.append((strand.a, strand.b))
        for strand in return_strands(hang):
            first = met.get(strand.a.id, [0])[0] if lines else 0
            for end in (strand.a, strand.b):
                met.setdefault(end.id, []).append(len(lines))
            place, offset = lines[first][:2] if lines else (0, 0)
            lines.append((place, offset, ranks.bars[strand.a.id], ranks.bars[strand.b.id]))
            ends.append((strand.a, strand.b))
        self.cluster = np.array([line[0] for line in lines], dtype=int)
        self.offset = np.array([line[1] for line in lines], dtype=int)
        self.widths = np.array([len(cluster.columns) for cluster in clusters], dtype=int)
        wide = [bar for bar, at in met.items() if len(at) > 1]
        depth = {bar: ranks.bars[bar] - (0.0 if hang.above[bar] else 1.0 / len(met[bar])) for bar in met}
        top, foot = (np.array([line[k] for line in lines]) for k in (2, 3))
        for index, (upper, lower) in enumerate(ends):
            top[index] = depth.get(upper.id, top[index])
            if lower.kind == "bar" and lower.id in depth:
                lonely = hang.bars[lower.id] == "stud" and len(met[lower.id]) == 1
                foot[index] = _BODY if lonely else depth[lower.id]
        rank = np.array([depth[bar] for bar in wide])
        self.could = (top[:, None] < rank) & (foot[:, None] > rank)
        self.weight = np.array([3 if hang.bars[bar] == "box" else 1 for bar in wide], dtype=int)
        self.boxes = [index for index, bar in enumerate(wide) if hang.bars[bar] == "box"]
        self.members = np.array([line for bar in wide for line in met[bar]], dtype=int)
        self.starts = np.cumsum([0, *(len(met[bar]) for bar in wide)])[:-1]

    def _crossed(self, orders: np.ndarray, turned: frozenset[int]) -> tuple[np.ndarray, ...]:
        """Return for each of some orders which line crosses which bar, and where the bars' ends lie."""
        widths = self.widths[orders]
        first = np.empty_like(orders)
        np.put_along_axis(first, orders, widths.cumsum(axis=1) - widths, axis=1)
        offset = self.offset
        if turned:
            back = np.isin(self.cluster, list(turned))
            offset = np.where(back, self.widths[self.cluster] - 1 - offset, offset)
        column = first[:, self.cluster] + offset
        at = column[:, self.members]
        left = np.minimum.reduceat(at, self.starts, axis=1)
        right = np.maximum.reduceat(at, self.starts, axis=1)
        column = column[:, :, None]
        return self.could & (column > left[:, None]) & (column < right[:, None]), at, left, right

    def crossings(self, orders: Sequence[Sequence[int]], turned: frozenset[int] = frozenset()) -> list[int]:
        """Return the crossings of each of some orders of clusters, some clusters turned.

        Those in a fuse box count more. All orders are counted at once, which is much faster than one by one.
        """
        if not orders or not len(self.starts):
            return [0] * len(orders)
        crossed, _, left, right = self._crossed(np.array(orders, dtype=int), turned)
        total = crossed.sum(axis=1) @ self.weight
        for place, one in enumerate(self.boxes):  # outlines of two boxes are kept apart
            for other in self.boxes[place + 1 :]:
                shared = np.minimum(right[:, one], right[:, other]) - np.maximum(left[:, one], left[:, other])
                total += 2 * np.maximum(0, shared + 1)
        return [int(each) for each in total]

    def busy(self, order: Sequence[int], turned: frozenset[int]) -> list[int]:
        """Return the clusters that have a part in a crossing: the line's, and those at the bar's ends."""
        crossed, at, left, right = (each[0] for each in self._crossed(np.array([order], dtype=int), turned))
        found = set(self.cluster[crossed.any(axis=1)].tolist())
        bars = np.flatnonzero(crossed.any(axis=0))
        for bar in bars:
            stop = self.starts[bar + 1] if bar + 1 < len(self.starts) else len(at)
            for line, column in zip(
                self.members[self.starts[bar] : stop], at[self.starts[bar] : stop], strict=True
            ):
                if column in (left[bar], right[bar]):
                    found.add(int(self.cluster[line]))
        return sorted(found)


def with_turned_returns(hang: Hang, clusters: list[Cluster]) -> Hang:
    """Return the wiring with that of two joined return bars below which is crossed less there."""
    order = range(len(clusters))
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
        if _Count(other, clusters).crossings([order]) < _Count(hang, clusters).crossings([order]):
            hang = other
    return hang


def ordered(hang: Hang, clusters: list[Cluster]) -> list[Cluster]:
    """Return the clusters in an order with fewer crossings; where there are none they stay as they are."""
    count = _Count(hang, clusters)
    can_turn = [_can_turn(cluster) for cluster in clusters]
    groups = [cluster.group for cluster in clusters]
    order, turned = list(range(len(clusters))), frozenset[int]()
    [total] = count.crossings([order])
    for _ in range(_ROUNDS):
        better = _step(count, order, turned, total, can_turn, groups) if total else None
        if better is None:
            break
        order, turned = better
        [total] = count.crossings([order], turned)
    return [
        Cluster(
            clusters[k].columns[::-1] if k in turned else clusters[k].columns,
            clusters[k].bar,
            clusters[k].group,
        )
        for k in order
    ]


def _step(
    count: _Count,
    order: list[int],
    turned: frozenset[int],
    total: int,
    can_turn: list[bool],
    groups: list[int],
) -> tuple[list[int], frozenset[int]] | None:
    """Return the order after the one shortest move, or turning of a box, that saves a crossing."""
    busy = count.busy(order, turned)
    for cluster in busy:
        if can_turn[cluster] and count.crossings([order], turned ^ {cluster})[0] < total:
            return order, turned ^ {cluster}
    places = {cluster: place for place, cluster in enumerate(order)}
    for reach in range(1, REACH + 1):
        moves = [
            _moved(order, cluster, target)
            for cluster in busy
            for target in (places[cluster] + reach, places[cluster] - reach)
            if 0 <= target < len(order) and groups[order[target]] == groups[cluster]
        ]
        for moved, crossings in zip(moves, count.crossings(moves, turned), strict=True):
            if crossings < total:
                return moved, turned
    return None


def _moved(order: list[int], cluster: int, target: int) -> list[int]:
    """Return the order with one cluster put elsewhere."""
    moved = [one for one in order if one != cluster]
    moved.insert(target, cluster)
    return moved


def _can_turn(cluster: Cluster) -> bool:
    """True for a box that can be drawn the other way round: no pair of switches, nothing beside it."""
    blocks = {block for column in cluster.columns for block, _ in column.blocks}
    return len(blocks) == 1 and "+" not in next(iter(blocks)) and all(c.blocks for c in cluster.columns)
