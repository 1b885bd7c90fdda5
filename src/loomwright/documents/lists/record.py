"""A list as data: columns with a key, a head and a unit, rows of cells. What shows it knows no more."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.documents.reasons.figures import figure

#: A figure in the unit of its column, a text, several names, yes or no; None is not to be had.
Cell = str | float | int | bool | tuple[str, ...] | None
Row = tuple[Cell, ...]
NONE = "–"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    key : str
        In CSV and JSON; carries its unit.
    head : str
        In words.
    unit : str
        Of its figures; "" for texts, and for counts.
    of : str
        What its names are: "wire", "part", "stud", "place"; "" for plain text.
    wide : float
        Room on paper against the others.
    """

    key: str
    head: str
    unit: str = ""
    of: str = ""
    wide: float = 1.0

    @property
    def is_figure(self) -> bool:
        """True for a column of figures with a unit."""
        return bool(self.unit)

    def shown(self, cell: Cell) -> str:
        """Return a cell as printed, its unit stands in the head."""
        if cell is None:
            return NONE
        if isinstance(cell, bool):
            return "yes" if cell else "no"
        if isinstance(cell, tuple):
            return ", ".join(cell)
        return cell if isinstance(cell, str) else figure(float(cell), self.unit or "n")[0]

    @property
    def titled(self) -> str:
        """The head with the unit."""
        return f"{self.head}, {self.unit}" if self.unit else self.head


@dataclass(frozen=True, slots=True)
class List:
    """One list.

    Attributes
    ----------
    name : str
        Of its file, and in JSON.
    title : str
    lead : str
        What it holds, in a sentence.
    columns : tuple of Column
    rows : tuple of tuple of Cell
    notes : tuple of str
        Under it: sources, what is missing, sums.
    """

    name: str
    title: str
    lead: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()

    def as_dicts(self) -> list[dict[str, object]]:
        """Return the rows as JSON has them, by the keys of the columns."""
        return [
            {
                column.key: list(cell) if isinstance(cell, tuple) else cell
                for column, cell in zip(self.columns, row, strict=True)
            }
            for row in self.rows
        ]


__all__ = ["NONE", "Cell", "Column", "List", "Row"]
