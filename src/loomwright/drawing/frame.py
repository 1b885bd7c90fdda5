"""The border of an A3 sheet: frame, centre marks, columns and rows, findings margin, foot.

The caller gives plain records and gets the items of the border and the field that is left to draw in.
Whatever the texts are, they stay inside their cells: they shrink a little, break into lines, then end
in "…"; a list that is too long ends by saying how many more there are.
"""

from dataclasses import dataclass
from functools import cache

from loomwright.drawing.frame_foot import TitleBlock, cautions_cell, signs_cell, signs_left, title_block_cell
from loomwright.drawing.frame_margin import MarginEntry, findings_margin
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import FIELD, FRAME, THIN
from loomwright.drawing.scene import Drawn, Polyline, Sign, Text, rectangle

PAPER = (420.0, 297.0)
#: Outer frame, the space the findings have, and the field inside the strips of columns and rows. [mm]
FRAME_BOX = Box(20.0, 10.0, 410.0, 287.0)
MARGIN_BOX = Box(361.4, 10.0, 410.0, 251.0)
FIELD_BOX = Box(27.0, 15.0, 361.4, 244.0)
ROWS = "ABCDEF"
#: The strip of column numbers below the field ends here, the foot begins a little lower. [mm]
_STRIP_BOTTOM, _FOOT_TOP = 249.0, 251.0


#: Where a sheet that stands alone sends the reader for the findings that do not fit its margin.
REST_AT = "in the list of check"


@dataclass(frozen=True, slots=True, kw_only=True)
class Border:
    """All that the border of a sheet says.

    Attributes
    ----------
    columns : int
        How many columns the field is divided into: 19 on a wiring sheet, 8 on the others.
    title_block : TitleBlock
        What stands at the bottom right.
    findings : tuple[MarginEntry, ...]
        In the order in which they are to stand; those that do not fit are counted.
    rest_at : str
        Where the findings that do not fit are listed, such as "page 12".
    danger_band : str
        Words for the red band, such as "DO NOT ENERGISE: 2 dangers, see page 3"; empty: no band.
    notice : str
        A second band, without red, such as what this version has not judged.
    cautions : tuple[str, ...]
        One caution each, the gravest first.
    key : str
        One line on how the labels of the sheet are to be read.
    signs : tuple[Sign, ...]
        The signs used on this sheet, once each.
    """

    columns: int
    title_block: TitleBlock
    findings: tuple[MarginEntry, ...] = ()
    rest_at: str = REST_AT
    danger_band: str = ""
    notice: str = ""
    cautions: tuple[str, ...] = ()
    key: str = ""
    signs: tuple[Sign, ...] = ()


def border_items(border: Border) -> tuple[Drawn, ...]:
    """Return the items of a sheet's border; `FIELD_BOX` is what they leave to draw in."""
    divide = signs_left(len(border.signs))
    return (
        *_ruled(border.columns),
        *findings_margin(MARGIN_BOX, border.findings, border.rest_at, border.danger_band, border.notice),
        *cautions_cell(Box(FRAME_BOX.left, _FOOT_TOP, divide, FRAME_BOX.bottom), border.cautions, border.key),
        *signs_cell(divide, border.signs),
        *title_block_cell(border.title_block),
    )


def column_middle(column: int, columns: int) -> float:
    """Return the x of the middle of a column, counted from 1. [mm]"""
    return FIELD_BOX.left + (column - 0.5) * FIELD_BOX.width / columns


def column_row(at: Point, columns: int) -> str:
    """Return the spot in which a point lies, such as "12.E".

    Examples
    --------
    >>> column_row((229.4, 190.0), 19)
    '12.E'
    """
    column = int((at[0] - FIELD_BOX.left) / (FIELD_BOX.width / columns)) + 1
    row = int((at[1] - FIELD_BOX.top) / (FIELD_BOX.height / len(ROWS)))
    return f"{min(max(column, 1), columns)}.{ROWS[min(max(row, 0), len(ROWS) - 1)]}"


@cache
def _ruled(columns: int) -> tuple[Drawn, ...]:
    """Return what is the same on every sheet with so many columns: frame, strips, numbers, letters."""
    return (*_frame_lines(), *_grid(columns))


def _frame_lines() -> list[Drawn]:
    width, height = PAPER
    (left, top), _, (right, bottom), _ = FRAME_BOX.corners()
    marks = (
        ((width / 2, top), (width / 2, top - 5.0)),
        ((width / 2, bottom), (width / 2, bottom + 5.0)),
        ((left, height / 2), (left - 5.0, height / 2)),
        ((right, height / 2), (right + 5.0, height / 2)),
    )
    inner = (
        ((MARGIN_BOX.left, top), (MARGIN_BOX.left, _FOOT_TOP)),
        ((left, _FOOT_TOP), (right, _FOOT_TOP)),
        ((left, FIELD_BOX.top), (FIELD_BOX.right, FIELD_BOX.top)),
        ((left, FIELD_BOX.bottom), (FIELD_BOX.right, FIELD_BOX.bottom)),
        ((left, _STRIP_BOTTOM), (FIELD_BOX.right, _STRIP_BOTTOM)),
    )
    return [
        rectangle(left, top, right - left, bottom - top, pen=FRAME, layer="frame"),
        *(Polyline(mark, FRAME, layer="frame") for mark in marks),
        *(Polyline(line, FIELD, layer="frame") for line in inner),
        Polyline(((FIELD_BOX.left, top), (FIELD_BOX.left, _STRIP_BOTTOM)), THIN, layer="frame"),
    ]


def _grid(columns: int) -> list[Drawn]:
    """Return numbers above and below the field, letters at its left, and the ticks between them."""
    items: list[Drawn] = []
    strips = ((FRAME_BOX.top, FIELD_BOX.top), (FIELD_BOX.bottom, _STRIP_BOTTOM))
    for column in range(1, columns + 1):
        x = column_middle(column, columns)
        edge = x - FIELD_BOX.width / columns / 2
        for top, bottom in strips:
            items.append(Text((x, bottom - 1.2), str(column), 3.6, 500, "middle", layer="frame"))
            if column > 1:
                items.append(Polyline(((edge, top), (edge, bottom)), THIN, layer="frame"))
    step = FIELD_BOX.height / len(ROWS)
    middle = (FRAME_BOX.left + FIELD_BOX.left) / 2
    for row, letter in enumerate(ROWS):
        y = FIELD_BOX.top + row * step
        items.append(Text((middle, y + step / 2 + 1.25), letter, 3.6, 500, "middle", layer="frame"))
        if row:
            items.append(Polyline(((FRAME_BOX.left, y), (FIELD_BOX.left, y)), THIN, layer="frame"))
    return items
