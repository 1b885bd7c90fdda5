"""Moves columns on a sheet where that saves a crossing, each to the nearest of the best places.

A cluster moves as one and stays among those of its kind (before a unit, its feeds, its ways); within it a
part moves with all its columns. A box may be turned left to right instead. The wire between two return bars
may go down from another of their columns. Nothing moves on a sheet without crossings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from .columns import Cluster, Column, return_strands
from .crossings import Count, Tracks
from .sides import Hang
from .strands import Strand
from .units import TURN

#: Rounds in which every cluster that has a part in a crossing is tried once.
_ROUNDS = 10


def ordered(hang: Hang, clusters: Sequence[Cluster]) -> tuple[list[Cluster], Tracks]:
    """Return the blocks of a sheet in an order with fewer crossings, and its bars from the highest down."""
    search = _Search(hang, blocks_of(clusters))
    search.run()
    return search.blocks, search.count.tracks()


def blocks_of(clusters: Sequence[Cluster]) -> list[Cluster]:
    """Return what can move within clusters: a part with all its columns, else one column."""
    found: list[Cluster] = []
    for family, cluster in enumerate(clusters):
        reach: list[set[object]] = []
        for column in cluster.columns:
            ties: set[object] = {block for block, _ in column.blocks}
            ties |= {one.b for one in column.strands if one.b.kind == TURN}
            if reach and reach[-1] & ties:
                found[-1].columns.append(column)
                reach[-1] |= ties
            else:
                found.append(Cluster([column], cluster.bar, cluster.group, family))
                reach.append(ties)
    return found


class _Search:
    """Blocks of a sheet on their way to a better order."""

    def __init__(self, hang: Hang, blocks: Sequence[Cluster]) -> None:
        self.hang = hang
        self.blocks = list(blocks)
        self.count = Count(hang, blocks)
        self.order = list(range(len(blocks)))
        self.turned: frozenset[int] = frozenset()
        self.total = self.count.exact(self._columns())

    def run(self) -> None:
        """Move, turn and hang over until nothing of that saves a crossing."""
        for _ in range(_ROUNDS):
            before = self.total
            if self.total:
                self._round()
                self._settle()
            if self.total:
                self._rehang()
            if self.total in (0, before):
                break

    def _columns(self) -> np.ndarray:
        row: np.ndarray = self.count.columns([self.order], self.turned)[0]
        return row

    def _round(self) -> None:
        """Put each cluster, and each block in one, that has a part in a crossing where there are fewest."""
        for block in self.count.busy(self._columns()):
            for turned in self._turns(block):
                moves = [*self._moves_of_cluster(block), *self._moves_within(block)]
                columns = self.count.columns([order for _, order in moves], turned)
                reach = [far for far, _ in moves]
                best = self._best(columns, reach)
                if best is not None:
                    self.order, self.turned = moves[best][1], turned
            if not self.total:
                return

    def _best(self, columns: np.ndarray, reach: Sequence[int]) -> int | None:
        """Return which of some rows of columns has fewest crossings, then the nearest; None if no fewer."""
        least = self.count.least(columns)
        for fewest, _, place in sorted(zip(least, reach, range(len(least)), strict=True)):
            if fewest >= self.total:
                return None
            exact = self.count.exact(columns[place])
            if exact < self.total:
                self.total = exact
                return place
        return None

    def _turns(self, block: int) -> list[frozenset[int]]:
        return [self.turned, self.turned ^ {block}] if _can_turn(self.blocks[block]) else [self.turned]

    def _moves_of_cluster(self, block: int) -> Iterator[tuple[int, list[int]]]:
        """Yield each order with a block's cluster elsewhere among its kind, with how far it then is moved."""
        families = [list(members) for _, members in groupby(self.order, lambda k: self.blocks[k].family)]
        here = next(place for place, members in enumerate(families) if block in members)
        moving = families.pop(here)
        group = self.blocks[block].group
        for target in range(len(families) + 1):
            beside = [self.blocks[members[0]].group for members in families[max(target - 1, 0) : target + 1]]
            if group in beside or target == here:
                yield (
                    abs(target - here),
                    [k for members in (*families[:target], moving, *families[target:]) for k in members],
                )

    def _moves_within(self, block: int) -> Iterator[tuple[int, list[int]]]:
        """Yield each order with one block elsewhere in its cluster."""
        here = self.order.index(block)
        for target, other in enumerate(self.order):
            if target != here and self.blocks[other].family == self.blocks[block].family:
                moved = self.order[:here] + self.order[here + 1 :]
                moved.insert(target, block)
                yield abs(target - here), moved

    def _settle(self) -> None:
        """Take the order found as the order of the blocks."""
        if self.order != list(range(len(self.order))) or self.turned:
            for one in self.turned:
                self.blocks[one].columns.reverse()
            self.blocks = [self.blocks[k] for k in self.order]
            self.count = Count(self.hang, self.blocks)
            self.order, self.turned = list(range(len(self.order))), frozenset()

    def _rehang(self) -> None:
        """Let each wire between two return bars go down from the column where it crosses least."""
        columns = [column for block in self.blocks for column in block.columns]
        for strand in return_strands(self.hang):
            here = next(
                (k for k, column in enumerate(columns) if any(one is strand for one in column.strands)), None
            )
            hosts = [] if here is None else list(_hosts(columns, strand, here))
            if here is None or not hosts:
                continue
            best = self._best(self.count.columns_hung(strand, hosts), [abs(one - here) for one in hosts])
            if best is not None:
                columns[here].strands[:] = [one for one in columns[here].strands if one is not strand]
                columns[hosts[best]].strands.append(strand)
                self.count = Count(self.hang, self.blocks)


def _hosts(columns: Sequence[Column], strand: Strand, here: int) -> Iterator[int]:
    """Yield the columns in which a wire can go down from a return bar: a line ends there, none starts."""
    for place, column in enumerate(columns):
        others = [one for one in column.strands if one is not strand]
        if any(one.b == strand.a for one in others) and not any(one.a == strand.a for one in others):
            yield place


def _can_turn(block: Cluster) -> bool:
    """True for a box that can be drawn the other way round: no pair of switches, nothing hung under it."""
    parts = {part for column in block.columns for part, _ in column.blocks}
    return len(parts) == 1 and "+" not in next(iter(parts))
