"""How long a battery gives one constant current: Peukert's law, with the range in which it was found to hold.

    t = H · (C / (I · H))^k        C: capacity at the H-hour rate        k: exponent, 1 for a perfect battery

It is fitted to whole discharges at one current each, between the rated one and about that of an hour. Below
the rated current the rated capacity holds; above it the law says nothing. A rest gives charge back, so a
load that comes and goes does better than it says.

Sources: W. Peukert, 1897 (from memory); the form with H and the exponents from reserve minutes as manuals of
battery monitors print them (published, second hand).
"""

from __future__ import annotations

import math

from loomwright.errors import OutOfTableError

#: The rate that capacities are stated at. [h]
RATED_H = 20.0
#: A discharge faster than this is outside what the law was fitted to. [h]
FASTEST_H = 1.0
#: The exponent lies between these, the higher for old wet batteries.
EXPONENTS = (1.0, 1.6)


def hours_at(capacity_ah: float, amps: float, exponent: float, rated_h: float = RATED_H) -> float:
    """Return how long a full battery gives a constant current.

    Parameters
    ----------
    capacity_ah : float
        At the rated hours. [Ah]
    amps : float
        Between the rated current, C / `rated_h`, and C / `FASTEST_H`. [A]
    exponent : float
        Peukert's, 1 to 1.6.
    rated_h : float
        Hours that the capacity is stated at. [h]

    Returns
    -------
    float
        [h]

    Raises
    ------
    OutOfTableError
        The current is below or above the range, or the exponent is none.

    Examples
    --------
    >>> round(hours_at(100.0, 10.0, 1.20), 3), round(10.0 * hours_at(100.0, 10.0, 1.20), 2)
    (8.706, 87.06)

    References
    ----------
    Peukert's law in the form of the rated hours.
    """
    low, high = capacity_ah / rated_h, capacity_ah / FASTEST_H
    if not EXPONENTS[0] <= exponent <= EXPONENTS[1]:
        raise OutOfTableError(f"no exponent {exponent:g}; it lies between 1 and 1.6")
    if capacity_ah <= 0.0 or not low * (1.0 - 1e-9) <= amps <= high * (1.0 + 1e-9):
        raise OutOfTableError(f"{amps:g} A of {capacity_ah:g} Ah; Peukert holds from {low:g} to {high:g} A")
    return rated_h * math.pow(capacity_ah / (amps * rated_h), exponent)


def exponent_of(first_a: float, first_h: float, second_a: float, second_h: float) -> float:
    """Return the exponent from two discharges at constant currents.

    Parameters
    ----------
    first_a, first_h, second_a, second_h : float
        Currents and times, the larger current with the shorter time. [A, h]

    Returns
    -------
    float
        ln(t1 / t2) / ln(I2 / I1).

    Raises
    ------
    OutOfTableError
        The two are no different discharges.

    Examples
    --------
    >>> round(exponent_of(225.0 / 20.0, 20.0, 25.0, 447.0 / 60.0), 3)  # 225 Ah, 447 min at 25 A
    1.237
    """
    if min(first_a, first_h, second_a, second_h) <= 0.0 or first_a == second_a:
        raise OutOfTableError("an exponent needs two discharges at different currents")
    return math.log(first_h / second_h) / math.log(second_a / first_a)


__all__ = ["EXPONENTS", "FASTEST_H", "RATED_H", "exponent_of", "hours_at"]
