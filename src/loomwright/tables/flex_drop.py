"""Volts lost per ampere and metre in two-core cables, line and neutral together, as their tables print it.

Hot, at the temperature of the name, and rounded up by the tables themselves. Beside them what such cables
carry.

Sources: BS 7671 Appendix 4 by a distributor's and a cable maker's reprint; NEC Table 400.5(A) as an
appliance standard quotes it. The ratings of Table 4F3A are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.source import Checked, Source


@dataclass(frozen=True, slots=True, kw_only=True)
class DropTable:
    """One table.

    Attributes
    ----------
    says : str
        Which cable, in words.
    max_c : float
        Temperature of the conductor. [°C]
    mv_per_a_m : Mapping
        By area in mm². [mV/A/m]
    source : Source
        Which table.
    """

    says: str
    max_c: float
    mv_per_a_m: Mapping[float, float]
    source: Source


def _table(place: str, checked: Checked, says: str, max_c: float, rows: dict[float, float]) -> DropTable:
    source = Source(work="BS 7671", place=place, checked=checked)
    return DropTable(says=says, max_c=max_c, mv_per_a_m=MappingProxyType(rows), source=source)


#: The note of Table 4F3B for cord of 90 °C.
HOT_CORD_FACTOR = 1.09
TABLES: Mapping[str, DropTable] = MappingProxyType(
    {
        "flex_60": _table(
            "Table 4F3B", "one source", "flexible cord, 60 °C", 60.0,
            {0.5: 93, 0.75: 62, 1.0: 46, 1.25: 37, 1.5: 32, 2.5: 19, 4.0: 12},
        ),
        "rubber_60": _table(
            "Table 4F1B", "published, second hand", "rubber flexible cable, 60 °C", 60.0,
            {4.0: 12, 6.0: 7.8, 10.0: 4.6, 16.0: 2.9},
        ),
        "rubber_90": _table(
            "Table 4F2B", "published, second hand", "rubber flexible cable, 90 °C", 90.0,
            {4.0: 13.2, 6.0: 8.5, 10.0: 5.1, 16.0: 3.2},
        ),
        "thermosetting_90": _table(
            "Table 4E4B", "one source", "multicore thermosetting cable, 90 °C", 90.0,
            {1.5: 31, 2.5: 19, 4.0: 12, 6.0: 7.9},
        ),
        "pvc_70": _table(
            "Table 4D1B, 18 of 2.5 mm² by a lesson", "from memory", "PVC cable, 70 °C", 70.0,
            {1.5: 29, 2.5: 18, 4.0: 11, 6.0: 7.3},
        ),
    }
)  # fmt: skip

CORD_RATING_SOURCE = Source(work="BS 7671", place="Table 4F3A, single phase", checked="from memory")
#: Flexible cord, 60 °C insulation. mm² -> A
CORD_A: Mapping[float, float] = MappingProxyType(
    {0.5: 3.0, 0.75: 6.0, 1.0: 10.0, 1.25: 13.0, 1.5: 16.0, 2.5: 25.0, 4.0: 32.0}
)
RUBBER_RATING_SOURCE = Source(work="BS 7671", place="Tables 4F1A and 4F2A, two cores", checked="one source")
#: Rubber flexible cable of 60 °C and of 90 °C. mm² -> A
RUBBER_60_A: Mapping[float, float] = MappingProxyType({4.0: 30.0, 6.0: 39.0, 10.0: 51.0, 16.0: 73.0})
RUBBER_90_A: Mapping[float, float] = MappingProxyType({4.0: 42.0, 6.0: 55.0, 10.0: 76.0, 16.0: 103.0})


def cord_rating(area_mm2: float) -> tuple[float, Source] | None:
    """Return what a flexible mains cable carries in free air at 30 °C, two loaded cores.

    Parameters
    ----------
    area_mm2 : float
        Of each core; between two sizes that of the smaller counts. [mm²]

    Returns
    -------
    (float, Source) or None
        [A]; None below the smallest size held.

    Examples
    --------
    >>> cord_rating(1.5)[0]
    16.0

    References
    ----------
    BS 7671, Tables 4F3A and, above 4 mm², 4F1A.
    """
    small = [size for size in CORD_A if size <= area_mm2 * _DUST]
    large = [size for size in RUBBER_60_A if max(CORD_A) < size <= area_mm2 * _DUST]
    if large:
        return RUBBER_60_A[large[-1]], RUBBER_RATING_SOURCE
    return (CORD_A[small[-1]], CORD_RATING_SOURCE) if small else None


_DUST = 1.0 + 1e-9
AWG_CORD_SOURCE = Source(
    work="NEC", place="Table 400.5(A), two loaded, as quoted elsewhere", checked="one source"
)
#: North American flexible cord. AWG -> A
AWG_CORD_A: Mapping[int, float] = MappingProxyType({18: 10.0, 17: 12.0, 16: 13.0, 14: 18.0, 12: 25.0})

WOUND_SOURCE = Source(
    work="common practice",
    place="markings of one cable drum: 500 W wound, 2300 W unwound",
    checked="one source",
)
#: What a lead carries on its drum, over what it carries laid out; for a caution, not for sizing.
WOUND_SHARE = 500.0 / 2300.0
