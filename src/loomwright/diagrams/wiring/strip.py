"""From clusters to sheets: columns for what is left, seams, and what stands on each sheet.

A sheet holds 19 columns. A set too wide for one is cut at a cluster's edge, if it can be where a tree of
feeds begins; bars that go on carry sheet and column of where they do.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from .columns import Cluster, Column, return_strands
from .crossings import Tracks
from .sides import Hang
from .spread import Placed
from .strands import End, FuseStep
from .units import TURN

#: Columns on a sheet.
COLUMNS = 19
#: A seam may leave so many columns of a sheet empty to fall where a tree of feeds begins.
_SPARE = 5
#: The same, to fall before a combined unit or before its ways.
_SPARE_UNIT = 9
#: Free ways beyond these share one column.
_FREE_SHOWN = 3
#: Lines further apart than so many columns get the sign of their stud once more.
_STUD_REACH = 3


@dataclass(slots=True)
class Leaf:
    """What stands on one sheet: columns, strands in them, and for each bar the columns that meet it.

    `met` counts columns from 0 on this sheet; `tracks` has the bars from the highest to the lowest; `before`
    and `after` name the sheet (from 0) and column from which a bar comes and to which it goes on.
    """

    number: int
    columns: list[Column]
    strands: list[Placed]
    met: dict[str, list[int]]
    tracks: Tracks
    before: dict[str, tuple[int, int]] = field(default_factory=dict)
    after: dict[str, tuple[int, int]] = field(default_factory=dict)

    def comes_from_edge(self, bar: str) -> bool:
        """True for a bar that comes from another sheet and has nothing left of it here."""
        return bar in self.before and self.met[bar][0] == 0

    def runs_to_edge(self, bar: str) -> bool:
        """True for a bar that goes on on another sheet and has nothing right of it here."""
        return bar in self.after and self.met[bar][-1] == len(self.columns) - 1

    def reach(self, bar: str) -> tuple[float, float]:
        """Return the columns from which and to which a bar is drawn, the sheet's edges included."""
        met, before, after = self.met[bar], bar in self.before, bar in self.after
        left = -1.0 if self.comes_from_edge(bar) else met[0] - (0.5 if before else 0.0)
        return left, COLUMNS if self.runs_to_edge(bar) else met[-1] + (0.5 if after else 0.0)


def sheets_of(hang: Hang, clusters: Sequence[Cluster]) -> list[list[Cluster]]:
    """Return the clusters of each sheet in their home order, with free ways and what is not wired."""
    clusters = [Cluster(list(one.columns), one.bar, one.group) for one in clusters]
    _add_free_ways(hang, clusters)
    _add_returns(hang, clusters)
    clusters += [Cluster([Column(unwired=id)], "") for id in hang.net.unwired]
    return _cut(clusters)


def leaves(hang: Hang, sheets: Sequence[tuple[Sequence[Cluster], Tracks]]) -> list[Leaf]:
    """Return the sheets of a wiring diagram from their clusters, each with its bars from the highest down."""
    made = []
    for number, (clusters, tracks) in enumerate(sheets):
        columns = [column for cluster in clusters for column in cluster.columns]
        strands = [Placed(strand, i) for i, column in enumerate(columns) for strand in column.strands]
        made.append(Leaf(number, columns, strands, _met(hang, strands, columns), tracks))
    _go_on(hang, made)
    return made


def with_studs_apart(hang: Hang, made: list[Leaf]) -> Hang:
    """Draw a stud once for each group of lines that stand close together, under the same name.

    A line between them that goes down to the body itself, or to another stud, parts a group: none is crossed.
    """
    bars, above = dict(hang.bars), dict(hang.above)
    for leaf in made:
        for stud in [bar for bar in leaf.met if hang.bars[bar] == "stud"]:
            groups: list[list[int]] = []
            down = _down_to_body(bars, leaf, stud)
            for column in leaf.met[stud]:
                near = bool(groups) and column - groups[-1][-1] <= _STUD_REACH
                if near and not down & set(range(groups[-1][-1] + 1, column)):
                    groups[-1].append(column)
                else:
                    groups.append([column])
            for number, group in enumerate(groups[1:], 2):
                alias = f"{stud}#{number}"
                bars[alias], above[alias] = "stud", False
                leaf.met[alias] = group
                for placed in leaf.strands:
                    if placed.column in group and placed.strand.b == End("bar", stud):
                        placed.strand = replace(placed.strand, b=End("bar", alias))
                    elif placed.column in group and placed.strand.a == End("bar", stud):
                        placed.strand = replace(placed.strand, a=End("bar", alias))
            leaf.met[stud] = groups[0]
    return replace(hang, bars=bars, above=above)


