"""Which room of a sheet is taken, asked many times while a free place is looked for."""

from __future__ import annotations

from collections import defaultdict

from loomwright.drawing.geometry import Box

_SQUARE = 20.0
#: Boxes found last are asked first: the next place that is tried mostly meets the same ones again.
_RECENT = 10
#: A box at least so tall may close a whole lane, as a wire does. [mm]
_TALL = 9.0


class Taken:
    """Boxes on a sheet, kept in squares so that only near ones are looked at."""

    def __init__(self) -> None:
        self._squares: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)
        self._tall: defaultdict[int, list[Box]] = defaultdict(list)
        self._recent: list[Box] = []

    def add(self, box: Box) -> None:
        """Take a room."""
        left, top, right, bottom = box
        first, last = int(left // _SQUARE), int(right // _SQUARE)
        for x in range(first, last + 1):
            for y in range(int(top // _SQUARE), int(bottom // _SQUARE) + 1):
                self._squares[x, y].append(box)
            if bottom - top >= _TALL:
                self._tall[x].append(box)

    def in_the_way(self, room: Box) -> Box | None:
        """Return a box that lies partly in a room, None if the room is free; edges may touch."""
        left, top, right, bottom = room
        for box in self._recent:
            if box[0] < right and box[2] > left and box[1] < bottom and box[3] > top:
                return box
        squares = self._squares
        for x in range(int(left // _SQUARE), int(right // _SQUARE) + 1):
            for y in range(int(top // _SQUARE), int(bottom // _SQUARE) + 1):
                for box in squares.get((x, y), ()):
                    if box[0] < right and box[2] > left and box[1] < bottom and box[3] > top:
                        self._recent = [box, *self._recent[: _RECENT - 1]]
                        return box
        return None

    def is_shut(self, left: float, right: float, highest: float, lowest: float) -> bool:
        """Say whether one box closes a lane: whether it reaches above `highest` and below `lowest`.

        No room between these sides is then free whose top lies at `lowest` or above it and whose foot lies
        at `highest` or below it. A lane may be taken without that, by several boxes.
        """
        tall = self._tall
        for x in range(int(left // _SQUARE), int(right // _SQUARE) + 1):
            for box in tall.get(x, ()):
                if box[0] < right and box[2] > left and box[1] < highest and box[3] > lowest:
                    return True
        return False
