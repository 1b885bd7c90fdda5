"""How a table is read when the size or condition asked for stands between two of its rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TypeVar

from loomwright.errors import OutOfTableError

#: Labels are rounded: 2.08 mm² typed for AWG 14 is AWG 14 (2.081 mm²).
LABEL_TOLERANCE = 0.005

Row = TypeVar("Row", int, float)


def listed(sizes: Iterable[float]) -> str:
    """Return sizes as words for an error text: "1.5, 2.5, 4"."""
    return ", ".join(f"{size:g}" for size in sizes)


def row_at_or_below(table: Iterable[Row], asked: float, what: str) -> Row:
    """Return the largest row of `table` that is not above `asked`: the careful row for a capacity.

    Parameters
    ----------
    table : iterable
        The rows' sizes or temperatures, in rising order.
    asked : float
        The size or temperature asked for. [that of the rows]
    what : str
        Name of the table, for the error text.

    Returns
    -------
    int or float
        A row of the table.

    Raises
    ------
    OutOfTableError
        `asked` is below the first row.

    Examples
    --------
    >>> row_at_or_below({2.5: 32, 4.0: 42}, 3.0, "the example")
    2.5
    """
    rows = list(table)
    fitting = [row for row in rows if row <= asked * (1.0 + LABEL_TOLERANCE)]
    if not fitting:
        raise OutOfTableError(f"{asked:g} is below what {what} holds: {listed(rows)}")
    return max(fitting)


def row_at_or_above(table: Iterable[Row], asked: float) -> Row | None:
    """Return the smallest row of `table` that is not below `asked`: the careful row for a derating.

    Parameters
    ----------
    table : iterable
        The rows' counts or temperatures.
    asked : float
        The count or temperature asked for. [that of the rows]

    Returns
    -------
    int, float or None
        A row of the table; None beyond its last row.

    Examples
    --------
    >>> row_at_or_above({9: 0.50, 12: 0.45}, 10)
    12
    """
    return min((row for row in table if row >= asked), default=None)


def between(points: Sequence[tuple[float, float]], at: float) -> float:
    """Return what lies between rising points in a straight line; beyond the ends they hold.

    Examples
    --------
    >>> between(((0.0, 1.0), (10.0, 2.0)), 2.5), between(((0.0, 1.0), (10.0, 2.0)), 20.0)
    (1.25, 2.0)
    """
    if at <= points[0][0]:
        return points[0][1]
    for (low, value), (high, after) in pairwise(points):
        if at <= high:
            return value + (after - value) * (at - low) / (high - low)
    return points[-1][1]
