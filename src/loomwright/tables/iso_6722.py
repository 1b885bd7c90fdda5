"""Road-vehicle cable: largest resistance at 20 °C and outside diameters, plain copper.

The limits are 4 to 6 % below IEC 60228 class 5 for the same label. A reel that does not say which standard
it follows counts with class 5. Some sellers label such cable by its outside diameter: "6 mm" is not 6 mm².

Sources: ISO 6722-1:2011 (now ISO 19642-3), from memory; thin-wall diameters of 0.75 to 10 mm² agree with
one trade sheet. Where a sheet printed a larger diameter, the larger one stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.lookup import listed

RESISTANCE_SOURCE = Source(work="ISO 6722-1:2011", place="resistance by size", checked="from memory")
THIN_WALL_SOURCE = Source(
    work="ISO 6722-1:2011", place="thin wall, largest outside diameter, 0.75 to 10 mm²", checked="one source"
)
DIAMETER_SOURCE = Source(
    work="ISO 6722-1:2011", place="thin and thick wall, largest outside diameter", checked="from memory"
)

OHM_PER_KM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> Ω/km
        0.22: 84.8, 0.35: 54.4, 0.5: 37.1, 0.75: 24.7, 1.0: 18.5, 1.5: 12.7, 2.0: 9.42, 2.5: 7.60,
        3.0: 6.15, 4.0: 4.71, 5.0: 3.94, 6.0: 3.14, 8.0: 2.38, 10.0: 1.82, 12.0: 1.52, 16.0: 1.16,
        20.0: 0.955, 25.0: 0.743, 35.0: 0.527, 50.0: 0.368, 70.0: 0.259, 95.0: 0.196, 120.0: 0.153,
    }
)  # fmt: skip
THIN_WALL_MM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> mm
        0.22: 1.2, 0.35: 1.4, 0.5: 1.7, 0.75: 1.9, 1.0: 2.1, 1.5: 2.4, 2.0: 2.8, 2.5: 3.0, 3.0: 3.4,
        4.0: 3.7, 5.0: 4.2, 6.0: 4.3, 8.0: 5.0, 10.0: 6.0, 12.0: 6.5, 16.0: 7.2, 20.0: 7.8, 25.0: 8.7,
    }
)  # fmt: skip
THICK_WALL_MM: Mapping[float, float] = MappingProxyType(
    {  # mm² -> mm
        0.5: 2.3, 0.75: 2.5, 1.0: 2.7, 1.5: 3.0, 2.0: 3.3, 2.5: 3.6, 3.0: 4.1, 4.0: 4.4, 5.0: 4.9, 6.0: 5.0,
        8.0: 5.9, 10.0: 6.5, 12.0: 7.4, 16.0: 8.3, 20.0: 9.1, 25.0: 10.4, 35.0: 11.6, 50.0: 13.5,
        70.0: 15.5, 95.0: 18.0, 120.0: 19.7,
    }
)  # fmt: skip


def outside_diameter_mm(area_mm2: float) -> float:
    """Return the room that one cable takes: the thick wall, the next larger size between two rows.

    Parameters
    ----------
    area_mm2 : float
        Nominal area. [mm²]

    Returns
    -------
    float
        Largest outside diameter; below 0.5 mm² that of the thin wall. [mm]

    Raises
    ------
    OutOfTableError
        Larger than the last row.

    Examples
    --------
    >>> outside_diameter_mm(2.5), outside_diameter_mm(5.26)
    (3.6, 5.0)

    References
    ----------
    ISO 6722-1:2011, from memory.
    """
    rows = {**THIN_WALL_MM, **THICK_WALL_MM}
    fitting = [size for size in rows if size >= area_mm2]
    if not fitting:
        raise OutOfTableError(f"no cable of {area_mm2:g} mm² in ISO 6722; sizes held: {listed(sorted(rows))}")
    return rows[min(fitting)]
