"""Bounds of what loads get and take together, where the network and the loads are known only between ends.

    v = v0 - z @ i        i = amps + watts / v + siemens * v

A constant power takes more the fewer volts it gets, a resistance less, so with both kinds on one network no
single corner of the ends has the extremes. Each side is bounded for itself: the fewest volts are those of
all ohms at their high end with resistances taking what they would at the most volts; then the other way
round, and again with the better bounds.

Sources: interval arithmetic, Moore, Kearfott and Cloud, Introduction to Interval Analysis, 2009, chapters 2
and 5 (from memory); that z of a port never falls when a resistance grows: Rayleigh's monotonicity law, Doyle
and Snell, Random Walks and Electric Networks, 1984, section 1.4 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.circuit.linear import Bools, Floats
from loomwright.circuit.ports import PortLoads, port_volts

#: The bounds are drawn in so many times; what a turn still gains falls by the square of the drop. [-]
TURNS = 3


@dataclass(frozen=True, slots=True)
class Ends:
    """Low and high end of an array."""

    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True)
class Enclosed:
    """Bounds of volts and amperes at n ports, both shape (n,). [V, A]"""

    volts: Ends
    amps: Ends


def enclose(v0: Ends, z: Ends, low: PortLoads, high: PortLoads, on: Bools) -> Enclosed | None:
    """Bound the volts and currents of loads that run together.

    Parameters
    ----------
    v0 : Ends
        Volts with nothing drawn, shape (n,), above zero. [V]
    z : Ends
        Transfer resistances, shape (n, n). [Ω]
    low, high : PortLoads
        The least and the most that hangs at each port.
    on : Bools
        Which loads run, shape (n,).

    Returns
    -------
    Enclosed or None
        None where the network might collapse at the worst.

    Examples
    --------
    >>> from numpy import array
    >>> nothing = array([0.0])
    >>> lamp = PortLoads(array([2.0]), nothing, nothing), PortLoads(array([3.0]), nothing, nothing)
    >>> ends = Ends(array([12.0]), array([12.0])), Ends(array([[0.1]]), array([[0.2]]))
    >>> found = enclose(*ends, *lamp, array([True]))
    >>> [round(float(v[0]), 9) for v in (found.volts.low, found.volts.high)]
    [11.4, 11.8]
    """
    raises = np.maximum(-z.low, 0.0)  # what lifts another port, as in banks in series
    falls = Ends(np.maximum(z.low, 0.0), np.maximum(z.high, 0.0))
    most_v = v0.high + raises @ _amps(high, v0.low / 2.0, v0.high, on)
    least_v = v0.low
    for _ in range(TURNS):
        least_v = _volts(v0.low, falls.high, high.amps + high.siemens * most_v, high.watts, on)
        if np.isnan(least_v).any() or (least_v <= 0.0).any():
            return None
        lifted = raises @ _amps(high, least_v, most_v, on)
        tighter = _volts(v0.high + lifted, falls.low, low.amps + low.siemens * least_v, low.watts, on)
        most_v = np.fmin(most_v, tighter)
    amps = Ends(_amps(low, most_v, least_v, on), _amps(high, least_v, most_v, on))
    return _each_alone(v0, z, low, high, on, Enclosed(Ends(least_v, most_v), amps))


def _each_alone(v0: Ends, z: Ends, low: PortLoads, high: PortLoads, on: Bools, found: Enclosed) -> Enclosed:
    """Draw the bounds in: each load by itself behind the bounds of what the others take.

    So a figure stands once in each sum, and the sum has no more room than the figure.
    """
    own, apart = Ends(np.diag(z.low), np.diag(z.high)), ~np.eye(len(on), dtype=bool)
    volts, amps = found.volts, found.amps
    for _ in range(TURNS):
        most_fall, least_fall = z.high * apart, z.low * apart
        free = Ends(
            v0.low - np.maximum(most_fall, 0.0) @ amps.high - np.minimum(most_fall, 0.0) @ amps.low,
            v0.high - np.maximum(least_fall, 0.0) @ amps.low - np.minimum(least_fall, 0.0) @ amps.high,
        )
        volts = Ends(
            np.fmax(volts.low, _behind(free.low, own.high, high, on)),
            np.fmin(volts.high, _behind(free.high, own.low, low, on)),
        )
        ohms_v = Ends(
            np.fmax(volts.low, free.low / (1.0 + own.high * low.siemens)),
            np.fmin(volts.high, free.high / (1.0 + own.low * high.siemens)),
        )
        amps = Ends(_amps(low, volts.high, ohms_v.low, on), _amps(high, volts.low, ohms_v.high, on))
    return Enclosed(volts, amps)


def _behind(free: Floats, ohm: Floats, loads: PortLoads, on: Bools) -> Floats:
    """Return the volts of each load alone behind a resistance; NaN where it has no working point. [V]"""
    amps, watts, siemens = (np.where(on, side, 0.0) for side in (loads.amps, loads.watts, loads.siemens))
    slope, left = 1.0 + ohm * siemens, free - ohm * amps
    with np.errstate(invalid="ignore"):
        volts: Floats = (left + np.sqrt(left**2 - 4.0 * slope * ohm * watts)) / (2.0 * slope)
    return volts


def _volts(v0: Floats, z: Floats, amps: Floats, watts: Floats, on: Bools) -> Floats:
    volts: Floats = port_volts(v0, z, amps[None], watts[None], np.zeros((1, len(v0))), on[None])[0]
    return volts


def _amps(loads: PortLoads, power_v: Floats, ohms_v: Floats, on: Bools) -> Floats:
    """Return the currents, constant powers at some volts and resistances at others. [A]"""
    taken: Floats = np.where(on, loads.amps + loads.watts / power_v + loads.siemens * ohms_v, 0.0)
    return taken
