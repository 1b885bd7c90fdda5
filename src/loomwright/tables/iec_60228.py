"""Largest DC resistance of copper conductors at 20 °C, by nominal area.

The nominal area is a label; the resistance is the requirement, so drops come out on the safe side.
At 50 mm² class 5 (0.386) lies below class 2 (0.387): so the standard stands.

Sources: IEC 60228 Tables 2 and 3; three public reprints agree in every cell they share. The sizes
below 0.5 mm² stand beside the standard's in one reprint of DIN VDE 0295 and are no part of IEC 60228.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.lookup import listed

CLASS_2_SOURCE = Source(
    work="IEC 60228", place="Table 2, stranded conductors, plain and tinned", checked="published, second hand"
)
CLASS_5_SOURCE = Source(
    work="IEC 60228", place="Table 3, flexible conductors, plain and tinned", checked="published, second hand"
)
SMALL_FLEXIBLE_SOURCE = Source(
    work="DIN VDE 0295", place="flexible conductors below 0.5 mm²", checked="one source"
)

CLASS_2_OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> Ω/km, plain wires
        0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83,
        16.0: 1.15, 25.0: 0.727, 35.0: 0.524, 50.0: 0.387, 70.0: 0.268, 95.0: 0.193, 120.0: 0.153,
    }
)  # fmt: skip
CLASS_2_TINNED_OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> Ω/km
        0.5: 36.7, 0.75: 24.8, 1.0: 18.2, 1.5: 12.2, 2.5: 7.56, 4.0: 4.70, 6.0: 3.11, 10.0: 1.84,
        16.0: 1.16, 25.0: 0.734, 35.0: 0.529, 50.0: 0.391, 70.0: 0.270, 95.0: 0.195, 120.0: 0.154,
    }
)  # fmt: skip
CLASS_5_OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> Ω/km, plain wires
        0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91,
        16.0: 1.21, 25.0: 0.780, 35.0: 0.554, 50.0: 0.386, 70.0: 0.272, 95.0: 0.206, 120.0: 0.161,
    }
)  # fmt: skip
CLASS_5_TINNED_OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> Ω/km
        0.5: 40.1, 0.75: 26.7, 1.0: 20.0, 1.5: 13.7, 2.5: 8.21, 4.0: 5.09, 6.0: 3.39, 10.0: 1.95,
        16.0: 1.24, 25.0: 0.795, 35.0: 0.565, 50.0: 0.393, 70.0: 0.277, 95.0: 0.210, 120.0: 0.164,
    }
)  # fmt: skip
SMALL_FLEXIBLE_OHM_PER_KM: Mapping[float, float] = MappingProxyType({0.22: 96.0, 0.25: 76.0, 0.34: 53.0})
SMALL_FLEXIBLE_TINNED_OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {0.22: 99.0, 0.25: 79.0, 0.34: 56.0}
)


def ohm_per_km(area_mm2: float, table: Mapping[float, float] = CLASS_5_OHM_PER_KM) -> float:
    """Return the largest resistance allowed for a standard size.

    Parameters
    ----------
    area_mm2 : float
        Nominal area; a standard size. [mm²]
    table : Mapping
        One of the tables of this module.

    Returns
    -------
    float
        At 20 °C. [Ω/km]

    Raises
    ------
    OutOfTableError
        `area_mm2` is not a size that the table holds.

    Examples
    --------
    >>> ohm_per_km(6.0)
    3.3

    References
    ----------
    IEC 60228, Tables 2 and 3.
    """
    if area_mm2 not in table:
        raise OutOfTableError(f"no conductor of {area_mm2:g} mm² in IEC 60228; sizes held: {listed(table)}")
    return table[area_mm2]
