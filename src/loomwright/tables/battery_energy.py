"""Batteries by chemistry as tanks of ampere-hours: what may be used, what comes back, cold, rest, age.

The figures are for planning; a battery maker's sheet is better than any of them. A tank is counted at the
rate of a day's use: what a large current takes more is in `battery_states` (Peukert).

Sources: usable share and efficiency are common practice beside makers' published tables; capacity in the
cold spans two makers' tables for lithium and handbook lore for lead; self-discharge is a handbook range.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.batteries import CHEMISTRIES
from loomwright.tables.lookup import between
from loomwright.units import Band

USABLE_SOURCE = Source(
    work="common practice",
    place="share of a battery's capacity that is planned with",
    checked="common practice",
)
EFFICIENCY_SOURCE = Source(
    work="common practice", place="ampere-hours out for each one in, by chemistry", checked="from memory"
)
COLD_SOURCE = Source(
    work="common practice",
    place="capacity by temperature, between two makers' tables for lithium",
    checked="published, second hand",
)
REST_SOURCE = Source(
    work="common practice", place="self-discharge by chemistry, per month at 20 °C", checked="common practice"
)
DRAIN_SOURCE = Source(
    work="common practice",
    place="what a parked vehicle's electronics take; half a charge starts an engine",
    checked="common practice",
)
CYCLES_SOURCE = Source(
    work="common practice",
    place="cycles to four fifths of the capacity, two points of makers' curves by chemistry",
    checked="one source",
)

MADE_SOURCE = Source(
    work="common practice", place="capacities in which batteries are sold", checked="from memory"
)
#: Batteries are made of so many ampere-hours. [Ah]
MADE_AH = (
    60, 75, 80, 95, 100, 110, 120, 130, 150, 180, 200, 220, 230, 240, 280, 300, 320, 400, 460, 560, 600,
)  # fmt: skip

_LEAD = ("flooded", "efb", "agm", "gel")


def _by(lead: Band, lifepo4: Band, unknown: Band) -> Mapping[str, Band]:
    return MappingProxyType({**dict.fromkeys(_LEAD, lead), "lifepo4": lifepo4, "unknown": unknown})


#: Share of the capacity that may be used. [1]
USABLE: Mapping[str, Band] = _by(Band(0.5, 0.5), Band(0.8, 0.9), Band(0.5, 0.8))
#: Ampere-hours that come out again for each that went in, over a day's cycle. [1]
EFFICIENCY: Mapping[str, Band] = _by(Band(0.90, 0.95), Band(0.99, 0.99), Band(0.90, 0.99))
#: What a parked vehicle's own electronics take. [A]
USUAL_DRAIN_A = Band(0.02, 0.075)
#: Below this share of its charge a starter battery may not start the engine.
STARTS_ABOVE = 0.5
#: What was cut comes back this much above the floor (common practice). [share of the capacity]
BACK_SHARE = 0.05
#: Of the life by plain counting of cycles, what is counted on: it came out too long wherever it was
#: measured (Applied Sciences 11(3):1099, 2021); how much too long is from memory.
COUNTED_ON = 0.5
#: Ampere-hours lost at rest, of the capacity, each month. [1]
SELF_DISCHARGE: Mapping[str, Band] = MappingProxyType(
    {
        "flooded": Band(0.03, 0.08),
        "efb": Band(0.03, 0.05),
        "agm": Band(0.02, 0.04),
        "gel": Band(0.02, 0.03),
        "lifepo4": Band(0.02, 0.03),
        "unknown": Band(0.02, 0.08),
    }
)

#: Cycles to four fifths of the capacity are a · depth^-b, the depth as a share: a, b. [1]
CYCLES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "flooded": (127.0, 2.56),
        "efb": (127.0, 2.56),
        "agm": (360.0, 1.47),
        "gel": (360.0, 1.47),
        "lifepo4": (1800.0, 1.47),
        "unknown": (127.0, 2.56),
    }
)

_LEAD_COLD = ((-30.0, 0.50), (-20.0, 0.62), (0.0, 0.82), (20.0, 1.0))
#: Temperature, and what is left of the capacity. [°C, 1]
CAPACITY_BY_C: Mapping[str, tuple[tuple[float, float], ...]] = MappingProxyType(
    {**dict.fromkeys((*_LEAD, "unknown"), _LEAD_COLD), "lifepo4": ((-20.0, 0.60), (0.0, 0.80), (25.0, 1.0))}
)


def capacity_share(chemistry: str, temperature_c: float) -> float:
    """Return what is left of a battery's capacity where it is cold; it gains nothing where it is warm.

    Parameters
    ----------
    chemistry : str
        One of those of `batteries`, or "unknown".
    temperature_c : float
        Of the cells; beyond the table its end holds. [°C]

    Returns
    -------
    float
        Between 0 and 1.

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> round(capacity_share("lifepo4", -10.0), 3)
    0.7
    """
    points = CAPACITY_BY_C.get(chemistry)
    if points is None:
        raise OutOfTableError(f"no chemistry {chemistry!r}; held: {', '.join(CHEMISTRIES)}, unknown")
    return between(points, temperature_c)


def cycles(chemistry: str, depth: float) -> float:
    """Return how many cycles of a depth a battery makes until four fifths of its capacity are left.

    Plain counting of cycles comes out too long in every case that was measured; take it as the upper end.

    Parameters
    ----------
    chemistry : str
        One of those of `batteries`, or "unknown".
    depth : float
        Of each cycle, a share of the capacity above 0.

    Examples
    --------
    >>> round(cycles("agm", 0.5)), round(cycles("lifepo4", 0.8))
    (997, 2499)
    """
    a, b = CYCLES[chemistry]
    return float(a * depth**-b)


__all__ = ["capacity_share", "cycles"]
