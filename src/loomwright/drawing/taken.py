"""Which room of a sheet is taken, asked many times while a free place is looked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from loomwright.drawing.geometry import Box

_SQUARE = 20.0
#: Boxes found last are asked first: the next place that is tried mostly meets the same ones again.
_RECENT = 6


class Taken:
    """Boxes on a sheet, kept in squares so that only near ones are looked at."""

    def __init__(self) -> None:
        self._squares: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)
        self._recent: list[Box] = []

    def add(self, box: Box) -> None:
        """Take a room."""
        for square in _squares(box):
            self._squares[square].append(box)

    def in_the_way(self, room: Box) -> Box | None:
        """Return a box that lies partly in a room, None if the room is free; edges may touch."""
        found = _first(self._recent, room)
        if found is not None:
            return found
        for square in _squares(room):
            found = _first(self._squares.get(square, ()), room)
            if found is not None:
                self._recent = [found, *self._recent[: _RECENT - 1]]
                return found
        return None


def _first(boxes: Iterable[Box], room: Box) -> Box | None:
    """Return the first of some boxes that lies partly in a room."""
    left, top, right, bottom = room
    for box in boxes:
        if box[0] < right and box[2] > left and box[1] < bottom and box[3] > top:
            return box
    return None


def _squares(room: Box) -> list[tuple[int, int]]:
    """Return the squares that a room lies in."""
    left, top, right, bottom = room
    first, last = int(left // _SQUARE), int(right // _SQUARE)
    upper, lower = int(top // _SQUARE), int(bottom // _SQUARE)
    if first == last and upper == lower:
        return [(first, upper)]
    return [(x, y) for x in range(first, last + 1) for y in range(upper, lower + 1)]
