"""Where wires pass each other without joining, and the gap that says so."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist
from typing import NamedTuple

from loomwright.drawing.geometry import Point
from loomwright.drawing.scene import Drawn, Polyline, Wire

#: Clear paper on each side of the wire that is crossed. [mm]
CROSSING_GAP_MM = 1.0
#: Points nearer than this are the same point. [mm]
SAME_POINT_MM = 0.01


class Run(NamedTuple):
    """One straight piece of a wire or rail: of the item number `item`, `start` along it. [mm]"""

    item: int
    a: Point
    b: Point
    start: float
    half_width: float

    @property
    def level(self) -> bool:
        """Whether it runs across the sheet."""
        return self.a[1] == self.b[1]

    def along(self, at: Point) -> float:
        """Return the distance of a point from the item's first point. [mm]"""
        return self.start + abs(at[0] - self.a[0]) + abs(at[1] - self.a[1])


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two runs that cross at right angles, each between its ends."""

    at: Point
    level: Run
    upright: Run


def runs_of(index: int, points: Sequence[Point], half_width: float) -> Iterator[Run]:
    """Yield the straight pieces of a line."""
    start = 0.0
    for a, b in pairwise(points):
        yield Run(index, a, b, start, half_width)
        start += dist(a, b)


def all_runs(items: Sequence[Drawn]) -> list[Run]:
    """Return the straight pieces of all wires and rails among some items."""
    runs: list[Run] = []
    for index, item in enumerate(items):
        if isinstance(item, Wire):
            runs += runs_of(index, item.points, item.half_width)
        elif isinstance(item, Polyline) and item.layer == "rails":
            runs += runs_of(index, item.points, item.pen.width / 2)
    return runs


def crossings(runs: Iterable[Run]) -> list[Crossing]:
    """Return where level runs cross upright ones; an end that touches is a joint, not a crossing."""
    level = [run for run in runs if run.level]
    upright = sorted((run for run in runs if run.a[0] == run.b[0]), key=lambda run: run.a[0])
    xs = [run.a[0] for run in upright]
    found = []
    for across in level:
        left, right = sorted((across.a[0], across.b[0]))
        first, last = bisect_right(xs, left + SAME_POINT_MM), bisect_left(xs, right - SAME_POINT_MM)
        for down in upright[first:last]:
            top, bottom = sorted((down.a[1], down.b[1]))
            if top + SAME_POINT_MM < across.a[1] < bottom - SAME_POINT_MM:
                found.append(Crossing((down.a[0], across.a[1]), across, down))
    return found


def broken_at_crossings(items: Sequence[Drawn]) -> tuple[Drawn, ...]:
    """Return the items with every later wire left open where it passes an earlier one or a rail."""
    gaps: defaultdict[int, list[tuple[float, float]]] = defaultdict(list)
    for crossing in crossings(all_runs(items)):
        kept, broken = crossing.level, crossing.upright
        if not isinstance(items[broken.item], Wire) or _earlier(broken, kept, items):
            kept, broken = broken, kept
        if isinstance(items[broken.item], Wire):
            half, middle = kept.half_width + CROSSING_GAP_MM, broken.along(crossing.at)
            gaps[broken.item].append((middle - half, middle + half))
    return tuple(
        replace(item, gaps=_merged(gaps[index])) if isinstance(item, Wire) and index in gaps else item
        for index, item in enumerate(items)
    )


def _earlier(one: Run, other: Run, items: Sequence[Drawn]) -> bool:
    return one.item < other.item and isinstance(items[other.item], Wire)


def _merged(gaps: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return gaps in order, those that touch made one."""
    merged: list[tuple[float, float]] = []
    for start, end in sorted(gaps):
        if merged and start <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(end, merged[-1][1])
        else:
            merged.append((start, end))
    return tuple(merged)
