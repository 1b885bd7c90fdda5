"""How soon a miniature circuit breaker opens: the shortest and longest time that its standard lets it take.

Between two gates times follow a straight line in log-log; beyond the last one the thermal release keeps
its I²t, which meets the standard's own figures at 3, 5 and 10 times the rating within a few percent.
Where the magnetic release may act, the shortest time is none; where it has to, the longest is 0.1 s. The
air counts as 30 °C and the breaker as cold: a warm one opens sooner at small overloads.

Sources: IEC 60898-1 (gates), IEC 60364-4-41 411.4.4 (largest loop).
"""

from __future__ import annotations

import math
from functools import lru_cache

from loomwright.errors import OutOfTableError
from loomwright.steps import Given, Step
from loomwright.tables import iec_60898
from loomwright.tables.iec_60364_4_41 import C_MIN, C_MIN_SOURCE
from loomwright.units import Band


@lru_cache(maxsize=4096)
def breaker_time(curve: str, rating_a: float, amps: float) -> Band:
    """Return the shortest and longest time in which a breaker within its standard opens.

    Parameters
    ----------
    curve : str
        "B", "C", "D"; "unknown" may be any of them.
    rating_a : float
        The breaker. [A]
    amps : float
        Constant current through one of its poles, effective value. [A]

    Returns
    -------
    Band
        Infinite where it need not open. [s]

    Raises
    ------
    OutOfTableError
        No such curve.

    Examples
    --------
    >>> breaker_time("B", 16.0, 80.0)
    Band(low=0.0, high=0.1)
    >>> breaker_time("C", 16.0, 16.0)
    Band(low=inf, high=inf)

    References
    ----------
    IEC 60898-1, time-current limits.
    """
    instant, multiple = _instant(curve), abs(amps) / rating_a
    if multiple <= 1.0:
        return Band(math.inf, math.inf)
    return Band(_at_least(instant, multiple), _at_most(instant, multiple, rating_a))


def breaker_trips_at_once_a(curve: str, rating_a: float) -> float:
    """Return the current from which a breaker has to open within 0.1 s.

    Parameters
    ----------
    curve : str
        "B", "C", "D"; "unknown" counts as D.
    rating_a : float
        The breaker. [A]

    Returns
    -------
    float
        5, 10 or 20 times the rating. [A]

    Raises
    ------
    OutOfTableError
        No such curve.

    Examples
    --------
    >>> breaker_trips_at_once_a("B", 16.0)
    80.0

    References
    ----------
    IEC 60898-1, ranges of instantaneous tripping.
    """
    return _instant(curve).high * rating_a


def most_loop_ohm(curve: str, rating_a: float, volts: float = 230.0, c_min: float = C_MIN) -> float:
    """Return the largest loop at which a breaker has to open at once.

    Parameters
    ----------
    curve : str
        "B", "C", "D"; "unknown" counts as D.
    rating_a : float
        The breaker. [A]
    volts : float
        Nominal, line to earth. [V]
    c_min : float
        Share of it that is there at the worst; 1 where the region does not count with it.

    Returns
    -------
    float
        With the conductors as hot as the load makes them. [Ω]

    Raises
    ------
    OutOfTableError
        No such curve.

    Examples
    --------
    >>> round(most_loop_ohm("B", 16.0), 2)
    2.73

    References
    ----------
    IEC 60364-4-41 and BS 7671, 411.4.4.
    """
    return c_min * volts / breaker_trips_at_once_a(curve, rating_a)


def most_loop_step(curve: str, rating_a: float, volts: float = 230.0, c_min: float = C_MIN) -> Step:
    """Return the sum behind `most_loop_ohm`.

    Parameters
    ----------
    curve, rating_a, volts, c_min
        As there.

    Returns
    -------
    Step
        In ohms.

    Raises
    ------
    OutOfTableError
        No such curve.
    """
    multiple = _instant(curve).high
    inputs = (
        Given("c_min", c_min, ""),
        Given("U_0", volts, "V"),
        Given("m", multiple, ""),
        Given("I_n", rating_a, "A"),
    )
    value = most_loop_ohm(curve, rating_a, volts, c_min)
    says = f"largest loop for a breaker of curve {curve}, {rating_a:g} A, to open within 0.1 s"
    return Step("Z_s", "c_min * U_0 / (m * I_n)", inputs, value, "Ω", C_MIN_SOURCE, says)


def _instant(curve: str) -> Band:
    if curve not in iec_60898.INSTANT:
        raise OutOfTableError(f"no breaker of curve {curve!r}; held: {', '.join(iec_60898.INSTANT)}")
    return iec_60898.INSTANT[curve]


def _at_least(instant: Band, multiple: float) -> float:
    """Return the shortest time at a multiple above 1. [s]"""
    if multiple > instant.low:
        return 0.0
    first, last = iec_60898.HOLDS, iec_60898.THIRD
    if multiple <= first:
        return iec_60898.HOUR_S
    if multiple < last:
        return _log_log(multiple, (first, iec_60898.HOUR_S), (last, iec_60898.THIRD_AT_LEAST_S))
    return max(iec_60898.INSTANT_S, iec_60898.THIRD_AT_LEAST_S * (last / multiple) ** 2)


def _at_most(instant: Band, multiple: float, rating_a: float) -> float:
    """Return the longest time; infinite below the first gate. [s]"""
    if multiple >= instant.high * (1.0 - 1e-9):
        return iec_60898.INSTANT_S
    first, last = iec_60898.TRIPS, iec_60898.THIRD
    large = rating_a > iec_60898.LARGE_A
    third_s = iec_60898.THIRD_LARGE_AT_MOST_S if large else iec_60898.THIRD_AT_MOST_S
    if multiple < first:
        return math.inf
    if multiple < last:
        return _log_log(multiple, (first, iec_60898.HOUR_S), (last, third_s))
    return third_s * (last / multiple) ** 2


def _log_log(multiple: float, low: tuple[float, float], high: tuple[float, float]) -> float:
    (m_1, t_1), (m_2, t_2) = low, high
    return t_1 * math.pow(t_2 / t_1, math.log(multiple / m_1) / math.log(m_2 / m_1))
