"""American Wire Gauge: diameters, areas, resistances.

Gauges are whole numbers; 1/0, 2/0, 3/0 and 4/0 are 0, -1, -2 and -3. A stranded conductor is longer
than its solid twin by the lay of its strands: 2 % more resistance, which the stranded column of NEC
chapter 9 Table 8 agrees with to 0.6 %. Automotive (SAE) gauge is up to 11 % thinner than AWG; weigh or
measure a reel that does not say which it is.

Sources: ASTM B258, rule of the geometric series; NEC chapter 9 Table 8.
"""

from __future__ import annotations

import math

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.copper import RESISTIVITY_OHM_MM2_PER_M
from loomwright.tables.lookup import LABEL_TOLERANCE

AWG_SOURCE = Source(
    work="ASTM B258", place="diameter 0.127 mm · 92^((36 - n)/39)", checked="published, second hand"
)
STRANDED_SOURCE = Source(
    work="NEC", place="chapter 9 Table 8, stranded against solid: 2 % more", checked="published, second hand"
)
#: Lay of the strands.
STRANDED_FACTOR = 1.02
#: Gauges in use in vehicles, thinnest first.
GAUGES = (20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3)


def diameter_mm(gauge: int) -> float:
    """Return the diameter of a solid wire of this gauge.

    Parameters
    ----------
    gauge : int
        AWG number; 0, -1, -2, -3 for 1/0 to 4/0.

    Returns
    -------
    float
        [mm]

    Examples
    --------
    >>> round(diameter_mm(10), 3)
    2.588

    References
    ----------
    ASTM B258.
    """
    return 0.127 * math.pow(92.0, (36 - gauge) / 39.0)


def area_mm2(gauge: int) -> float:
    """Return the area of copper of this gauge.

    Parameters
    ----------
    gauge : int
        AWG number; 0, -1, -2, -3 for 1/0 to 4/0.

    Returns
    -------
    float
        [mm²]

    Examples
    --------
    >>> round(area_mm2(12), 3)
    3.309

    References
    ----------
    ASTM B258.
    """
    return math.pi / 4.0 * diameter_mm(gauge) ** 2


def ohm_per_km(copper_mm2: float, *, stranded: bool = True) -> float:
    """Return the resistance of an American conductor of this area of copper at 20 °C.

    Parameters
    ----------
    copper_mm2 : float
        Area of copper. [mm²]
    stranded : bool
        With the lay of the strands in it.

    Returns
    -------
    float
        At 20 °C. [Ω/km]

    Examples
    --------
    >>> round(ohm_per_km(area_mm2(12), stranded=False), 3)
    5.211

    References
    ----------
    IEC 60028, resistivity; NEC chapter 9 Table 8, stranded against solid.
    """
    solid = 1000.0 * RESISTIVITY_OHM_MM2_PER_M / copper_mm2
    return solid * STRANDED_FACTOR if stranded else solid


def largest_within(copper_mm2: float) -> int:
    """Return the thickest gauge that has no more copper than `copper_mm2`: for reading a capacity.

    Parameters
    ----------
    copper_mm2 : float
        Area of copper; a label rounded by up to 0.5 % still counts. [mm²]

    Returns
    -------
    int
        AWG number.

    Raises
    ------
    OutOfTableError
        Less copper than AWG 20.

    Examples
    --------
    >>> largest_within(2.5)
    14

    References
    ----------
    ASTM B258.
    """
    for gauge in reversed(GAUGES):
        if area_mm2(gauge) <= copper_mm2 * (1.0 + LABEL_TOLERANCE):
            return gauge
    raise OutOfTableError(f"{copper_mm2:g} mm² is less copper than AWG {GAUGES[0]}")


def smallest_holding(copper_mm2: float) -> int:
    """Return the thinnest gauge that has at least this much copper: for choosing a wire.

    Parameters
    ----------
    copper_mm2 : float
        Area of copper needed. [mm²]

    Returns
    -------
    int
        AWG number.

    Raises
    ------
    OutOfTableError
        More copper than AWG 4/0.

    Examples
    --------
    >>> label(smallest_holding(60.0))
    'AWG 2/0'

    References
    ----------
    ASTM B258.
    """
    for gauge in GAUGES:
        if area_mm2(gauge) >= copper_mm2:
            return gauge
    raise OutOfTableError(f"{copper_mm2:g} mm² is more copper than AWG 4/0")


def label(gauge: int) -> str:
    """Return the gauge as it is written on a reel.

    Parameters
    ----------
    gauge : int
        AWG number; 0, -1, -2, -3 for 1/0 to 4/0.

    Returns
    -------
    str
        "AWG 12", "AWG 2/0".

    Examples
    --------
    >>> label(-3)
    'AWG 4/0'
    """
    return f"AWG {gauge}" if gauge > 0 else f"AWG {1 - gauge}/0"
