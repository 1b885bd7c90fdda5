"""Points, boxes and placements on paper.

Lengths are millimetres; x runs to the right and y runs DOWN the sheet, as a reader goes.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

Point = tuple[float, float]
#: Quarter turns, clockwise as seen on the sheet.
Turn = Literal[0, 90, 180, 270]


class Box(NamedTuple):
    """An upright rectangle from (left, top) to (right, bottom); a plain tuple, for many are made."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Extent in x. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent in y. [mm]"""
        return self.bottom - self.top

    @property
    def centre(self) -> Point:
        """Middle of the box."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Return the four corners, clockwise from the upper left."""
        return (
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        )

    def grown(self, by: float) -> "Box":
        """Return the box with every edge moved out by `by` millimetres."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def moved(self, by: Point) -> "Box":
        """Return the box shifted by (x, y)."""
        return Box(self.left + by[0], self.top + by[1], self.right + by[0], self.bottom + by[1])

    def holds(self, other: "Box") -> bool:
        """Say whether `other` lies wholly within, touching edges included."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )

    def gap(self, other: "Box") -> float:
        """Return the clear distance to another box; negative is the depth of an overlap. [mm]"""
        dx = max(self.left, other.left) - min(self.right, other.right)
        dy = max(self.top, other.top) - min(self.bottom, other.bottom)
        return math.hypot(dx, dy) if dx > 0 and dy > 0 else max(dx, dy)


def box_of_points(points: Iterable[Point], margin: float = 0.0) -> Box:
    """Return the smallest box around some points, grown by a margin such as half a line's width."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)


def box_of_boxes(boxes: Iterable[Box]) -> Box:
    """Return the smallest box around some boxes."""
    corners = [corner for box in boxes for corner in ((box.left, box.top), (box.right, box.bottom))]
    return box_of_points(corners)


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a sign is put: mirrored left to right, then scaled, turned clockwise, moved to `at`."""

    at: Point
    turn: Turn = 0
    mirrored: bool = False
    scale: float = 1.0

    def point(self, local: Point) -> Point:
        """Return where a point of the sign comes to lie on the sheet."""
        x, y = local[0] * self.scale, local[1] * self.scale
        if self.mirrored:
            x = -x
        for _ in range(self.turn // 90):
            x, y = -y, x
        return self.at[0] + x, self.at[1] + y

    def angle(self, local_deg: float) -> float:
        """Return the direction on the sheet of a direction in the sign (clockwise from the right). [°]"""
        return (180.0 - local_deg if self.mirrored else local_deg) + self.turn


#: Straight steps that stand in for a whole circle.
_CIRCLE_STEPS = 24


def arc_points(centre: Point, radius: float, start_deg: float, sweep_deg: float) -> tuple[Point, ...]:
    """Return points along part of a circle, both ends included."""
    steps = max(2, round(_CIRCLE_STEPS * sweep_deg / 360.0))
    angles = (math.radians(start_deg + sweep_deg * step / steps) for step in range(steps + 1))
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)


def length_along(points: Sequence[Point]) -> float:
    """Return the length of a line through `points`. [mm]"""
    return sum(math.dist(a, b) for a, b in pairwise(points))


def cut_out(points: Sequence[Point], start: float, end: float) -> tuple[Point, ...]:
    """Return the part of a line between two distances from its first point. [mm]"""
    part: list[Point] = []
    run = 0.0
    for a, b in pairwise(points):
        step = math.dist(a, b)
        if run + step > start and run < end:
            low, high = max(start - run, 0.0), min(end - run, step)
            ends = [(a[0] + (b[0] - a[0]) * t / step, a[1] + (b[1] - a[1]) * t / step) for t in (low, high)]
            part += ends if not part else ends[1:]
        run += step
    return tuple(part)


def stretches(length: float, dash: Sequence[float], offset: float = 0.0) -> list[tuple[float, float]]:
    """Return the drawn stretches of a dashed line `length` long, as (start, end). [mm]

    `dash` alternates drawn and left-out lengths; `offset` is how far into the pattern the line starts.
    """
    drawn = []
    position = -(offset % sum(dash))
    while position < length:
        for index, step in enumerate(dash):
            if index % 2 == 0 and position + step > 0 and position < length:
                drawn.append((max(position, 0.0), min(position + step, length)))
            position += step
    return drawn
