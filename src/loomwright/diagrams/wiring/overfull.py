"""Sets out the sheets; one that is too full for its height is drawn as two, on which bars go on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.assessment.record import Assessment

from .columns import Cluster, Column, place_columns
from .order import ordered
from .paint import Painter
from .sides import Hang
from .strip import leaves, sheets_of, with_studs_apart
from .units import TURN
from .words import Words

#: How many places are tried at most to cut a sheet. [-]
_MOST_CUTS = 18

#: What stands on one sheet, in its home order.
_Sheet = Sequence[Cluster]


def painters_of(job: Assessment, hang: Hang, words: Words) -> list[Painter]:
    """Return a painter for each sheet, with the heights of all that stands on it."""
    sheets: list[_Sheet] = list(sheets_of(hang, place_columns(hang)))
    painters = _set_out(job, hang, words, sheets)
    for place in reversed([place for place, painter in enumerate(painters) if not painter.heights.fits]):
        for parts in _cuts(sheets[place]):
            parted = [*sheets[:place], *parts, *sheets[place + 1 :]]
            tried = _set_out(job, hang, words, parted)
            if _misfits(tried) < _misfits(painters):
                sheets, painters = parted, tried
                break
    return painters


def _set_out(job: Assessment, hang: Hang, words: Words, sheets: Sequence[_Sheet]) -> list[Painter]:
    made = leaves(hang, [ordered(hang, sheet) for sheet in sheets])
    apart = with_studs_apart(hang, made)
    return [Painter(job, apart, leaf, words) for leaf in made]


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
