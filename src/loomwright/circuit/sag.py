"""A source with an inner resistance under a constant power: its volts, and the most that can be had from it.

    v = (v0 + sqrt(v0² - 4 R P)) / 2        P = (v0 - v) v / R        largest P = v0² / 4R, at v = v0 / 2

The sum has two answers. The load settles on the higher; at the lower one it would take more current at fewer
volts for the same power, and any nudge lets it fall further. Where the two meet is the collapse point.

Source: largest power of a source with resistance, any textbook of circuits.
"""

from __future__ import annotations

import math


def volts_under_power(open_v: float, ohm: float, watts: float) -> float | None:
    """Return the volts that a constant power leaves at its terminals.

    Parameters
    ----------
    open_v, ohm : float
        Open-circuit volts and resistance as seen from there. [V, Ω]
    watts : float
        What is taken. [W]

    Returns
    -------
    float or None
        The higher answer; None beyond the collapse point. [V]

    Examples
    --------
    >>> round(volts_under_power(12.8, 6.12e-3, 2000.0 / 0.88), 2)
    11.6
    >>> volts_under_power(12.0, 0.1, 361.0) is None
    True
    """
    root = open_v * open_v - 4.0 * ohm * watts
    return None if open_v <= 0.0 or root < 0.0 else (open_v + math.sqrt(root)) / 2.0


def falling_volts(open_v: float, ohm: float, watts: float) -> float | None:
    """Return the lower answer, on which no load stays; None beyond the collapse point. [V]

    Examples
    --------
    >>> falling_volts(12.0, 0.1, 360.0)
    6.0
    """
    upper = volts_under_power(open_v, ohm, watts)
    return None if upper is None else open_v - upper


def most_watts(open_v: float, ohm: float) -> float:
    """Return the power at the collapse point; infinite without resistance. [W]

    Examples
    --------
    >>> round(most_watts(12.0, 0.1), 6)
    360.0
    """
    return math.inf if ohm <= 0.0 else max(open_v, 0.0) ** 2 / (4.0 * ohm)


def watts_at(open_v: float, ohm: float, least_v: float) -> float:
    """Return the most power that can be had while the terminals stay at some volts or above.

    Parameters
    ----------
    open_v, ohm : float
        Open-circuit volts and resistance. [V, Ω]
    least_v : float
        Volts that are not to be passed. [V]

    Returns
    -------
    float
        None is left where the source rests below; below the collapse point its power is all there is. [W]

    Examples
    --------
    >>> round(watts_at(12.15, 7.25e-3, 11.0) * 0.88)
    1535
    >>> watts_at(10.9, 7.25e-3, 11.0)
    0.0
    """
    if open_v <= least_v:
        return 0.0
    if ohm <= 0.0:
        return math.inf
    return most_watts(open_v, ohm) if least_v <= open_v / 2.0 else (open_v - least_v) * least_v / ohm


def watts_at_current(open_v: float, ohm: float, most_a: float) -> float:
    """Return the power at a limit of current: (v0 - R I) I, up to the collapse point. [W]

    Examples
    --------
    >>> watts_at_current(12.0, 0.1, 10.0)
    110.0
    """
    if ohm > 0.0 and most_a >= open_v / (2.0 * ohm):
        return most_watts(open_v, ohm)
    return (open_v - ohm * most_a) * most_a
