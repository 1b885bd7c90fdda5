"""How soon a fuse opens: the shortest and the longest time that its standard lets it take.

Between two gates times follow a straight line in log-log. Below the first known gate the shortest time is
that of the gate, which it can only exceed; beyond the last one I²t stays what it was there. Where a table
names no shortest time it counts as none.

Sources: the gates of the tables (ISO 8820, UL 248, SAE J553).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomwright.steps import Given, Step
from loomwright.tables.fuse_type import Gates
from loomwright.tables.fuses import fuse_type
from loomwright.units import Band

Floats = NDArray[np.float64]


def opening_time(type: str, rating_a: float, current_a: float) -> Band:
    """Return the shortest and longest time in which a fuse within its standard opens.

    Parameters
    ----------
    type : str
        Type of fuse; "unknown" may take from no time to for ever.
    rating_a : float
        The fuse. [A]
    current_a : float
        Constant current through it. [A]

    Returns
    -------
    Band
        Infinite where it need not open. [s]

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> opening_time("blade", 10.0, 20.0)
    Band(low=0.15, high=5.0)
    >>> opening_time("blade", 10.0, 10.0)
    Band(low=inf, high=inf)

    References
    ----------
    ISO 8820-3, -5; UL 248-14, -15; SAE J553: gates of the tables.
    """
    if current_a <= rating_a:
        return Band(math.inf, math.inf)
    if type == "unknown":
        return Band(0.0, math.inf)
    gates, multiple = _gates(type, rating_a), current_a / rating_a
    return Band(_at_least(gates, multiple).value, _at_most(gates, multiple))


def opening_times(type: str, rating_a: float, current_a: Floats) -> tuple[Floats, Floats]:
    """Return the shortest and longest opening times at many currents, as `opening_time` has them for one.

    Parameters
    ----------
    type : str
        Type of fuse.
    rating_a : float
        The fuse. [A]
    current_a : ndarray
        Constant currents through it. [A]

    Returns
    -------
    (ndarray, ndarray)
        Of the same shape; infinite where it need not open. [s]

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> [times.round(2).tolist() for times in opening_times("blade", 10.0, np.array([10.0, 20.0, 60.0]))]
    [[inf, 0.15, 0.03], [inf, 5.0, 0.1]]

    References
    ----------
    As for `opening_time`.
    """
    if type == "unknown":
        shortest, longest = None, None
    else:
        shortest, longest = _lines(type, rating_a)
    with np.errstate(divide="ignore"):
        multiple = np.log(np.maximum(current_a, 0.0) / rating_a)
    low = np.zeros(multiple.shape) if shortest is None else np.exp(np.interp(multiple, *shortest))
    high = np.full(multiple.shape, np.inf)
    if longest is not None:
        high = np.exp(np.interp(multiple, *longest, left=np.inf))
    opens = current_a > rating_a
    return np.where(opens, low, np.inf), np.where(opens, high, np.inf)


_Line = tuple[Floats, Floats]
#: So far beyond its last gate the line of a fuse is drawn: I²t stays. [-]
_BEYOND = 1e6


@lru_cache(maxsize=512)
def _lines(type: str, rating_a: float) -> tuple[_Line | None, _Line | None]:
    """Return the shortest and the longest times of a fuse as logarithms: of multiples, and of seconds."""
    gates = _gates(type, rating_a)
    rows = gates.gates if gates else ()
    shortest = [(gate.multiple, gate.at_least_s) for gate in rows if gate.at_least_s is not None]
    longest = [(gate.multiple, gate.at_most_s) for gate in rows if gate.at_most_s is not None]
    return _line(shortest), _line(longest)


def _line(known: Sequence[tuple[float, float]]) -> _Line | None:
    if not known:
        return None
    last, last_s = known[-1]
    m, t = np.array([*known, (last * _BEYOND, last_s / _BEYOND**2)]).T
    return np.log(m), np.log(t)


def opening_step(type: str, rating_a: float, current_a: float) -> Step:
    """Return the sum behind the shortest opening time, for a current above the rating.

    Parameters
    ----------
    type : str
        Type of fuse.
    rating_a, current_a : float
        The fuse, and the constant current through it. [A]

    Returns
    -------
    Step
        In seconds.

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> round(opening_step("blade", 10.0, 18.0).value, 2)
    0.19
    """
    return _at_least(_gates(type, rating_a), current_a / rating_a)


def _gates(type: str, rating_a: float) -> Gates | None:
    rows = fuse_type(type).gates
    return next((row for row in rows if rating_a <= row.up_to_a), rows[-1] if rows else None)


def _at_least(gates: Gates | None, multiple: float) -> Step:
    """Return the shortest opening time at a multiple above 1. [s]"""
    known = [(g.multiple, g.at_least_s) for g in gates.gates if g.at_least_s is not None] if gates else []
    source = gates.source if gates else None
    says = "shortest opening time"
    if not known:
        return Step("t_open", "0", (), 0.0, "s", source, f"{says}: not known, so none")
    first, last = known[0], known[-1]
    if multiple < first[0]:
        first_s = Given("t_1", first[1], "s")
        return Step("t_open", "t_1", (first_s,), first[1], "s", source, f"{says}, that at {first[0]:.0%}")
    if multiple >= last[0]:
        value = last[1] * (last[0] / multiple) ** 2
        inputs = (Given("t_1", last[1], "s"), Given("m_1", last[0], ""), Given("m", multiple, ""))
        return Step(
            "t_open", "t_1 * (m_1 / m) ** 2", inputs, value, "s", source, f"{says}, I²t as at the last gate"
        )
    (m_1, t_1), (m_2, t_2) = next(
        (low, high) for low, high in pairwise(known) if low[0] <= multiple < high[0]
    )
    return Step(
        "t_open",
        "t_1 * (t_2 / t_1) ** (log(m / m_1) / log(m_2 / m_1))",
        (
            Given("t_1", t_1, "s"),
            Given("m_1", m_1, ""),
            Given("t_2", t_2, "s"),
            Given("m_2", m_2, ""),
            Given("m", multiple, ""),
        ),
        _log_log(multiple, (m_1, t_1), (m_2, t_2)),
        "s",
        source,
        f"{says}, between {m_1:.0%} and {m_2:.0%}",
    )


def _at_most(gates: Gates | None, multiple: float) -> float:
    """Return the longest opening time; infinite below the first gate, beyond the last its I²t. [s]"""
    known = [(g.multiple, g.at_most_s) for g in gates.gates if g.at_most_s is not None] if gates else []
    if not known or multiple < known[0][0]:
        return math.inf
    for low, high in pairwise(known):
        if multiple < high[0]:
            return _log_log(multiple, low, high)
    last = known[-1]
    return last[1] * (last[0] / multiple) ** 2


def _log_log(multiple: float, low: tuple[float, float], high: tuple[float, float]) -> float:
    (m_1, t_1), (m_2, t_2) = low, high
    return t_1 * math.pow(t_2 / t_1, math.log(multiple / m_1) / math.log(m_2 / m_1))