def _down_to_body(bars: Mapping[str, str], leaf: Leaf, stud: str) -> set[int]:
    """Return the columns in which a line ends on the body or on a stud other than this one."""
    low = (p for p in leaf.strands if p.strand.b.kind == "bar" and p.strand.b.id != stud)
    return {p.column for p in low if bars[p.strand.b.id] in ("stud", "body")}


def _met(hang: Hang, strands: Sequence[Placed], columns: Sequence[Column]) -> dict[str, list[int]]:
    met: defaultdict[str, set[int]] = defaultdict(set)
    for placed in strands:
        for end in (placed.strand.a, placed.strand.b):
            if end.kind == "bar" and end.id not in hang.scatter:
                met[end.id].add(placed.column)
    for index, column in enumerate(columns):
        for box, _ in column.free_ways:
            met[box].add(index)
    return {bar: sorted(met[bar]) for bar in hang.bars if bar in met}


def _go_on(hang: Hang, made: list[Leaf]) -> None:
    """Tell for each bar that stands on several sheets where it comes from and goes on."""
    for bar, kind in hang.bars.items():
        if kind in ("stud", "body") or bar in hang.scatter:
            continue
        sheets = [leaf for leaf in made if bar in leaf.met]
        for left, right in pairwise(sheets):
            left.after[bar] = (right.number, right.met[bar][0])
            right.before[bar] = (left.number, left.met[bar][-1])


def _cut(clusters: Sequence[Cluster]) -> list[list[Cluster]]:
    """Return the clusters of each sheet."""
    total = sum(len(cluster.columns) for cluster in clusters)
    sheets: list[list[Cluster]] = []
    rest = list(clusters)
    while rest:
        if total <= COLUMNS:
            sheets.append(rest)
            break
        count, width = 0, 0
        while count < len(rest) and width + len(rest[count].columns) <= COLUMNS:
            width += len(rest[count].columns)
            count += 1
        if count == 0:  # one cluster wider than a sheet: cut between its columns
            wide = rest[0]
            at = next((k for k in range(COLUMNS, 1, -1) if not _tied(*wide.columns[k - 1 : k + 1])), COLUMNS)
            taken = [Cluster(wide.columns[:at], wide.bar, wide.group)]
            rest[0] = Cluster(wide.columns[at:], wide.bar, wide.group)
        else:
            count = _natural(rest, count) if count < len(rest) else count
            taken, rest = rest[:count], rest[count:]
        total -= sum(len(cluster.columns) for cluster in taken)
        sheets.append(taken)
    return sheets or [[]]


def _tied(left: Column, right: Column) -> bool:
    """True for two columns that cannot stand on different sheets."""
    ties = [
        {*(block for block, _ in column.blocks), *(one.b for one in column.strands if one.b.kind == TURN)}
        for column in (left, right)
    ]
    return bool(ties[0] & ties[1])


def _natural(rest: Sequence[Cluster], most: int) -> int:
    """Return how many clusters a sheet takes: up to where another bar begins, if that is near."""
    width = 0
    for count in range(most, 0, -1):
        if rest[count - 1].group != rest[count].group and (width <= _SPARE_UNIT or rest[count].group == 1):
            return count
        width += len(rest[count - 1].columns)
        if width > _SPARE_UNIT:
            break
    width = 0
    for count in range(most, 0, -1):
        if rest[count - 1].bar != rest[count].bar:
            return count
        width += len(rest[count - 1].columns)
        if width > _SPARE:
            break
    return most


