"""Counts the crossings of a sheet before any height is known, for many orders of its clusters at once.

A line crosses a bar that reaches over its column and lies between the line's two ends. Which of two bars lies
higher may be open: then it is chosen so that less crosses, and drawn so (`tracks`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np

from .columns import Cluster
from .depths import Depths
from .sides import Hang
from .strands import End, Strand

#: A line through a fuse box counts as so many crossings; so does a column that two boxes share.
_THROUGH_BOX, _SHARED_BOX = 3, 2


class Tracks(NamedTuple):
    """The bars of a sheet from the highest down; `apart` has the pairs (higher, lower) where it matters."""

    bars: tuple[str, ...]
    apart: tuple[tuple[str, str], ...] = ()


class Count:
    """Which line could cross which bar is worked out once; then orders of clusters are counted."""

    def __init__(self, hang: Hang, clusters: Sequence[Cluster]) -> None:
        self.hang = hang
        stands: list[tuple[int, int]] = []  # cluster, column in it: of lines, then of ends on bars
        self.strands: list[Strand] = []
        met: dict[str, list[tuple[int, int, int]]] = {}  # the same, and the line, -1 for a free way
        for place, cluster in enumerate(clusters):
            for offset, column in enumerate(cluster.columns):
                for strand in column.strands:
                    stands.append((place, offset))
                    self.strands.append(strand)
                    for end in (strand.a, strand.b):
                        if self._is_drawn(end):
                            met.setdefault(end.id, []).append((place, offset, len(self.strands) - 1))
                for box, _ in column.free_ways:
                    met.setdefault(box, []).append((place, offset, -1))
        self.bars = [bar for bar in hang.bars if bar in met]
        self.ends_of: defaultdict[int, list[int]] = defaultdict(list)
        for bar in self.bars:
            for place, offset, line in met[bar]:
                self.ends_of[line].append(len(stands))
                stands.append((place, offset))
        self.cluster = np.array([one[0] for one in stands], dtype=int)
        self.offset = np.array([one[1] for one in stands], dtype=int)
        self.widths = np.array([len(cluster.columns) for cluster in clusters], dtype=int)
        self.starts = np.cumsum([0, *(len(met[bar]) for bar in self.bars)])[:-1]
        self.boxes = [place for place, bar in enumerate(self.bars) if hang.bars[bar] == "box"]
        if self.bars:
            self._weigh()

    def _is_drawn(self, end: End) -> bool:
        """True for an end on a bar that is drawn whole; the body and its studs are met at every column."""
        on_bar = end.kind == "bar" and end.id not in self.hang.scatter
        return on_bar and self.hang.bars[end.id] not in ("body", "stud")

    # what could cross -----------------------------------------------------------------------------------

    def _weigh(self) -> None:
        """Work out what each line over each bar counts: for sure, or if one of two bars lies higher."""
        depths = Depths(self.hang, self.strands, self.bars)
        depth = np.array([depths.bars[bar] for bar in self.bars])
        ends = [(strand.a, strand.b) for strand in self.strands]
        self.top, self.foot = (
            np.array([depths.index.get(pair[k].id, -1) for pair in ends], dtype=int) for k in (0, 1)
        )
        tops = np.array([depths.of(a, upper=True) for a, _ in ends])[:, None]
        feet = np.array([depths.of(b, upper=False) for _, b in ends])[:, None]
        higher = depths.higher()
        self.over_it = [sum(1 << int(k) for k in np.flatnonzero(column)) for column in higher.T]
        free = ~(higher | higher.T) & ~np.eye(len(depth), dtype=bool)
        may = higher | free
        self.no_top, self.no_foot = (self.top < 0)[:, None], (self.foot < 0)[:, None]
        self.could = np.where(self.no_top, tops < depth, may[self.top]) & np.where(
            self.no_foot, feet > depth, may[:, self.foot].T
        )
        self.weight = np.ones(len(depth))
        self.weight[self.boxes] = _THROUGH_BOX
        asks_top = self.could & ~self.no_top & free[self.top]  # the bar that it hangs on has to lie higher
        asks_foot = self.could & ~self.no_foot & free[:, self.foot].T  # the bar it ends on has to lie lower
        self.fixed = (self.could & ~asks_top & ~asks_foot) * self.weight
        self._ask(asks_top, asks_foot)

    def _ask(self, asks_top: np.ndarray, asks_foot: np.ndarray) -> None:
        """List what counts if one bar lies higher than another; half of it if two such have to hold."""
        both = asks_top & asks_foot
        at_top, at_foot = np.argwhere(asks_top), np.argwhere(asks_foot)
        line, bar = np.concatenate((at_top, at_foot)).T
        count = len(self.bars)
        upper = np.concatenate((self.top[at_top[:, 0]], at_foot[:, 1]))
        lower = np.concatenate((at_top[:, 1], self.foot[at_foot[:, 0]]))
        self.asked, self.asked_pair = line * count + bar, upper * count + lower
        self.asked_weight = self.weight[bar] * np.where(both[line, bar], 0.5, 1.0)
        sure = ~both[line, bar]
        pairs = set(self.asked_pair[sure].tolist())
        mirrored = {pair: pair % count * count + pair // count for pair in pairs}
        columns = {
            pair: k
            for k, pair in enumerate(p for p in sorted(pairs) if mirrored[p] in pairs and p < mirrored[p])
        }
        self.either = np.zeros((self.could.size, 2 * len(columns)))
        for cell, pair, weight in zip(
            self.asked[sure].tolist(),
            self.asked_pair[sure].tolist(),
            self.asked_weight[sure].tolist(),
            strict=True,
        ):
            if mirrored[pair] in pairs:
                column = 2 * columns[min(pair, mirrored[pair])] + (pair > mirrored[pair])
                self.either[cell, column] = weight

    # where things stand ---------------------------------------------------------------------------------

    def columns(self, orders: Sequence[Sequence[int]], turned: frozenset[int] = frozenset()) -> np.ndarray:
        """Return for each order of the clusters the columns of all lines, then of all ends on bars."""
        order = np.array(orders, dtype=int)
        widths = self.widths[order]
        first = np.empty_like(order)
        np.put_along_axis(first, order, widths.cumsum(axis=1) - widths, axis=1)
        offset = self.offset
        if turned:
            back = np.isin(self.cluster, list(turned))
            offset = np.where(back, self.widths[self.cluster] - 1 - offset, offset)
        found: np.ndarray = first[:, self.cluster] + offset
        return found

    def columns_hung(self, strand: Strand, hosts: Sequence[int]) -> np.ndarray:
        """Return the columns with the clusters as they are and one line in each of some columns."""
        [line] = [place for place, one in enumerate(self.strands) if one is strand]
        column = np.repeat(self.columns([range(len(self.widths))]), len(hosts), axis=0)
        for place in (line, *self.ends_of[line]):
            column[:, place] = hosts
        return column

    def _over(self, column: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return which line stands over the inside of which bar, and the bars' first and last columns."""
        at = column[:, len(self.strands) :]
        left = np.minimum.reduceat(at, self.starts, axis=1)
        right = np.maximum.reduceat(at, self.starts, axis=1)
        stands = column[:, : len(self.strands), None]
        return self.could & (stands > left[:, None]) & (stands < right[:, None]), left, right

    # counting -------------------------------------------------------------------------------------------

    def least(self, column: np.ndarray) -> list[int]:
        """Return how many crossings each of some rows of columns has at least; nearly always it has no more.

        All rows are counted at once, which is much faster than one by one.
        """
        if not self.bars:
            return [0] * len(column)
        over, left, right = self._over(column)
        flat = over.reshape(len(column), -1).astype(float)
        total = flat @ self.fixed.reshape(-1)
        if self.either.size:
            total = total + (flat @ self.either).reshape(len(column), -1, 2).min(axis=2).sum(axis=1)
        for one, other in combinations(self.boxes, 2):  # outlines of two boxes are kept apart
            shared = np.minimum(right[:, one], right[:, other]) - np.maximum(left[:, one], left[:, other])
            total = total + _SHARED_BOX * np.maximum(0, shared + 1)
        return [round(each) for each in total.tolist()]

    def exact(self, column: np.ndarray) -> int:
        """Return the crossings for one row of columns as it will be drawn."""
        if not self.bars:
            return 0
        over, left, right = self._over(column[None])
        rank = np.argsort(self._stacked(over[0])[0])
        crossed = over[0] & (self.no_top | (rank[self.top][:, None] < rank))
        crossed &= self.no_foot | (rank < rank[self.foot][:, None])
        total = float((crossed * self.weight).sum())
        for one, other in combinations(self.boxes, 2):
            shared = min(right[0, one], right[0, other]) - max(left[0, one], left[0, other])
            total += _SHARED_BOX * max(0, int(shared) + 1)
        return round(total)

    def _stacked(self, over: np.ndarray) -> tuple[list[int], np.ndarray]:
        """Return the bars from the highest down, and what it costs that the one lies higher than the other.

        Of several that could come next the one is taken that lies best above all others left; ties keep the
        order of the wiring.
        """
        count = len(self.bars)
        costs = over.reshape(-1)[self.asked] * self.asked_weight
        cost = np.bincount(self.asked_pair, costs, count * count).reshape(count, count)
        gain = (cost - cost.T).tolist()
        score = [sum(row) for row in gain]
        left, waiting, found = list(range(count)), (1 << count) - 1, []
        while left:
            ready = [one for one in left if not self.over_it[one] & waiting] or left
            best = min(ready, key=score.__getitem__)
            found.append(best)
            left.remove(best)
            waiting ^= 1 << best
            for one in left:
                score[one] -= gain[one][best]
        return found, cost

    def tracks(self) -> Tracks:
        """Return the bars from the highest to the lowest with the clusters as they are."""
        if not self.bars:
            return Tracks(())
        found, cost = self._stacked(self._over(self.columns([range(len(self.widths))]))[0][0])
        apart = [(i, j) for i, j in combinations(found, 2) if cost[i, j] < cost[j, i]]
        names = self.bars
        return Tracks(tuple(names[k] for k in found), tuple((names[i], names[j]) for i, j in apart))

    def busy(self, column: np.ndarray) -> list[int]:
        """Return the clusters that may have a part in a crossing: the line's, and those at the bar's ends."""
        over, left, right = (each[0] for each in self._over(column[None]))
        lines = len(self.strands)
        found = set(self.cluster[:lines][over.any(axis=1)].tolist())
        sizes = np.diff([*self.starts.tolist(), len(column) - lines])
        bar = np.repeat(np.arange(len(self.bars)), sizes)
        at = column[lines:]
        ends = over.any(axis=0)[bar] & ((at == left[bar]) | (at == right[bar]))
        return sorted(found | set(self.cluster[lines:][ends].tolist()))
