"""Hydrogen from lead batteries under charge: the air that thins it out, and the openings that let it through.

Hydrogen burns from 4 % in air on; the formula keeps it below 1 %. The gassing currents are those of usual
charging volts, 2.4 V a cell; equalising at higher volts gives more, and is not counted here.

Source: the formula of EN 62485-2 and EN 50272-3, as two public pages print it.
"""

from __future__ import annotations

from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source

GASSING_SOURCE = Source(
    work="EN 62485-2", place="ventilation of batteries, Q = 0.05 n I C", checked="published, second hand"
)
#: Gassing current per capacity, by chemistry. That of valve-regulated ones is from memory. [mA/Ah]
GASSING_MA_PER_AH = MappingProxyType({"flooded": 20.0, "efb": 20.0, "agm": 8.0, "gel": 8.0})
#: Air in m³/h per cell and ampere of gassing current.
_AIR_PER_CELL_A = 0.05
#: Free opening for each m³/h, at the inlet and again at the outlet. [cm²]
_CM2_PER_M3_H = 28.0
_CELL_V = 2.0


def air_m3_h(chemistry: str, capacity_ah: float, nominal_v: float = 12.0) -> float:
    """Return the air that a lead battery needs under charge.

    Parameters
    ----------
    chemistry : str
        flooded, efb, agm or gel.
    capacity_ah : float
        At the 20 h rate. [Ah]
    nominal_v : float
        Of the battery. [V]

    Returns
    -------
    float
        [m³/h]

    Raises
    ------
    OutOfTableError
        A chemistry that gives no gas.

    Examples
    --------
    >>> round(air_m3_h("flooded", 100.0), 2), round(air_m3_h("agm", 100.0), 2)
    (0.6, 0.24)
    """
    if chemistry not in GASSING_MA_PER_AH:
        raise OutOfTableError(f'no gassing current of "{chemistry}"; held: {", ".join(GASSING_MA_PER_AH)}')
    return _AIR_PER_CELL_A * nominal_v / _CELL_V * GASSING_MA_PER_AH[chemistry] * capacity_ah / 1000.0


def opening_cm2(air: float) -> float:
    """Return the free opening at the inlet, and again at the outlet, that lets so much air through. [cm²]

    Parameters
    ----------
    air : float
        [m³/h]

    Examples
    --------
    >>> round(opening_cm2(0.6), 1)
    16.8
    """
    return _CM2_PER_M3_H * air
