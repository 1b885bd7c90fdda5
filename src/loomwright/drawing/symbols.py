"""All signs of the drawing language by name, and the rails they hang between.

Source: drawn by us after IEC 60617 (from memory; check against a licensed copy), on a 2.5 mm module.
Terminal numbers of rails and relays are those of DIN 72552 (from memory).
"""

from types import MappingProxyType

from loomwright.drawing import symbols_contacts, symbols_marks, symbols_parts
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import BUSBAR, RAIL, THIN
from loomwright.drawing.lettering import text_width_mm
from loomwright.drawing.scene import Drawn, Polyline, Sign, Text, rectangle

#: Name -> sign, for legends, DXF blocks and the sheet of all signs; variants made to size are not here.
SIGNS: MappingProxyType[str, Sign] = MappingProxyType({
    sign.name: sign
    for module in (symbols_parts, symbols_contacts)
    for sign in vars(module).values()
    if isinstance(sign, Sign)
})  # fmt: skip
FINDINGS = symbols_marks.FINDINGS

#: Step and length of the strokes below the body rail. [mm]
_HATCH_STEP, _HATCH = 2.6, (-1.8, 2.1)


def rail(left: float, right: float, y: float) -> Polyline:
    """Return a feed rail."""
    return Polyline(((left, y), (right, y)), RAIL, layer="rails")


def bar(left: float, right: float, y: float) -> Polyline:
    """Return a busbar or a bar that gathers returns."""
    return Polyline(((left, y), (right, y)), BUSBAR, layer="rails")


def rail_head(number: str, words: str, at: Point) -> tuple[Drawn, ...]:
    """Return a rail's terminal number in a box and its words; `at` is the lower left of the box."""
    (x, y), width = at, text_width_mm(number, 3.6, 600) + 3.2
    return (
        rectangle(x, y - 5.0, width, 5.0, fill="paper", layer="rails"),
        Text((x + width / 2, y - 1.25), number, 3.6, 600, "middle", layer="rails"),
        Text((x + width + 2.0, y - 1.25), words, 3.0, layer="rails"),
    )


def body_rail(left: float, right: float, y: float) -> tuple[Drawn, ...]:
    """Return the body: a thick line with hatching below."""
    (dx, dy), top = _HATCH, y + BUSBAR.width / 2
    count = int((right - left + dx) / _HATCH_STEP)
    starts = (left - dx + step * _HATCH_STEP for step in range(count))
    strokes = (Polyline(((x, top), (x + dx, top + dy)), THIN, layer="rails") for x in starts)
    return (bar(left, right, y), *strokes)
