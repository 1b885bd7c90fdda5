"""Counts the crossings of a sheet before any height is known, for many orders of its clusters at once.

A line crosses a bar that reaches over its column and lies between the line's two ends. Where it is open
which of two bars lies higher, the better of both is counted; `Count.tracks` then says how to draw it so.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations

import numpy as np

from .columns import Cluster, is_return
from .sides import Hang
from .strands import End, Strand
from .units import GOES

#: Depths: wires run across to a unit under the fuse boxes; blocks stand lower than most feed bars; a line
#: that ends on nothing ends below all of them; return bars lie below all loads, in any order that their own
#: wires leave open; the body is lowest.
_ACROSS, _BLOCKS, _LOADS, _RETURNS, _BODY = 7.5, 8.0, 90.0, 100.0, 200.0
#: A line through a fuse box counts as so many crossings; so does a column that two boxes share.
_THROUGH_BOX, _SHARED_BOX = 3, 2


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
        self.index = {bar: place for place, bar in enumerate(self.bars)}
        self.ends_of: defaultdict[int, list[int]] = defaultdict(list)
        for bar in self.bars:
            for place, offset, line in met[bar]:
                self.ends_of[line].append(len(stands))
                stands.append((place, offset))
        self.cluster = np.array([one[0] for one in stands], dtype=int)
        self.offset = np.array([one[1] for one in stands], dtype=int)
        self.widths = np.array([len(cluster.columns) for cluster in clusters], dtype=int)
        self.starts = np.cumsum([0, *(len(met[bar]) for bar in self.bars)])[:-1]
        self.boxes = [self.index[bar] for bar in self.bars if hang.bars[bar] == "box"]
        if self.bars:
            self._weigh()

    def _is_drawn(self, end: End) -> bool:
        """True for an end on a bar that is drawn whole; the body and its studs are met at every column."""
        on_bar = end.kind == "bar" and end.id not in self.hang.scatter
        return on_bar and self.hang.bars[end.id] not in ("body", "stud")

    # what could cross -----------------------------------------------------------------------------------

    def _weigh(self) -> None:
        """Work out what each line over each bar counts, for sure or by which of two bars lies higher."""
        bars, blocks = self._depths()
        depth = np.array([bars[bar] for bar in self.bars])
        ends = [(strand.a, strand.b) for strand in self.strands]
        top, foot = (np.array([self.index.get(e[k].id, -1) for e in ends], dtype=int) for k in (0, 1))
        tops = np.array([self._depth(a, bars, blocks, upper=True) for a, _ in ends])[:, None]
        feet = np.array([self._depth(b, bars, blocks, upper=False) for _, b in ends])[:, None]
        higher = (depth[:, None] < depth) | self._by_wires()
        free = ~(higher | higher.T) & ~np.eye(len(depth), dtype=bool)
        may = higher | free
        on_top, on_foot = (top >= 0)[:, None], (foot >= 0)[:, None]
        could = np.where(on_top, may[top], tops < depth) & np.where(on_foot, may[:, foot].T, feet > depth)
        asks_top = could & on_top & free[top]  # the bar it starts on has to lie higher
        asks_foot = could & on_foot & free[:, foot].T & ~asks_top
        weight = np.ones(len(depth))
        weight[self.boxes] = _THROUGH_BOX
        self.could, self.higher = could, higher
        self.fixed = (could & ~asks_top & ~asks_foot) * weight
        # cost[i, j] belongs to bar i lying higher than bar j
        either: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for line, bar in np.argwhere(asks_top).tolist():
            either.setdefault((int(top[line]), bar), []).append((line, bar))
        for line, bar in np.argwhere(asks_foot).tolist():
            either.setdefault((bar, int(foot[line])), []).append((line, bar))
        self.pairs = [(i, j) for i, j in either if i < j and (j, i) in either]
        self.open = np.zeros((could.size, 2 * len(self.pairs)))
        for place, (i, j) in enumerate(self.pairs):
            for side, pair in enumerate(((i, j), (j, i))):
                for line, bar in either[pair]:
                    self.open[line * len(depth) + bar, 2 * place + side] = weight[bar]

    def _depths(self) -> tuple[dict[str, float], dict[str, float]]:
        """Return the depths of bars and blocks: what feeds lies above what it feeds, from the rails down."""
        hang = self.hang
        rails = [bar for bar in hang.order if bar not in hang.parent and hang.bars[bar] == "rail"]
        bars = {
            bar: (1.0 if bar not in rails[:1] else 0.0) if hang.above[bar] else _RETURNS for bar in self.bars
        }
        blocks = {end.id: _BLOCKS for one in self.strands for end in (one.a, one.b) if end.kind == "block"}
        fed = {strand.b.id for strand in self.strands}
        for bar in self.bars:
            if hang.bars[bar] == "box" and bar not in fed:
                bars[bar] = 3.0
            if bar.endswith(GOES) and bar in fed:
                bars[bar] = _ACROSS
        for _ in range(6):
            changed = False
            for strand in self.strands:
                a, b = strand.a, strand.b
                depths = blocks if b.kind == "block" else bars
                if b.id not in depths or a.id == b.id or (b.kind == "bar" and not hang.above[b.id]):
                    continue
                step = 3.0 if a.kind == b.kind == "bar" else 1.0
                least = self._depth(a, bars, blocks, upper=True) + step
                changed |= least > depths[b.id]
                depths[b.id] = max(depths[b.id], least)
            if not changed:
                break
        return bars, blocks

    def _depth(self, end: End, bars: dict[str, float], blocks: dict[str, float], *, upper: bool) -> float:
        """Return how deep an end of a line lies."""
        if end.kind == "bar" and end.id in bars:
            return bars[end.id]
        if end.kind == "block":
            return blocks[end.id] + (0.5 if upper else 0.0)
        if end.kind == "bar" and end.id not in self.hang.scatter:
            return _BODY
        return _LOADS if end.kind == "bar" or not upper else 0.0

    def _by_wires(self) -> np.ndarray:
        """Return which return bar lies higher than which because a wire runs down from it."""
        found = np.zeros((len(self.bars), len(self.bars)), dtype=bool)
        for strand in self.strands:
            if is_return(self.hang, strand) and strand.a.id in self.index and strand.b.id in self.index:
                found[self.index[strand.a.id], self.index[strand.b.id]] = True
        for _ in range(3):  # and what runs down from that
            found |= found @ found
        return found & ~found.T

    # counting -------------------------------------------------------------------------------------------

    def columns(self, orders: np.ndarray, turned: frozenset[int]) -> np.ndarray:
        """Return for each order the columns of all lines, then of all ends on bars."""
        widths = self.widths[orders]
        first = np.empty_like(orders)
        np.put_along_axis(first, orders, widths.cumsum(axis=1) - widths, axis=1)
        offset = self.offset
        if turned:
            back = np.isin(self.cluster, list(turned))
            offset = np.where(back, self.widths[self.cluster] - 1 - offset, offset)
        found: np.ndarray = first[:, self.cluster] + offset
        return found

    def over(self, column: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return which line stands over the inside of which bar, and the bars' first and last columns."""
        at = column[:, len(self.strands) :]
        left = np.minimum.reduceat(at, self.starts, axis=1)
        right = np.maximum.reduceat(at, self.starts, axis=1)
        stands = column[:, : len(self.strands), None]
        return self.could & (stands > left[:, None]) & (stands < right[:, None]), left, right

    def crossings(self, orders: Sequence[Sequence[int]], turned: frozenset[int] = frozenset()) -> list[int]:
        """Return the crossings of each of some orders of clusters, some clusters turned.

        All orders are counted at once, which is much faster than one by one.
        """
        if not len(orders) or not self.bars:
            return [0] * len(orders)
        return self.counted(self.columns(np.array(orders, dtype=int), turned))

    def crossings_hung(self, strand: Strand, hosts: Sequence[int]) -> list[int]:
        """Return the crossings with the clusters in order and one line in each of some columns."""
        [line] = [place for place, one in enumerate(self.strands) if one is strand]
        column = np.repeat(self.columns(np.arange(len(self.widths))[None], frozenset()), len(hosts), axis=0)
        for place in (line, *self.ends_of[line]):
            column[:, place] = hosts
        return self.counted(column)

    def counted(self, column: np.ndarray) -> list[int]:
        """Return the crossings for some rows of columns."""
        over, left, right = self.over(column)
        flat = over.reshape(len(column), -1).astype(float)
        total = flat @ self.fixed.reshape(-1)
        if self.pairs:
            total = total + (flat @ self.open).reshape(len(column), -1, 2).min(axis=2).sum(axis=1)
        for one, other in combinations(self.boxes, 2):  # outlines of two boxes are kept apart
            shared = np.minimum(right[:, one], right[:, other]) - np.maximum(left[:, one], left[:, other])
            total = total + _SHARED_BOX * np.maximum(0, shared + 1)
        return [round(each) for each in total.tolist()]

    # what is drawn --------------------------------------------------------------------------------------

    def busy(self, order: Sequence[int], turned: frozenset[int]) -> list[int]:
        """Return the clusters that may have a part in a crossing: the line's, and those at the bar's ends."""
        column = self.columns(np.array([order], dtype=int), turned)
        over, left, right = (each[0] for each in self.over(column))
        found = set(self.cluster[: len(self.strands)][over.any(axis=1)].tolist())
        bars = over.any(axis=0)
        sizes = np.diff([*self.starts.tolist(), column.shape[1] - len(self.strands)])
        bar = np.repeat(np.arange(len(self.bars)), sizes)
        at = column[0, len(self.strands) :]
        ends = bars[bar] & ((at == left[bar]) | (at == right[bar]))
        return sorted(found | set(self.cluster[len(self.strands) :][ends].tolist()))

    def tracks(self, order: Sequence[int], turned: frozenset[int] = frozenset()) -> list[str]:
        """Return the bars from the highest to the lowest: where it is open, as it costs fewer crossings.

        Of several that could come next the one is taken that lies best above all others left; ties keep the
        order of the wiring.
        """
        if not self.bars:
            return []
        above = np.zeros((len(self.bars), len(self.bars)))  # what it costs that the first is the higher one
        over, *_ = self.over(self.columns(np.array([order], dtype=int), turned))
        cost = over.reshape(-1).astype(float) @ self.open
        for place, (i, j) in enumerate(self.pairs):
            above[i, j], above[j, i] = cost[2 * place], cost[2 * place + 1]
        left, found = list(range(len(self.bars))), []
        while left:
            ready = [one for one in left if not self.higher[left, one].any()] or left
            best = min(ready, key=lambda one: (above[one, left] - above[left, one]).sum())
            found.append(self.bars[best])
            left.remove(best)
        return found