def _add_free_ways(hang: Hang, clusters: list[Cluster]) -> None:
    """Put the free ways of each fuse box after its last way: over columns free above, else beside."""
    for box, used in _used_ways(hang).items():
        part = hang.net.wiring.parts[box]
        if not isinstance(part.ways, int):
            continue
        free = [str(way) for way in range(1, part.ways + 1) if str(way) not in used]
        bar = next(bar for bar in (f"{box}.in", f"{box}#bar") if hang.bars.get(bar) == "box")
        last = max((i for i, one in enumerate(clusters) if _on_bar(one, bar)), default=_fed_at(clusters, bar))
        if last is None or not free:
            continue
        room = [column for column in clusters[last].columns if not _fed_from_above(column, hang)]
        for column in room[1:] if len(room) == len(clusters[last].columns) else room:
            if free:
                column.free_ways.append((bar, free.pop(0)))
        shown = free if len(free) <= _FREE_SHOWN else [f"{free[0]}–{free[-1]}"]
        if len(free) > _FREE_SHOWN and int(free[-1]) - int(free[0]) + 1 != len(free):
            shown = [", ".join(free)]
        more = [Column(free_ways=[(bar, words)]) for words in shown]
        if more:
            clusters.insert(last + 1, Cluster(more, bar, clusters[last].group))


def _fed_at(clusters: Sequence[Cluster], bar: str) -> int | None:
    """Return the cluster in which the feed of a bar comes down; None if it has none."""
    strands = (
        (i, one) for i, cluster in enumerate(clusters) for column in cluster.columns for one in column.strands
    )
    return max((i for i, strand in strands if strand.b.id == bar), default=None)


def _used_ways(hang: Hang) -> dict[str, set[str]]:
    used: dict[str, set[str]] = {
        id: set()
        for id, part in hang.net.wiring.parts.items()
        if part.kind == "fuse_box" and "box" in (hang.bars.get(f"{id}.in"), hang.bars.get(f"{id}#bar"))
    }
    for strand in hang.strands:
        for step in strand.steps:
            if isinstance(step, FuseStep) and step.box in used and step.spot and step.spot.way:
                used[step.box].add(step.spot.way.rpartition(".")[2])
    return used


def _on_bar(cluster: Cluster, bar: str) -> bool:
    return any(
        end.kind == "bar" and end.id == bar
        for column in cluster.columns
        for strand in column.strands
        for end in (strand.a,)
    )


def _fed_from_above(column: Column, hang: Hang) -> bool:
    """True if a line comes down the upper part of a column: anything but the leg of a joint."""
    return any(
        strand.a.kind != "bar" or hang.bars[strand.a.id] != "joint" or strand.a.id.endswith("^")
        for strand in column.strands
    ) or any(place == 0 for _, place in column.blocks)


def _add_returns(hang: Hang, clusters: list[Cluster]) -> None:
    """Give each strand between two return bars a column: one whose line ends on its upper bar."""
    columns = [column for cluster in clusters for column in cluster.columns]
    ends: defaultdict[str, list[int]] = defaultdict(list)
    for index, column in enumerate(columns):
        for strand in column.strands:
            for end in (strand.a, strand.b):
                if end.kind == "bar" and not hang.above[end.id] and end.id not in hang.scatter:
                    ends[end.id].append(index)
    waiting = list(return_strands(hang))
    taken: set[tuple[str, int]] = set()
    while waiting:
        strand = next((s for s in waiting if not any(o.b == s.a for o in waiting if o is not s)), waiting[0])
        waiting.remove(strand)
        upper, lower = strand.a.id, strand.b.id
        free = [index for index in ends[upper] if (upper, index) not in taken]
        if free:
            index = min(free)  # what is added further right leaves it where it is
            columns[index].strands.append(strand)
        else:
            index = len(columns)
            columns.append(Column([strand]))
            beside = min(ends[upper] or ends[lower] or [index - 1])
            clusters.insert(_cluster_of(clusters, columns[beside]) + 1, Cluster([columns[-1]], ""))
            ends[upper].append(index)
        taken.add((upper, index))
        ends[lower].append(index)


def _cluster_of(clusters: Sequence[Cluster], column: Column) -> int:
    return next((i for i, one in enumerate(clusters) if any(c is column for c in one.columns)), 0)
