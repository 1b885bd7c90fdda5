"""What is taken of the paper: slanting lines bit by bit, so that room beside them is found."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.scene import Band, Circle, Drawn, Polygon, Polyline, Wire
from loomwright.drawing.taken import Taken

_BIT_MM = 2.5
_CLEAR_MM = 0.5
#: Where something is set beside a point: right, left, over, under it, at its corners, half over and under.
_SIDES = (
    (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0),
    (0.5, 1.0), (0.5, -1.0), (-0.5, 1.0), (-0.5, -1.0), (1.0, 0.5), (1.0, -0.5), (-1.0, 0.5), (-1.0, -0.5),
)  # fmt: skip


class Paper:
    """Which room of a box is free.

    Parameters
    ----------
    box : Box
        Nothing is set outside it. [mm]
    """

    def __init__(self, box: Box) -> None:
        self.box = box
        self._taken = Taken()

    def add(self, items: Iterable[Drawn]) -> None:
        """Take the room of what is drawn."""
        for item in items:
            for box in _boxes(item):
                self._taken.add(box)

    def is_free(self, room: Box) -> bool:
        """Say whether nothing is drawn in a room."""
        return self.box.holds(room) and self._taken.in_the_way(room) is None

    def near(self, at: Point, width: float, height: float, distances: Sequence[float]) -> Point | None:
        """Return the middle of the nearest free room of a size around a point, None if there is none.

        Parameters
        ----------
        at : Point
        width, height : float
            With the clear paper around it. [mm]
        distances : sequence of float
            How far from the point its edge may be, the nearest first. [mm]
        """
        for far in distances:
            for aside, up in _SIDES:
                off = far if 0.0 in (aside, up) else 0.7 * far
                x = at[0] + aside * (off + width / 2)
                y = at[1] - up * (off + height / 2)
                if self.is_free(Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)):
                    return x, y
        return None


def _boxes(item: Drawn) -> Iterator[Box]:
    if isinstance(item, Wire):
        yield from _bits(item.points, item.half_width)
    elif isinstance(item, Polyline):
        yield from _bits(item.points, item.pen.width / 2)
    elif isinstance(item, Band):
        yield from _bits(item.points, item.half_width)
    elif isinstance(item, Polygon) and item.fill is None:
        yield from _bits((*item.points, item.points[0]), item.pen.width / 2 if item.pen else 0.0)
    elif not isinstance(item, Circle) or item.fill is not None:
        yield item.box().grown(_CLEAR_MM)


def _bits(points: Sequence[Point], half: float) -> Iterator[Box]:
    for a, b in pairwise(points):
        level = a[0] == b[0] or a[1] == b[1]
        count = 1 if level else max(1, math.ceil(math.dist(a, b) / _BIT_MM))
        for k in range(count):
            ends = [(a[0] + (b[0] - a[0]) * t / count, a[1] + (b[1] - a[1]) * t / count) for t in (k, k + 1)]
            yield box_of_points(ends, half + _CLEAR_MM)


__all__ = ["Paper"]
