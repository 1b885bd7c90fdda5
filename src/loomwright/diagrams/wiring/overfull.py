"""Sets out the sheets: one that is too full is drawn as two, a free way that meets a line stands apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from loomwright.assessment.record import Assessment

from .columns import Cluster, Column, place_columns
from .order import ordered
from .paint import Painter
from .sides import Hang
from .strip import COLUMNS, leaves, sheets_of, with_studs_apart
from .units import TURN, unit_of
from .words import Words

#: How many places are tried at most to cut a sheet. [-]
_MOST_CUTS = 18
#: From a bar down to the foot of its ways, where no frame says how far. [mm]
_WAY = 21.0

#: What stands on one sheet, in its home order.
_Sheet = Sequence[Cluster]


def painters_of(job: Assessment, hang: Hang, words: Words) -> list[Painter]:
    """Return a painter for each sheet, with the heights of all that stands on it."""
    sheets = sheets_of(hang, place_columns(hang))
    painters = _set_out(job, hang, words, sheets)
    moved = [_free_ways_beside(painter, sheet) for painter, sheet in zip(painters, sheets, strict=True)]
    if any(moved):
        sheets = [part for sheet in sheets for part in _narrow(sheet)]
        painters = _set_out(job, hang, words, sheets)
    for place in reversed([place for place, painter in enumerate(painters) if not painter.heights.fits]):
        for parts in _cuts(sheets[place]):
            parted = [*sheets[:place], *map(list, parts), *sheets[place + 1 :]]
            tried = _set_out(job, hang, words, parted)
            if _misfits(tried) < _misfits(painters):
                sheets, painters = parted, tried
                break
    return painters


def _set_out(job: Assessment, hang: Hang, words: Words, sheets: Sequence[_Sheet]) -> list[Painter]:
    made = leaves(hang, [ordered(hang, sheet) for sheet in sheets])
    apart = with_studs_apart(hang, made)
    return [Painter(job, apart, leaf, words) for leaf in made]


def _free_ways_beside(painter: Painter, sheet: list[Cluster]) -> bool:
    """Give the free ways of each box that would meet a line a column of their own; say whether any did."""
    moved: defaultdict[str, list[str]] = defaultdict(list)
    for index, column in enumerate(painter.leaf.columns):
        for bar, way in list(column.free_ways):
            if _meets_a_line(painter, index, bar):
                column.free_ways.remove((bar, way))
                moved[bar].append(way)
    for bar, ways in moved.items():
        last = max(i for i, cluster in enumerate(sheet) if any(_on_bar(one, bar) for one in cluster.columns))
        beside = Cluster([Column(free_ways=[(bar, ", ".join(ways))])], bar, sheet[last].group)
        sheet.insert(last + 1, beside)
    return bool(moved)


def _on_bar(column: Column, bar: str) -> bool:
    return any(bar in (strand.a.id, strand.b.id) for strand in column.strands)


def _meets_a_line(painter: Painter, index: int, bar: str) -> bool:
    """True if a line or a block stands in a column between a bar and the foot of its ways."""
    heights, top = painter.heights, painter.heights.bars[bar]
    foot = heights.edges.get((unit_of(bar), False), top + _WAY)
    lines = [(p.top, p.bottom) for p in painter.leaf.strands if p.column == index]
    for block, _ in painter.leaf.columns[index].blocks:
        lines.append((heights.blocks[block], heights.blocks[block] + painter.block_height_of(block)))
    return any(one < foot - 0.1 and other > top + 0.1 for one, other in lines)


def _narrow(sheet: list[Cluster]) -> Iterator[list[Cluster]]:
    """Yield a sheet, in two parts if it has too many columns."""
    if sum(len(cluster.columns) for cluster in sheet) <= COLUMNS:
        yield sheet
        return
    for part in next(_cuts(sheet), (sheet,)):
        yield list(part)


def _misfits(painters: Sequence[Painter]) -> int:
    return sum(not painter.heights.fits for painter in painters)


def _cuts(sheet: _Sheet) -> Iterator[tuple[_Sheet, _Sheet]]:
    """Yield a sheet in two parts, cut near its middle and between clusters first."""
    columns = [column for cluster in sheet for column in cluster.columns]
    edges, width = set(), 0
    for cluster in sheet:
        width += len(cluster.columns)
        edges.add(width)
    places = [at for at in range(1, len(columns)) if not _held(columns[:at]) & _held(columns[at:])]
    places.sort(key=lambda at: (at not in edges, abs(2 * at - len(columns)), at))
    for at in places[:_MOST_CUTS]:
        yield _first(sheet, at), _rest(sheet, at)


def _held(columns: Sequence[Column]) -> set[str]:
    """Return what has to stand on one sheet: blocks, and lines that come up again beside their load."""
    blocks = {block for column in columns for block, _ in column.blocks}
    return blocks | {one.b.id for column in columns for one in column.strands if one.b.kind == TURN}


def _first(sheet: _Sheet, count: int) -> _Sheet:
    """Return the clusters of the first columns of a sheet."""
    taken = []
    for cluster in sheet:
        if count > 0:
            taken.append(Cluster(cluster.columns[:count], cluster.bar, cluster.group))
        count -= len(cluster.columns)
    return taken


def _rest(sheet: _Sheet, count: int) -> _Sheet:
    """Return the clusters of a sheet without its first columns."""
    left = []
    for cluster in sheet:
        if len(cluster.columns) > count:
            left.append(Cluster(cluster.columns[max(count, 0) :], cluster.bar, cluster.group))
        count -= len(cluster.columns)
    return left
