"""The findings that do not fit the margin of a sheet: in a book, the page where they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from loomwright.drawing.frame import REST_AT
from loomwright.drawing.scene import Sheet, Text


@dataclass(frozen=True, slots=True)
class Rest:
    """Words that the pages write onto a sheet, since only they know the number of a page.

    Attributes
    ----------
    x_mm, y_mm : float
        Left end of the line that they stand on. [mm]
    size_mm : float
        Of the letters. [mm]
    words : str
        How many more there are: "4 more".
    """

    x_mm: float
    y_mm: float
    size_mm: float
    words: str


def without_rest(sheets: Sequence[Sheet]) -> tuple[list[Sheet], list[list[Rest]]]:
    """Return the sheets without what sends a reader to the list of check, and what a book writes there."""
    kept, rests = [], []
    for sheet in sheets:
        lines = [item for item in sheet.items if isinstance(item, Text) and _is_rest(item)]
        kept.append(replace(sheet, items=tuple(item for item in sheet.items if item not in lines)))
        rests.append([_rest(line) for line in lines])
    return kept, rests


def _is_rest(line: Text) -> bool:
    return line.layer == "findings" and line.text.endswith(f", {REST_AT}")


def _rest(line: Text) -> Rest:
    return Rest(*line.at, line.size, line.text.removesuffix(f", {REST_AT}"))
