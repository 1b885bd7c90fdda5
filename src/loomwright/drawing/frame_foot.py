"""The foot of an A3 sheet: cautions, the signs used on the sheet, the title block. Lengths in mm."""

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import FIELD, FRAME, THIN
from loomwright.drawing.lettering import Weight, text_width_mm, wrap
from loomwright.drawing.paragraphs import fitted
from loomwright.drawing.scene import Drawn, Polyline, Sign, Symbol, Text, rectangle

_TOP, _BOTTOM = 251.0, 287.0
#: No ink in the foot is lower, title block included.
LOWEST = _BOTTOM - 4.0
_BLOCK = Box(230.0, _TOP, 410.0, _BOTTOM)


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the title block says.

    Attributes
    ----------
    van, serial, region, title : str
        Name of the van; its number; region and voltage, such as "UK, 12 V"; what the sheet is.
    revision, date : str
        Of the plan.
    sheet, sheets : int
        This sheet, of how many.
    drawn, checked : str
        Who; an empty `checked` is printed as "open".
    units : str
        Units used on the sheet.
    changes : tuple[tuple[str, str], ...]
        Revision and what changed; the last two are printed.
    reads_with : tuple[str, ...]
        Two lines at most: the sheets it reads with, and what set it.
    """

    van: str
    serial: str
    region: str
    title: str
    revision: str
    date: str
    sheet: int
    sheets: int
    drawn: str
    checked: str = ""
    units: str = "mm², m, A, V"
    changes: tuple[tuple[str, str], ...] = ()
    reads_with: tuple[str, ...] = ()


def title_block_cell(block: TitleBlock) -> Iterator[Drawn]:
    """Yield the title block, 180 by 36 at the bottom right of the frame."""
    left, right = _BLOCK.left, _BLOCK.right
    yield rectangle(left, _TOP, _BLOCK.width, _BLOCK.height, fill="paper", pen=FRAME, layer="frame")
    yield from (Polyline(line, FIELD, layer="frame") for line in (
        ((328.0, _TOP), (328.0, _BOTTOM)),
        ((left, 273.0), (right, 273.0)),
    ))  # fmt: skip
    yield from (Polyline(line, THIN, layer="frame") for line in (
        ((355.0, _TOP), (355.0, 273.0)),
        ((382.0, _TOP), (382.0, 273.0)),
        ((328.0, 263.0), (right, 263.0)),
    ))  # fmt: skip
    yield from _named("Van", (233.0, 255.6), block.van, 261.2, 45.0, 5.0, 600)
    yield from _named_in_two("Serial", (280.0, 255.6), block.serial, 16.0)
    yield from _named_in_two("Plan region", (298.0, 255.6), block.region, 28.0)
    yield fitted((233.0, 270.0), block.title, 93.0, 5.0, 600)
    yield from _named("Revision", (331.0, 255.6), block.revision, 261.2, 22.0, 5.0, 600)
    yield from _named("Date", (358.0, 255.6), block.date, 261.2, 22.0, 3.6, 600)
    yield from _named("Sheet", (385.0, 255.6), f"{block.sheet} of {block.sheets}", 261.2, 23.0, 5.0, 600)
    yield from _named("Drawn", (331.0, 266.6), block.drawn, 271.2, 22.0, 2.9, 500)
    yield from _named("Checked", (358.0, 266.6), block.checked or "open", 271.2, 22.0, 2.9, 500)
    yield from _named("Units", (385.0, 266.6), block.units, 271.2, 23.0, 2.9, 500)
    yield _caption("Revision", (233.0, 275.45))
    yield _caption("What changed", (248.0, 275.45))
    yield _caption("Reads with", (331.0, 275.45))
    for line, (revision, changed) in enumerate(block.changes[-2:]):
        yield fitted((233.0, 278.95 + 3.25 * line), revision, 13.0, 2.9, 500, height=3.0)
        yield fitted((248.0, 278.95 + 3.25 * line), changed, 78.0, 2.9, height=3.0)
    for line, reads in enumerate(block.reads_with[:2]):
        yield fitted((331.0, 278.95 + 3.25 * line), reads, 77.0, 2.9, height=3.0)


def _caption(text: str, at: tuple[float, float]) -> Text:
    return Text(at, text, 2.6, ink="grey", layer="frame")


def _named(
    caption: str,
    at: tuple[float, float],
    text: str,
    base_line: float,
    room: float,
    size: float,
    weight: Weight,
) -> Iterator[Text]:
    """Yield a caption and, on its own base line below, what it names."""
    yield _caption(caption, at)
    yield fitted((at[0], base_line), text, room, size, weight)


def _named_in_two(caption: str, at: tuple[float, float], text: str, room: float) -> Iterator[Text]:
    """Yield a caption and what it names: on one line, or on two small ones if that is too long."""
    lines = wrap(text, room, 2.6, 500)
    if text_width_mm(text, 2.9, 500) <= room or len(lines) < 2:
        yield from _named(caption, at, text, at[1] + 5.0, room, 3.6, 500)
        return
    yield _caption(caption, at)
    yield fitted((at[0], at[1] + 3.9), lines[0], room, 2.6, 500, height=3.0)
    yield fitted((at[0], at[1] + 7.1), " ".join(lines[1:]), room, 2.6, 500, height=3.0)


_CAUTION_LINES, _CAUTION_PITCH = 6, 3.7


def cautions_cell(cell: Box, cautions: tuple[str, ...], key: str) -> Iterator[Drawn]:
    """Yield the gravest caution, the further ones that fit whole, and below them the key to the labels."""
    left, room = cell.left + 4.0, cell.width - 8.0
    yield Text((left, 256.8), "Before you touch it", 3.6, 600, layer="frame")
    lines: list[str] = []
    for done, caution in enumerate(cautions):
        spare = _CAUTION_LINES - len(lines) - (done + 1 < len(cautions))
        broken = wrap(caution, room, 3.0, most_lines=_CAUTION_LINES if done else spare)
        if len(broken) > spare:
            lines.append(f"{len(cautions) - done} more with the book's cautions.")
            break
        lines += broken
    for line, text in enumerate(lines):
        yield fitted((left, 260.8 + _CAUTION_PITCH * line), text, room, 3.0, height=_CAUTION_PITCH - 0.2)
    if key:
        yield fitted((left, LOWEST - 0.7), key, room, 2.6, ink="grey", height=2.7)


_SIGN_ROWS, _SIGN_PITCH, _SIGN_HEIGHT, _SIGN_WIDTH = 5, 4.75, 4.3, 9.0
#: Most signs that the cell can show, in four columns.
MOST_SIGNS = 4 * _SIGN_ROWS


def _sign_columns(count: int) -> tuple[int, float]:
    """Return how many columns of signs there are, and how wide each is."""
    columns = min(4, max(2, -(-count // _SIGN_ROWS)))
    return columns, 36.5 if columns == 2 else 34.0


def signs_left(count: int) -> float:
    """Return where the cell for that many signs begins; the cautions end there."""
    columns, width = _sign_columns(count)
    return _BLOCK.left - columns * width - 2.0


def signs_cell(left: float, signs: tuple[Sign, ...]) -> Iterator[Drawn]:
    """Yield the legend of the signs used on the sheet; nothing where there are none."""
    if not signs:
        return
    yield Polyline(((left, _TOP + 3.0), (left, LOWEST)), THIN, layer="frame")
    yield Text((left + 3.5, 256.8), "Signs on this sheet", 3.6, 600, layer="frame")
    columns, width = _sign_columns(len(signs))
    shown = signs if len(signs) <= MOST_SIGNS else signs[: MOST_SIGNS - 1]
    for index, sign in enumerate(shown):
        x = left + 3.5 + width * (index // _SIGN_ROWS)
        y = 261.2 + _SIGN_PITCH * (index % _SIGN_ROWS)
        yield _legend_symbol(sign, x + _SIGN_WIDTH / 2, y)
        text = x + _SIGN_WIDTH + 1.6
        room = min(x + width, _BLOCK.left) - 1.0 - text
        yield fitted((text, y + 1.0), sign.title, room, 2.9)
    if len(signs) > len(shown):
        x = left + 3.5 + width * (columns - 1)
        y = 261.2 + _SIGN_PITCH * (_SIGN_ROWS - 1)
        yield fitted((x, y + 1.0), f"{len(signs) - len(shown)} more in the book", width - 2.0, 2.9)


def _legend_symbol(sign: Sign, x: float, y: float) -> Symbol:
    """Return a sign made small enough for the legend, lying down if that shows it much larger."""
    box = sign.box()
    upright = min(1.0, _SIGN_WIDTH / box.width, _SIGN_HEIGHT / box.height)
    lying = min(1.0, _SIGN_WIDTH / box.height, _SIGN_HEIGHT / box.width)
    lies = upright < 0.4 and lying >= 1.3 * upright
    scale = lying if lies else upright
    poles = (("plus", ""), ("minus", ""))
    symbol = Symbol(sign, (0.0, 0.0), 90 if lies else 0, scale=scale, values=poles, layer="frame")
    middle = symbol.place.point(box.centre)
    return Symbol(sign, (x - middle[0], y - middle[1]), symbol.turn, scale=scale, values=poles, layer="frame")
