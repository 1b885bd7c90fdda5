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
        tighter = _volts(v0.high, falls.low, low.amps + low.siemens * least_v, low.watts, on) + lifted
        most_v = np.fmin(most_v, tighter)
    amps = Ends(_amps(low, most_v, least_v, on), _amps(high, least_v, most_v, on))
    return Enclosed(Ends(least_v, most_v), amps)


def _volts(v0: Floats, z: Floats, amps: Floats, watts: Floats, on: Bools) -> Floats:
    volts: Floats = port_volts(v0, z, amps[None], watts[None], np.zeros((1, len(v0))), on[None])[0]
    return volts


def _amps(loads: PortLoads, power_v: Floats, ohms_v: Floats, on: Bools) -> Floats:
    """Return the currents, constant powers at some volts and resistances at others. [A]"""
    taken: Floats = np.where(on, loads.amps + loads.watts / power_v + loads.siemens * ohms_v, 0.0)
    return taken
