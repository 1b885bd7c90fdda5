"""A list as data: columns with a key, a head and a unit, rows of cells. What shows it knows no more."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loomwright.documents.reasons.figures import figure, signed

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
    money : bool
        Its figures are money.
    """

    key: str
    head: str
    unit: str = ""
    of: str = ""
    wide: float = 1.0
    money: bool = False

    @property
    def is_figure(self) -> bool:
        """True for a column of figures with a unit."""
        return bool(self.unit) or self.money

    def shown(self, cell: Cell) -> str:
        """Return a cell as printed, its unit stands in the head."""
        if cell is None:
            return NONE
        if isinstance(cell, bool):
            return "yes" if cell else "no"
        if isinstance(cell, tuple):
            return ", ".join(cell)
        if isinstance(cell, str):
            return cell
        if self.money:
            return signed(f"{cell:.2f}")
        if self.unit == "m":
            return signed(f"{round(cell, 2):g}")
        return figure(float(cell), "A" if self.unit else "m")[0]  # counts to a digit more

    @property
    def titled(self) -> str:
        """The head with the unit."""
        return f"{self.head}, {self.unit}" if self.unit else self.head


@dataclass(frozen=True, slots=True)
class Face:
    """A plug seen from the mating face of its loose half: rows of pins, each its number and its labels."""

    title: str
    rows: tuple[tuple[tuple[str, str], ...], ...]


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
    faces : tuple of Face
        Of plugs.
    heads : int
        So many of the first columns stand over the rows they are the same for, instead of in each.
    """

    name: str
    title: str
    lead: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    heads: int = 0
    faces: tuple[Face, ...] = ()

    @property
    def grouped(self) -> list[tuple[str, list[Row]]]:
        """The rows with what stands over them, "" if nothing does; the rest of their cells."""
        groups: list[tuple[Row, list[Row]]] = []
        for row in self.rows:
            if not groups or groups[-1][0] != row[: self.heads]:
                groups.append((row[: self.heads], []))
            groups[-1][1].append(row[self.heads :])
        return [(self._over(over), rows) for over, rows in groups]

    @property
    def used(self) -> List:
        """The list without the columns that say nothing in any row, for paper."""
        said = [any(row[k] not in ("", (), None) for row in self.rows) for k in range(len(self.columns))]
        kept = [k for k, some in enumerate(said) if some or k < self.heads or self.columns[k].key == "done"]
        rows = tuple(tuple(row[k] for k in kept) for row in self.rows)
        return replace(self, columns=tuple(self.columns[k] for k in kept), rows=rows)

    @property
    def below(self) -> tuple[Column, ...]:
        """The columns of the rows themselves."""
        return self.columns[self.heads :]

    def _over(self, over: Row) -> str:
        cells = zip(self.columns, over, strict=False)
        words = (
            (f"{column.head.lower()} " if isinstance(cell, int) else "", column, cell)
            for column, cell in cells
        )
        return ", ".join(f"{before}{column.shown(cell)}" for before, column, cell in words if cell != "")

    def as_dicts(self) -> list[dict[str, object]]:
        """Return the rows as JSON has them, by the keys of the columns."""
        return [
            {
                column.key: list(cell) if isinstance(cell, tuple) else cell
                for column, cell in zip(self.columns, row, strict=True)
            }
            for row in self.rows
        ]


__all__ = ["NONE", "Cell", "Column", "Face", "List", "Row"]
