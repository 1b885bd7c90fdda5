"""What a conductor survives in a short circuit: k²S² = I²t, no heat lost to the air.

Good for 0.1 to 5 s. Beyond 5 s the cable survives longer than this says, so it errs on the safe side; below
0.1 s compare the maker's let-through I²t instead.

Sources: IEC 60364-4-43 / BS 7671 regulation 434.5.2; k from the constants of IEC 60287-1-1 and IEC 60949.
"""

from __future__ import annotations

import math

from loomwright.source import Source
from loomwright.tables.copper import BETA_C, HEAT_CAPACITY_J_PER_K_MM3, RESISTIVITY_OHM_MM2_PER_M

ADIABATIC_SOURCE = Source(
    work="IEC 60364-4-43 / BS 7671", place="434.5.2, I²t = k²S²", checked="published, second hand"
)


def adiabatic_k(initial_c: float, final_c: float) -> float:
    """Return k of copper between two temperatures.

    Parameters
    ----------
    initial_c : float
        Conductor when the short begins. [°C]
    final_c : float
        What its insulation stands for up to 5 s. [°C]

    Returns
    -------
    float
        [A·√s/mm²]

    Raises
    ------
    ValueError
        `final_c` is not above `initial_c`.

    Examples
    --------
    >>> round(adiabatic_k(70.0, 160.0)), round(adiabatic_k(90.0, 250.0))
    (115, 143)

    References
    ----------
    IEC 60949; IEC 60364-5-54, annex A.
    """
    if final_c <= initial_c:
        raise ValueError(f"a short circuit heats: from {initial_c:g} °C it can't end at {final_c:g} °C")
    resistivity = RESISTIVITY_OHM_MM2_PER_M / 1000.0  # [Ω·mm]
    heat = HEAT_CAPACITY_J_PER_K_MM3 * (BETA_C + 20.0) / resistivity
    return math.sqrt(heat * math.log(1.0 + (final_c - initial_c) / (BETA_C + initial_c)))


def survives_s(area_mm2: float, current_a: float, initial_c: float, final_c: float) -> float:
    """Return how long a conductor stands a short-circuit current.

    Parameters
    ----------
    area_mm2 : float
        Nominal area. [mm²]
    current_a : float
        [A]
    initial_c, final_c : float
        As for `adiabatic_k`. [°C]

    Returns
    -------
    float
        [s]

    Raises
    ------
    ValueError
        `final_c` is not above `initial_c`.

    Examples
    --------
    >>> round(survives_s(1.0, 100.0, 70.0, 160.0), 2)
    1.32

    References
    ----------
    BS 7671, regulation 434.5.2.
    """
    return (adiabatic_k(initial_c, final_c) * area_mm2 / current_a) ** 2


def adiabatic_area(current_a: float, time_s: float, k: float) -> float:
    """Return the smallest area that stands a short-circuit current for a time.

    Parameters
    ----------
    current_a : float
        [A]
    time_s : float
        Until the fuse has opened. [s]
    k : float
        As of `adiabatic_k`. [A·√s/mm²]

    Returns
    -------
    float
        [mm²]

    Examples
    --------
    >>> round(adiabatic_area(200.0, 0.4, 115.0), 2)
    1.1

    References
    ----------
    BS 7671, regulation 434.5.2.
    """
    return math.sqrt(current_a**2 * time_s) / k
