"""Volts lost in copper, and the area or length that keeps within a limit.

Length here is always that of the whole loop, out and back. Taking one way for the loop is the commonest
error in hand sums.

Sources: Ohm's law; the form A = ρ·L·I/ΔU is that of EN 1648-2, with ρ of copper at 50 °C.
"""

from __future__ import annotations

from loomwright.source import Source

EN_1648_2_SOURCE = Source(work="EN 1648-2", place="conductor sizing, A = ρ·L·I/ΔU", checked="one source")
#: Copper at 50 °C, as EN 1648-2 counts it. [Ω·mm²/m]
EN_1648_2_RESISTIVITY = 0.01989


def drop_v(current_a: float, loop_ohm: float) -> float:
    """Return the volts that a current loses in a resistance.

    Parameters
    ----------
    current_a : float
        [A]
    loop_ohm : float
        Copper out and back, or a joint. [Ω]

    Returns
    -------
    float
        [V]

    Examples
    --------
    >>> drop_v(200.0, 0.01)
    2.0
    """
    return current_a * loop_ohm


def area_for_drop(
    current_a: float, loop_m: float, limit_v: float, resistivity: float = EN_1648_2_RESISTIVITY
) -> float:
    """Return the area of copper that loses just `limit_v`.

    Parameters
    ----------
    current_a : float
        [A]
    loop_m : float
        Length out and back. [m]
    limit_v : float
        Volts that may be lost. [V]
    resistivity : float
        Of the copper at its temperature. [Ω·mm²/m]

    Returns
    -------
    float
        [mm²]

    Examples
    --------
    >>> round(area_for_drop(24.1, 10.0, 0.8), 2)
    5.99

    References
    ----------
    EN 1648-2.
    """
    return resistivity * loop_m * current_a / limit_v


def longest_loop_m(current_a: float, limit_v: float, ohm_per_m: float) -> float:
    """Return the length out and back that loses just `limit_v`.

    Parameters
    ----------
    current_a : float
        [A]
    limit_v : float
        Volts that may be lost. [V]
    ohm_per_m : float
        Of one conductor. [Ω/m]

    Returns
    -------
    float
        [m]

    Examples
    --------
    >>> round(longest_loop_m(10.0, 0.6, 0.0033), 1)
    18.2
    """
    return limit_v / (current_a * ohm_per_m)
