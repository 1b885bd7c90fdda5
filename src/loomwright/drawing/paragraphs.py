"""Lines of text that keep inside the room they are given."""

from collections.abc import Iterable

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import Token
from loomwright.drawing.lettering import Weight, shorten, text_reach_mm, text_width_mm
from loomwright.drawing.scene import Layer, Link, Text

#: Least clear paper between two lines, a little more than a sheet asks. [mm]
_LEAST_GAP = 0.2


def fitted(
    at: Point,
    text: str,
    room: float,
    size: float,
    weight: Weight = 400,
    ink: Token = "ink",
    layer: Layer = "frame",
    of: Link | None = None,
    height: float = 9.0,
) -> Text:
    """Return a line no wider than `room` and no taller than `height`: set smaller, then cut.

    It is set smaller down to 0.8 of its size, but not under 2.6 mm.
    """
    width = text_width_mm(text, size, weight)
    tall = sum(text_reach_mm(text, size, weight))
    shrink = min(1.0, room / width * 0.999 if width else 1.0, height / tall if tall else 1.0)
    fits = max(size * shrink, min(size, max(2.6, 0.8 * size)))
    return Text(at, shorten(text, room, fits, weight), fits, weight, ink=ink, layer=layer, of=of)


def paragraph(
    at: Point,
    lines: Iterable[tuple[str, Weight]],
    size: float,
    pitch: float,
    layer: Layer = "text",
    of: Link | None = None,
) -> list[Text]:
    """Return lines one below the other, `pitch` apart, and further apart where accents need it. [mm]"""
    x, y = at
    set_lines: list[Text] = []
    below = -pitch
    for text, weight in lines:
        above, next_below = text_reach_mm(text, size, weight)
        if set_lines:
            y += max(pitch, below + above + _LEAST_GAP)
        set_lines.append(Text((x, y), text, size, weight, layer=layer, of=of))
        below = next_below
    return set_lines
