"""At what hours of the day things are used, where a plan says only how long.

Common practice; a clock span in the plan (`18:00..22:00`) is better.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

SHAPE_SOURCE = Source(
    work="common practice", place="hours of use in a van, by kind of appliance", checked="common practice"
)

_EVENING, _LATE, _WATER = range(18, 23), range(20, 24), (7, 8, 18, 19, 20)
_HEATING = (*range(18, 24), *range(5, 8))
#: By kind of part: the hours that share its use alike; all 24 for what is not listed.
HOURS_OF: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        "lamp": tuple(_EVENING),
        "strip": tuple(_EVENING),
        "tv": tuple(_LATE),
        "usb": tuple(_LATE),
        "water_pump": _WATER,
        "air_heater": _HEATING,
        "combi_heater": _HEATING,
        "appliance": (8, 13, 18),
    }
)
#: A drive without a clock starts then; a hook-up is on from evening to morning. [h]
DRIVE_AT = 10
HOOKED_UP = (*range(17, 24), *range(0, 9))
#: "mostly" on a hook-up is so many nights a week.
MOSTLY = 5.0
#: What is on for so long a day goes on through the night. [h]
ALL_DAY_H = 16.0
