"""What flows out of a panel that is held at a voltage other than its best, from its label and the light.

A regulator without a converter holds it at the battery's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.energy.sun import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A panel's curve of current and voltage, from its label. At 1000 W/m² and 25 °C.

    Attributes
    ----------
    vmp_v, imp_a : float
        At the best point. [V, A]
    voc_v, isc_a : float, optional
        Open and shorted; else 1.2 times and 1.05 times those. (common practice) [V, A]
    voc_per_c_pct, isc_per_c_pct : float
        For each degree of the cells above 25 °C. (common practice) [%/°C]
    """

    vmp_v: float
    imp_a: float
    voc_v: float | None = None
    isc_a: float | None = None
    voc_per_c_pct: float = -0.30
    isc_per_c_pct: float = 0.05


def current_a(curve: Curve, light_w_m2: Floats, cell_c: Floats, volts: Floats | float) -> Floats:
    """Return what flows when the panel is held at a voltage, as a regulator without a converter does.

    Parameters
    ----------
    curve : Curve
        Its label.
    light_w_m2, cell_c : ndarray
        Of `Output`. [W/m², °C]
    volts : ndarray or float
        At its terminals: the battery's, and what is lost on the way. [V]

    Returns
    -------
    ndarray
        Never below 0. [A]

    References
    ----------
    The exponential through the three points of the label, moved with the cells' temperature and lowered by
    what light is wanting (from memory; the tests compare it with a one-diode model).
    """
    voc = curve.voc_v if curve.voc_v is not None else 1.2 * curve.vmp_v
    isc = curve.isc_a if curve.isc_a is not None else 1.05 * curve.imp_a
    warm = np.asarray(cell_c) - 25.0
    suns = np.maximum(np.asarray(light_w_m2), 0.0) / 1000
    bend = (curve.vmp_v / voc - 1) / np.log(1 - curve.imp_a / isc)
    at_zero = (1 - curve.imp_a / isc) * np.exp(-curve.vmp_v / (bend * voc))
    shift = voc * curve.voc_per_c_pct / 100 * warm
    shorted = isc * (1 + curve.isc_per_c_pct / 100 * warm)
    lost = at_zero * np.expm1(np.minimum((volts - shift) / (bend * voc), 60.0))
    return np.asarray(np.maximum(shorted * suns - isc * lost, 0.0))
