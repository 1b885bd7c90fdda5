"""The paper of one sheet while it is being drawn: items, and which room is taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.scene import Arc, Circle, Drawn, Polygon, Polyline, Symbol, Text, Wire
from loomwright.drawing.taken import Taken

#: Clear paper around a text: over and under it, beside it, to ink. [mm]
TEXT_GAP, BESIDE_GAP, INK_GAP = 0.35, 1.0, 0.55


class Canvas:
    """Items of one sheet and the room that they take."""

    def __init__(self, field: Box) -> None:
        self.field = field
        self.items: list[Drawn] = []
        self._taken = Taken()

    def add(self, items: Iterable[Drawn], *, solid: bool = True) -> None:
        """Draw items; with `solid` nothing else is to be written on them."""
        for item in items:
            self.items.append(item)
            if solid:
                for box in boxes_of(item):
                    self._taken.add(box)

    def block(self, box: Box) -> None:
        """Keep a room free of labels."""
        self._taken.add(box)

    def is_free(self, room: Box) -> bool:
        """Say whether a room is wholly within the field and nothing is drawn in it."""
        return self.field.holds(room) and self._taken.in_the_way(room) is None

    def is_shut(self, left: float, right: float, height: float, tops: tuple[float, float]) -> bool:
        """Say whether there is certainly no free room of this width and height at any top between two.

        It is asked before the tops are listed: most lanes end at the next wire.
        """
        first, last = tops
        outside = left < self.field.left or right > self.field.right
        return outside or self._taken.is_shut(left, right, first + height, last)

    def free_heights(
        self, left: float, right: float, height: float, tops: Sequence[float]
    ) -> Iterator[float]:
        """Yield those of some heights at which a room of this width and height is free, in their order.

        What is in the way at one height is asked for once; all heights that it takes are then left out.
        """
        field = self.field
        if left < field.left or right > field.right:
            return
        rest = list(tops)
        while rest:
            top, bottom = rest[0], rest[0] + height
            if top < field.top or bottom > field.bottom:
                del rest[0]
                continue
            box = self._taken.in_the_way(Box(left, top, right, bottom))
            if box is None:
                yield rest.pop(0)
            else:
                _, above, _, below = box
                rest = [top for top in rest if top + height <= above or top >= below]


def boxes_of(item: Drawn) -> Iterator[Box]:
    """Yield the rooms that an item takes, with the clear paper that texts keep from it."""
    if isinstance(item, Wire):
        yield from _line_boxes(item.points, item.half_width + INK_GAP)
    elif isinstance(item, Polyline):
        yield from _line_boxes(item.points, item.pen.width / 2 + INK_GAP)
    elif isinstance(item, Symbol):
        for box in item.shape_boxes():
            yield box.grown(INK_GAP)
        for text in item.texts():
            yield text.box().grown(TEXT_GAP)
    elif isinstance(item, Text):
        left, top, right, bottom = item.box()
        yield Box(left - BESIDE_GAP, top - TEXT_GAP, right + BESIDE_GAP, bottom + TEXT_GAP)
    elif isinstance(item, Polygon | Circle | Arc):
        yield item.box().grown(INK_GAP)


def _line_boxes(points: tuple[Point, ...], margin: float) -> Iterator[Box]:
    for a, b in pairwise(points):
        yield box_of_points((a, b), margin)
