"""Finds room for words beside things: wires, fuses, parts. The first free place of a list is taken.

A place is tried on the right before the left, whole before shortened, near before far, so the same sheet
always comes out the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import Token
from loomwright.drawing.lettering import Weight, shorten, text_reach_mm, text_width_mm
from loomwright.drawing.scene import Anchor, Layer, Link, Text

from .canvas import Canvas

#: Between heights that are tried along a line; least distance of a label from the ends of the line. [mm]
_STEP, _END = 1.5, 0.6


class Line(NamedTuple):
    """One line of a label; a plain tuple, for a label is tried in many forms."""

    text: str
    size: float = 3.6
    weight: Weight = 400
    ink: Token = "ink"

    def cut(self, room: float) -> Line:
        """Return the line shortened to a room. [mm]"""
        return Line(shorten(self.text, room, self.size, self.weight), self.size, self.weight, self.ink)


Form = tuple[Line, ...]


def block(
    lines: Sequence[Line], at: Point, anchor: Anchor, of: Link | None, layer: Layer = "text"
) -> list[Text]:
    """Return lines set one below the other, the top of the first at `at`."""
    x, y = at
    texts: list[Text] = []
    for line in lines:
        above, below = text_reach_mm(line.text, line.size, line.weight)
        y += above
        texts.append(Text((x, y), line.text, line.size, line.weight, anchor, line.ink, layer=layer, of=of))
        y += max(below, 0.3) + 0.45
    return texts


@lru_cache(maxsize=4096)
def measured(lines: Form) -> tuple[float, float]:
    """Return width and height of lines set one below the other. [mm]"""
    width = max(text_width_mm(line.text, line.size, line.weight) for line in lines)
    height = 0.0
    for line in lines:
        above, below = text_reach_mm(line.text, line.size, line.weight)
        height += above + max(below, 0.3) + 0.45
    return width, height - 0.45


def beside_line(
    canvas: Canvas,
    forms: Iterable[Form],
    x: float,
    reach: tuple[float, float],
    half: float,
    of: Link | None,
    *,
    sides: str = "rl",
    start: float = 0.0,
) -> list[Text] | None:
    """Write a label beside an upright line; return its texts, None if there is no room.

    Parameters
    ----------
    canvas : Canvas
        What stands on the sheet already; the label is put on it.
    forms : iterable of Form
        The same words in several forms, the best first.
    of : Link or None
        What the label belongs to.
    x, reach, half : float, (float, float), float
        The line: its middle, its upper and lower end, from its middle to its edge. [mm]
    sides : str
        "rl": first to the right, then to the left.
    start : float
        Where along the line the first place is tried, 0 at its top, 1 at its bottom.
    """
    gap = half + 1.1
    for lines in forms:
        if not lines:
            continue
        width, height = measured(lines)
        between = _between(reach, height)
        heights: list[float] | None = None
        place: tuple[float, Anchor] | None = None
        for side in sides:
            left = x + gap if side == "r" else x - gap - width
            if canvas.is_shut(left, left + width, height, between):
                continue
            heights = _heights(reach, height, start) if heights is None else heights
            y = next(canvas.free_heights(left, left + width, height, heights), None)
            if y is not None:
                place = y, "start" if side == "r" else "end"
                heights = heights[: heights.index(y)]  # on the other side, only a better height will do
        if place is not None:
            y, anchor = place
            texts = block(lines, (x + gap if anchor == "start" else x - gap, y), anchor, of)
            canvas.add(texts)
            return texts
    return None


def _between(reach: tuple[float, float], height: float) -> tuple[float, float]:
    """Return between which heights a label may begin along a line."""
    top, bottom = reach
    if bottom - height < top + _END * 2:
        middle = (top + bottom - height) / 2
        return middle - 2 * _STEP, middle + 2 * _STEP
    return top + _END - 0.1, bottom - height - _END + 0.1


def _heights(reach: tuple[float, float], height: float, start: float) -> list[float]:
    """Return where a label may begin along a line, the wished place first, then ever further from it."""
    top, bottom = reach
    highest, lowest = top + _END, bottom - height - _END
    if lowest < highest:  # the label is taller than the line: set it level with its middle
        middle = (top + bottom - height) / 2
        return [middle, middle - _STEP, middle + _STEP, middle - 2 * _STEP, middle + 2 * _STEP]
    first = min(max(top + 1.2 + start * (bottom - top - height), highest), lowest)
    step, foot, head = _STEP, lowest + 0.1, highest - 0.1
    below = [first + k * step for k in range(1, int((foot - first) / step) + 1)]
    above = [first - k * step for k in range(1, int((first - head) / step) + 1)]
    level = [y for pair in zip(below, above, strict=False) for y in pair]
    return [first, *level, *below[len(above) :], *above[len(below) :]]


def near_point(
    canvas: Canvas,
    forms: Iterable[Form],
    at: Point,
    of: Link | None,
    *,
    reach: float = 14.0,
    offsets: Sequence[tuple[float, float]] = (),
) -> list[Text] | None:
    """Write a label near a point: at the given offsets of its upper left corner, then around in rings."""
    for lines in forms:
        width, height = measured(lines)
        for dx, dy in (*offsets, *_rings(width, height, reach)):
            box = Box(at[0] + dx, at[1] + dy, at[0] + dx + width, at[1] + dy + height)
            if canvas.is_free(box):
                texts = block(lines, (box.left, box.top), "start", of)
                canvas.add(texts)
                return texts
    return None


def _rings(width: float, height: float, reach: float) -> Iterator[tuple[float, float]]:
    distance = 2.0
    while distance <= reach:
        yield distance, -height / 2
        yield -distance - width, -height / 2
        for dx in (-width / 2, distance, -distance - width, 0.0, -width):
            yield dx, distance
            yield dx, -distance - height
        distance += 2.0


def cut_forms(form: Form, *rooms: float) -> Iterator[Form]:
    """Yield a form with its lines cut to ever less room."""
    for room in rooms:
        yield tuple(line.cut(room) for line in form)
