"""Factors on a cable's current: warm air around it, other loaded cables against it.

The grouping figures are those of IEC 60364-5-52, which BS 7671 Table 4C1 and DIN VDE 0298-4 share:
bunched in air, on a surface, embedded or enclosed; equal cables, equally loaded.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.lookup import row_at_or_above

#: Air temperature of all current tables held here. [°C]
TABLE_AMBIENT_C = 30.0
#: No table gives credit for air colder than its first row. [°C]
COLDEST_ROW_C = 10.0

AMBIENT_SOURCE = Source(
    work="IEC 60364-5-52",
    place="Table B.52.14, all cells follow sqrt((Tmax - Ta)/(Tmax - 30))",
    checked="published, second hand",
)
GROUPING_SOURCE = Source(
    work="IEC 60364-5-52 / BS 7671 Table 4C1",
    place="bunched in air, on a surface, embedded or enclosed",
    checked="published, second hand",
)
GROUPING: Mapping[int, float] = MappingProxyType(
    {
        1: 1.00, 2: 0.80, 3: 0.70, 4: 0.65, 5: 0.60, 6: 0.57, 7: 0.54, 8: 0.52, 9: 0.50, 12: 0.45,
        16: 0.41, 20: 0.38,
    }
)  # fmt: skip
_LAST_COUNT = 20


def ambient_factor(ambient_c: float, max_c: float) -> float:
    """Return what warm air leaves of a current given for 30 °C.

    Parameters
    ----------
    ambient_c : float
        Air around the wire; below 10 °C counts as 10 °C. [°C]
    max_c : float
        Largest lasting temperature of the conductor. [°C]

    Returns
    -------
    float
        sqrt((Tmax - Ta)/(Tmax - 30)); 0 where the air is as hot as the wire may be.

    Raises
    ------
    OutOfTableError
        `max_c` is not above the 30 °C of the tables.

    Examples
    --------
    >>> round(ambient_factor(40.0, 70.0), 2)
    0.87

    References
    ----------
    IEC 60364-5-52, Table B.52.14.
    """
    if max_c <= TABLE_AMBIENT_C:
        raise OutOfTableError(f"insulation for {max_c:g} °C carries nothing at the tables' 30 °C")
    headroom_k = max_c - max(ambient_c, COLDEST_ROW_C)
    return math.sqrt(max(headroom_k, 0.0) / (max_c - TABLE_AMBIENT_C))


def grouping_factor(count: int) -> float:
    """Return what a bunch leaves of each cable's current.

    Parameters
    ----------
    count : int
        How many lie together; between the rows the next larger one counts.

    Returns
    -------
    float
        Above 20 the last row falls on with 1/sqrt(count), as the rule for mixed sizes does.

    Examples
    --------
    >>> grouping_factor(7), grouping_factor(10), round(grouping_factor(40), 3)
    (0.54, 0.45, 0.269)

    References
    ----------
    BS 7671, Table 4C1; note for mixed sizes, F = 1/sqrt(n).
    """
    row = row_at_or_above(GROUPING, max(count, 1))
    if row is None:
        return GROUPING[_LAST_COUNT] * math.sqrt(_LAST_COUNT / count)
    return GROUPING[row]
