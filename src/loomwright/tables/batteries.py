"""Batteries by chemistry: resting volts, inner resistance, what they accept under charge.

All volts and ohms are those of a 12 V battery at 20 to 25 °C, new; pass `nominal_v=24` for two in series.
Conventions of this program: a full lead battery rests at 12.8 V, a full LiFePO4 at 13.4 V (its surface
charge gone), and at 20 % charge they rest at 11.7 V and 12.9 V.

Sources: a few points from touring-club and makers' pages, the rest from memory; the bands of inner
resistance are planning values from memory. A battery maker's sheet is better than any of these.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.units import Band

OPEN_CIRCUIT_SOURCE = Source(
    work="common practice", place="resting volts by charge and chemistry", checked="from memory"
)
RESISTANCE_SOURCE = Source(
    work="common practice", place="inner resistance by chemistry and capacity, planning bands",
    checked="from memory",
)  # fmt: skip
CHARGE_SOURCE = Source(
    work="common practice",
    place="charging current by chemistry, share of capacity",
    checked="common practice",
)

#: Chemistries held; `unknown` spans them all.
CHEMISTRIES = ("flooded", "efb", "agm", "gel", "lifepo4")
#: Charge at which "low battery" is judged. [%]
LOW_CHARGE_PCT = 20.0

_WET = ((0, 11.36), (10, 11.51), (20, 11.70), (30, 11.81), (40, 11.96), (50, 12.10), (60, 12.24), (70, 12.37),
        (80, 12.50), (90, 12.62), (100, 12.80))  # fmt: skip
_SEALED = ((0, 11.50), (10, 11.60), (20, 11.70), (30, 11.80), (40, 12.00), (50, 12.10), (60, 12.20),
           (70, 12.30), (80, 12.50), (90, 12.60), (100, 12.80))  # fmt: skip
_LIFEPO4 = ((0, 10.60), (10, 12.50), (20, 12.90), (30, 13.00), (40, 13.10), (50, 13.20), (60, 13.20),
            (70, 13.25), (80, 13.30), (90, 13.35), (100, 13.40))  # fmt: skip

#: Charge in per cent and resting volts, from empty to full.
OPEN_CIRCUIT_V: Mapping[str, tuple[tuple[float, float], ...]] = MappingProxyType(
    {"flooded": _WET, "efb": _WET, "agm": _SEALED, "gel": _SEALED, "lifepo4": _LIFEPO4, "unknown": _WET}
)

#: Low and high end by capacity. LiFePO4 with its inner switch and leads. [Ah -> mΩ]
_RESISTANCE_MOHM: Mapping[str, Mapping[float, tuple[float, float]]] = MappingProxyType(
    {
        "flooded": {70.0: (5.0, 10.0), 100.0: (4.0, 8.0), 200.0: (2.5, 5.0)},
        "efb": {70.0: (4.0, 7.0), 100.0: (3.0, 6.0), 200.0: (2.0, 4.0)},
        "agm": {70.0: (3.0, 6.0), 100.0: (2.5, 5.0), 200.0: (1.5, 3.0)},
        "gel": {70.0: (6.0, 10.0), 100.0: (4.0, 8.0), 200.0: (2.5, 5.0)},
        "lifepo4": {70.0: (4.0, 10.0), 100.0: (2.5, 6.0), 200.0: (1.5, 4.0)},
    }
)
#: A lead battery at the end of its life, or near empty, resists so many times as much as a new full one.
AGED_RESISTANCE = Band(2.0, 3.0)
#: The same at -18 °C.
COLD_RESISTANCE = 1.5

#: Charging current as a share of the capacity at the 20 h rate. [A per Ah]
CHARGE_SHARE: Mapping[str, Band] = MappingProxyType(
    {
        "flooded": Band(0.1, 0.2),
        "efb": Band(0.1, 0.3),
        "agm": Band(0.15, 0.4),
        "gel": Band(0.1, 0.2),
        "lifepo4": Band(0.2, 0.5),
        "unknown": Band(0.1, 0.5),
    }
)


def open_circuit_v(chemistry: str, charge_pct: float, nominal_v: float = 12.0) -> float:
    """Return the volts of a rested battery.

    Parameters
    ----------
    chemistry : str
        One of `CHEMISTRIES`; "unknown" counts as flooded.
    charge_pct : float
        Charge, 0 to 100; outside it the end holds. [%]
    nominal_v : float
        12 or 24. [V]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> open_circuit_v("agm", 20.0), open_circuit_v("lifepo4", 100.0, 24.0)
    (11.7, 26.8)
    """
    points = OPEN_CIRCUIT_V.get(chemistry)
    if points is None:
        raise _no_chemistry(chemistry)
    scale = nominal_v / 12.0
    if charge_pct <= points[0][0]:
        return points[0][1] * scale
    for (low, low_v), (high, high_v) in pairwise(points):
        if charge_pct <= high:
            return (low_v + (high_v - low_v) * (charge_pct - low) / (high - low)) * scale
    return points[-1][1] * scale


def charge_at(chemistry: str, volts: float, nominal_v: float = 12.0) -> float:
    """Return the charge of a battery that rests at some volts: `open_circuit_v` read the other way.

    Where the volts stand still over a stretch of charge, its lower end. Outside the table 0 or 100.

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> [round(charge_at(*rests)) for rests in (("flooded", 12.24), ("agm", 13.0), ("lifepo4", 13.2))]
    [60, 100, 50]
    """
    points = OPEN_CIRCUIT_V.get(chemistry)
    if points is None:
        raise _no_chemistry(chemistry)
    rests = volts * 12.0 / nominal_v
    if rests <= points[0][1]:
        return 0.0
    for (low, low_v), (high, high_v) in pairwise(points):
        if rests <= high_v:
            return low + (high - low) * (rests - low_v) / (high_v - low_v)
    return 100.0


def internal_resistance(chemistry: str, capacity_ah: float, nominal_v: float = 12.0) -> Band:
    """Return the band in which the inner resistance of a new, full, warm battery lies.

    Parameters
    ----------
    chemistry : str
        One of `CHEMISTRIES`; "unknown" gives the band that spans them all. A vehicle battery of wet
        lead counts as "efb".
    capacity_ah : float
        At the 20 h rate. [Ah]
    nominal_v : float
        12 or 24. [V]

    Returns
    -------
    Band
        Between the capacities held it follows a power of the capacity, beyond them its inverse. [Ω]

    Raises
    ------
    OutOfTableError
        No such chemistry, or no capacity.

    Examples
    --------
    >>> internal_resistance("agm", 100.0)
    Band(low=0.0025, high=0.005)
    """
    if capacity_ah <= 0.0:
        raise OutOfTableError(f"no battery of {capacity_ah:g} Ah")
    if chemistry == "unknown":
        bands = [internal_resistance(each, capacity_ah, nominal_v) for each in CHEMISTRIES]
        return Band(min(band.low for band in bands), max(band.high for band in bands))
    rows = _RESISTANCE_MOHM.get(chemistry)
    if rows is None:
        raise _no_chemistry(chemistry)
    scale = 1e-3 * nominal_v / 12.0
    return Band(_by_capacity(rows, capacity_ah, 0) * scale, _by_capacity(rows, capacity_ah, 1) * scale)


def charge_limit(chemistry: str, capacity_ah: float) -> Band:
    """Return what a battery accepts, or should be given, under charge.

    Parameters
    ----------
    chemistry : str
        One of `CHEMISTRIES`, or "unknown".
    capacity_ah : float
        At the 20 h rate. [Ah]

    Returns
    -------
    Band
        From the usual current to the largest recommended one. [A]

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> charge_limit("flooded", 100.0)
    Band(low=10.0, high=20.0)
    """
    if chemistry not in CHARGE_SHARE:
        raise _no_chemistry(chemistry)
    return CHARGE_SHARE[chemistry].times(capacity_ah)


def _by_capacity(rows: Mapping[float, tuple[float, float]], capacity_ah: float, end: int) -> float:
    points = [(ah, ends[end]) for ah, ends in rows.items()]
    if capacity_ah <= points[0][0]:
        return points[0][1] * points[0][0] / capacity_ah
    for (low, low_r), (high, high_r) in pairwise(points):
        if capacity_ah <= high:
            power = math.log(high_r / low_r) / math.log(high / low)
            return low_r * math.pow(capacity_ah / low, power)
    return points[-1][1] * points[-1][0] / capacity_ah


def _no_chemistry(chemistry: str) -> OutOfTableError:
    return OutOfTableError(f'no battery chemistry "{chemistry}"; held: {", ".join(CHEMISTRIES)}, unknown')
