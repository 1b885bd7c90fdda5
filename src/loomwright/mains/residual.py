"""How soon a residual current device opens, and how high the loop to earth may be for it.

Between two figures of the standard the time counts as at the smaller current, which is on the safe side.
Direct current in the residue is left out: a device of type AC may not see it at all.

Sources: IEC 61008-1, IEC 61009-1 (times), IEC 60364-4-41 (50 V), UL 943 (class A of North America).
"""

from __future__ import annotations

import math

from loomwright.mains.records import Residual
from loomwright.tables import iec_61008
from loomwright.tables.iec_60364_4_41 import TOUCH_LIMIT_V
from loomwright.units import Band

#: Sums leave dust behind: a current counts as at a figure within this.
_MORE = 1.0 + 1e-9


def residual_time(residual: Residual, amps: float) -> Band:
    """Return the shortest and longest time in which a device within its standard opens.

    Parameters
    ----------
    residual : Residual
        The device.
    amps : float
        Constant residual current, effective value. [A]

    Returns
    -------
    Band
        Infinite where it need not open. [s]

    Examples
    --------
    >>> residual_time(Residual(0.03), 0.15)
    Band(low=0.0, high=0.04)
    >>> residual_time(Residual(0.03), 0.015)
    Band(low=inf, high=inf)

    References
    ----------
    IEC 61008-1, limits of break time and non-actuating time; UL 943.
    """
    amps = abs(amps)
    if residual.kind == "class_a":
        return _class_a(amps)
    times, multiple = iec_61008.TIMES[residual.kind], amps / residual.trips_a
    if multiple <= iec_61008.STAYS_CLOSED * _MORE:
        return Band(math.inf, math.inf)
    above = next((time for time in times if multiple <= time.multiple * _MORE), times[-1])
    reached = [time.at_most_s for time in times if multiple * _MORE >= time.multiple]
    return Band(above.at_least_s, reached[-1] if reached else math.inf)


def residual_most_loop_ohm(trips_a: float, touch_v: float = TOUCH_LIMIT_V) -> float:
    """Return the largest loop at which the rated residual current lifts nothing above the touch limit.

    Parameters
    ----------
    trips_a : float
        Rated residual current. [A]
    touch_v : float
        The limit. [V]

    Returns
    -------
    float
        Electrode and protective conductor together. [Ω]

    Examples
    --------
    >>> round(residual_most_loop_ohm(0.03))
    1667

    References
    ----------
    IEC 60364-4-41, 411.5.3; BS 7671, Table 41.5.
    """
    return touch_v / trips_a


def _class_a(amps: float) -> Band:
    if amps <= iec_61008.CLASS_A_STAYS_CLOSED_A:
        return Band(math.inf, math.inf)
    if amps < iec_61008.CLASS_A_TRIPS_A * (1.0 - 1e-9):
        return Band(0.0, math.inf)
    counted = min(amps, iec_61008.CLASS_A_FORMULA_UP_TO_A)
    return Band(0.0, (iec_61008.CLASS_A_AMPS / counted) ** iec_61008.CLASS_A_POWER)
