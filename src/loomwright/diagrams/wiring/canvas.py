"""The paper of one sheet while it is being drawn: items, and which room is taken.

Lines, signs and texts are kept as boxes in squares, so that room for a label is found quickly.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.scene import Arc, Circle, Drawn, Polygon, Polyline, Symbol, Text, Wire

_SQUARE = 10.0
#: Clear paper around a text: to another text, to ink. [mm]
TEXT_GAP, INK_GAP = 0.35, 0.55


class Canvas:
    """Items of one sheet and the room that they take."""

    def __init__(self, field: Box) -> None:
        self.field = field
        self.items: list[Drawn] = []
        self._squares: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)

    def add(self, items: Iterable[Drawn], *, solid: bool = True) -> None:
        """Draw items; with `solid` nothing else is to be written on them."""
        for item in items:
            self.items.append(item)
            if solid:
                for box in boxes_of(item):
                    self.block(box)

    def block(self, box: Box) -> None:
        """Keep a room free of labels."""
        for square in _squares(box):
            self._squares[square].append(box)

    def is_free(self, box: Box, gap: float = 0.0) -> bool:
        """Say whether a room is wholly within the field and nothing is drawn in it."""
        left, top, right, bottom = box.left - gap, box.top - gap, box.right + gap, box.bottom + gap
        field = self.field
        if left < field.left or right > field.right or top < field.top or bottom > field.bottom:
            return False
        for x in range(int(left // _SQUARE), int(right // _SQUARE) + 1):
            for y in range(int(top // _SQUARE), int(bottom // _SQUARE) + 1):
                for other in self._squares.get((x, y), ()):
                    if (
                        other.left < right
                        and other.right > left
                        and other.top < bottom
                        and other.bottom > top
                    ):
                        return False
        return True


def _squares(box: Box) -> Iterator[tuple[int, int]]:
    for x in range(int(box.left // _SQUARE), int(box.right // _SQUARE) + 1):
        for y in range(int(box.top // _SQUARE), int(box.bottom // _SQUARE) + 1):
            yield x, y


def boxes_of(item: Drawn) -> Iterator[Box]:
    """Yield the rooms that an item takes, with the clear paper that texts keep from it."""
    if isinstance(item, Wire):
        yield from _line_boxes(item.points, item.half_width + INK_GAP)
    elif isinstance(item, Polyline):
        yield from _line_boxes(item.points, item.pen.width / 2 + INK_GAP)
    elif isinstance(item, Symbol):
        for shape in item.shapes():
            yield shape.box().grown(INK_GAP)
        for text in item.texts():
            yield text.box().grown(TEXT_GAP)
    elif isinstance(item, Text):
        yield item.box().grown(TEXT_GAP)
    elif isinstance(item, Polygon | Circle | Arc):
        yield item.box().grown(INK_GAP)


def _line_boxes(points: tuple[Point, ...], margin: float) -> Iterator[Box]:
    for a, b in pairwise(points):
        yield box_of_points((a, b), margin)
