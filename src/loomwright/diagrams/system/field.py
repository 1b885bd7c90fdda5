"""The field of the system sheet: how dense it is set, how much air its boxes get, where the mains go.

The roomiest level at which all fits is taken. Where that is not enough beside mains, what is used and what
feeds it get the whole height; the band of the mains ends to the left of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.assessment.record import Assessment
from loomwright.drawing.frame import FIELD_BOX, column_row
from loomwright.drawing.geometry import Box

from .graph import build_graph
from .layout import RIGHT
from .levels import AIRS, DENSE_STEPS, LEVELS, Level
from .mains import MAINS_LEVELS, mains_graph
from .marks import Paper
from .sheet import BOTTOM, RESERVED, TOP, Network, Picture, field_paper, network_of, picture, without_last
from .things import USED, Graph

COLUMNS = 8
#: What it costs, in steps of density, to tell relays of single loads in words.
_PLAIN = 12
#: Air between boxes may make the lines so much longer.
_LONGER = 1.05
#: Between the field and the band of the mains, and the words at the band's top. [mm]
_ABOVE_BAND, _BAND_HEAD = 4.0, 9.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """The field of the sheet before findings: the network, the mains band, what was left out."""

    main: Picture
    mains: Picture | None
    band_top: float
    band_right: float
    left_out: int
    paper: Paper
    density: float
    level: Level


@dataclass(frozen=True, slots=True)
class _Try:
    """A network set at one level, and what that costs; `deep` leaves the band of the mains the left only."""

    cost: float
    network: Network
    level: Level
    deep: bool = False


@dataclass(frozen=True, slots=True)
class _Found:
    """A try that fits, with the cost of what its labels leave untold."""

    tried: _Try
    cost: float
    main: Picture
    paper: Paper


def draw_field(job: Assessment) -> Drawing:
    """Return the field: the first level at which everything fits, at last with things left out."""
    graph, plain = network_of(build_graph(job)), network_of(build_graph(job, plain=True))
    height = _mains_height(job)
    band_top = FIELD_BOX.bottom - height if height else FIELD_BOX.bottom
    tries = [_Try(cost, graph, level) for cost, level in enumerate(LEVELS[:-DENSE_STEPS])]
    tries += [_Try(cost + _PLAIN, plain, level) for cost, level in enumerate(LEVELS)]
    tries.sort(key=lambda one: one.cost)
    found = _best(job, tries, band_top, 0.0)
    dense = [one for one in tries if one.level in LEVELS[-DENSE_STEPS:]]
    if found is None and height:
        found = _best(job, [replace(one, deep=True) for one in dense], band_top, 0.0)
    left_out = 0
    if found is None:
        left_out, found = _with_some_left_out(job, plain.graph, band_top, deep=height > 0)
    assert found is not None, "a sheet without anything used has room for every box"
    found = _aired(job, found, band_top)
    right = found.main.edges[-3][1] + 1.2 if found.tried.deep else FIELD_BOX.right
    mains = _mains(job, found, band_top, right) if height else None
    return Drawing(found.main, mains, band_top, right, left_out, found.paper, found.cost, found.tried.level)


def _with_some_left_out(
    job: Assessment, graph: Graph, band_top: float, *, deep: bool
) -> tuple[int, _Found | None]:
    """Return how few things that are used have to be left out, found by halving, and what is drawn then."""
    used = sum(thing.field == USED for thing in graph.things.values())

    def shown(left_out: int) -> _Found | None:
        fewer = network_of(without_last(graph, used - left_out))
        return _best(job, [_Try(0.0, fewer, LEVELS[-1], deep)], band_top, 4.0)

    low, high = 1, used
    while low < high:
        middle = (low + high) // 2
        if shown(middle) is None:
            low = middle + 1
        else:
            high = middle
    return low, shown(low)


def _best(job: Assessment, tries: Sequence[_Try], band_top: float, kept: float) -> _Found | None:
    """Return the try that fits and costs least: in density, and in what its labels leave untold."""
    best: _Found | None = None
    for one in tries:
        if best is not None and one.cost >= best.cost:
            break
        found = _set(job, one, band_top, kept)
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    return best


def _set(job: Assessment, one: _Try, band_top: float, kept: float) -> _Found | None:
    paper = field_paper()
    bottom = min(RESERVED if one.level.reserve else BOTTOM, band_top - _ABOVE_BAND)
    deep = BOTTOM - kept if one.deep else None
    main = picture(one.network, job, one.level, paper, TOP, bottom - (0.0 if one.deep else kept), deep=deep)
    return None if main is None else _Found(one, one.cost + main.wanting, main, paper)


def _aired(job: Assessment, found: _Found, band_top: float) -> _Found:
    """Return what was found with the most air between its boxes that costs no bend, no label, no long way."""
    best, level = found, found.tried.level
    for air in AIRS if level.row >= 2 else ():
        aired = _set(job, replace(found.tried, level=replace(level, air=air)), band_top, 0.0)
        if aired is None or aired.cost > best.cost or aired.main.bends > best.main.bends:
            continue
        if aired.main.bends < best.main.bends or aired.main.length <= found.main.length * _LONGER:
            best = aired
    return best


def _mains_levels(job: Assessment, top: float, spots: Mapping[str, str], right: float) -> Iterator[Picture]:
    network = network_of(mains_graph(job, spots))
    for level in MAINS_LEVELS:
        paper = Paper(FIELD_BOX)
        found = picture(network, job, level, paper, top, top + 120.0, mains=True, right=right)
        if found is not None:
            yield found


def _mains_height(job: Assessment) -> float:
    """Return how high the band of the mains side is, with its words; 0 without one."""
    if not mains_graph(job, {}).things:
        return 0.0
    heights = [found.lowest - 100.0 + 12.5 for found in _mains_levels(job, 100.0, {}, RIGHT)]
    return next((height for height in heights if height <= 60.0), heights[-1])


def _mains(job: Assessment, found: _Found, band_top: float, right: float) -> Picture | None:
    spots = {id: column_row(box.centre, COLUMNS) for id, box in found.main.boxes.items()}
    network = network_of(mains_graph(job, spots))
    top, bottom = band_top + _BAND_HEAD, FIELD_BOX.bottom - 2.0
    end = min(RIGHT, right - 2.0)
    for level in MAINS_LEVELS:
        # Beside what is deep the band is kept free of all else.
        paper = Paper(Box(FIELD_BOX.left, band_top, end, bottom)) if found.tried.deep else found.paper
        mains = picture(network, job, level, paper, top, bottom, mains=True, right=end)
        if mains is not None:
            return mains
    return None
