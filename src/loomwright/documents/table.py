"""Plain-text tables: columns as wide as their widest cell, no frame."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table with a head line and a rule under it.

    Examples
    --------
    >>> print(table(("wire", "size"), [("W1", "2.5 mm²")]))
    wire  size
    ----  -------
    W1    2.5 mm²
    """
    cells = [tuple(heads), *(tuple(_clean(cell) for cell in row) for row in rows)]
    widths = [max(_width(row[k]) for row in cells) for k in range(len(heads))]
    cells.insert(1, tuple("-" * width for width in widths))
    return "\n".join(
        "  ".join(_padded(cell, w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in cells
    )


def _clean(cell: str) -> str:
    """Replace control characters: a name in a plan is text, never a command to the terminal."""
    return "".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp") else c for c in cell)


def _width(cell: str) -> int:
    return sum(
        2 if unicodedata.east_asian_width(c) in "WF" else 0 if unicodedata.combining(c) else 1 for c in cell
    )


def _padded(cell: str, width: int) -> str:
    return cell + " " * (width - _width(cell))
