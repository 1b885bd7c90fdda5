"""A scene taken apart into straight strokes and boxes, with a quick way to find what lies near."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point, arc_points, box_of_points
from loomwright.drawing.scene import Arc, Circle, Drawn, Layer, Link, Polygon, Polyline, Shape, Symbol, Wire

#: Size of the squares in which neighbours are looked up. [mm]
_SQUARE = 12.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight inked line: `item` is the index of what it belongs to in the scene."""

    a: Point
    b: Point
    half_width: float
    item: int
    of: Link | None
    layer: Layer

    def box(self) -> Box:
        """Return the box of the inked line."""
        return box_of_points((self.a, self.b), self.half_width)

    def distance(self, box: Box) -> float:
        """Return the clear distance to a box, not more than 5 mm; 0 if they meet. [mm]"""
        if self.a[0] == self.b[0] or self.a[1] == self.b[1]:
            return max(0.0, self.box().gap(box))
        near, far = 0.0, 5.0
        if not _meets(self.a, self.b, box.grown(far + self.half_width)):
            return far
        while far - near > 0.01:
            middle = (near + far) / 2
            if _meets(self.a, self.b, box.grown(middle + self.half_width)):
                far = middle
            else:
                near = middle
        return near


def _meets(a: Point, b: Point, box: Box) -> bool:
    """Say whether a straight line touches a box (Liang and Barsky's clipping)."""
    low, high = 0.0, 1.0
    for start, step, least, most in (
        (a[0], b[0] - a[0], box.left, box.right),
        (a[1], b[1] - a[1], box.top, box.bottom),
    ):
        if step == 0.0:
            if not least <= start <= most:
                return False
            continue
        ends = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, ends[0]), min(high, ends[1])
    return low <= high


def strokes_of(index: int, item: Drawn) -> Iterator[Stroke]:
    """Yield the strokes of one item; wires as their outline's width, gaps closed."""
    if isinstance(item, Wire):
        for a, b in pairwise(item.points):
            yield Stroke(a, b, item.half_width, index, item.of, item.layer)
    elif isinstance(item, Symbol):
        for shape in item.shapes():
            yield from _shape_strokes(index, shape, item.of)
    elif isinstance(item, Polyline | Polygon | Circle | Arc):
        yield from _shape_strokes(index, item, item.of)


def _shape_strokes(index: int, shape: Shape, of: Link | None) -> Iterator[Stroke]:
    half_width = shape.pen.width / 2 if shape.pen else 0.0
    for a, b in pairwise(outline(shape)):
        yield Stroke(a, b, half_width, index, of, shape.layer)


def outline(shape: Shape) -> tuple[Point, ...]:
    """Return the points of a shape's edge, in order; curves as short straight steps."""
    match shape:
        case Polyline(points=points):
            return points
        case Polygon(points=points):
            return (*points, points[0])
        case Circle(centre=centre, radius=radius):
            return arc_points(centre, radius, 0.0, 360.0)
        case Arc(centre=centre, radius=radius, start_deg=start, sweep_deg=sweep):
            return arc_points(centre, radius, start, sweep)


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Boxes sorted into squares of paper, so that near ones are found without trying all."""

    boxes: Sequence[Box]
    squares: dict[tuple[int, int], list[int]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, boxes: Iterable[Box]) -> "Neighbours":
        """Return the boxes, sorted in."""
        found = cls(tuple(boxes))
        for index, box in enumerate(found.boxes):
            for square in _squares(box):
                found.squares[square].append(index)
        return found

    def near(self, box: Box, within: float) -> list[int]:
        """Return which boxes are nearer to `box` than `within`, in order."""
        grown = box.grown(within)
        found = {index for square in _squares(grown) for index in self.squares.get(square, ())}
        return sorted(index for index in found if self.boxes[index].gap(box) < within)


def _squares(box: Box) -> Iterator[tuple[int, int]]:
    for x in range(int(box.left // _SQUARE), int(box.right // _SQUARE) + 1):
        for y in range(int(box.top // _SQUARE), int(box.bottom // _SQUARE) + 1):
            yield x, y
