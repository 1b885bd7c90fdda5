"""What a thermostat leaves on: the share of the day that a compressor fridge runs, by the air about it.

For a compressor fridge of 40 to 60 l at 4 to 5 °C with fair ventilation; the curve is steeper than a straight
line, since warm air both warms the box and hinders the condenser. A large fridge with a freezer runs longer.

Source: common practice, with the shape of published measurements of household fridges (Applied Energy 211
(2018) 346-357, abstract).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

DUTY_SOURCE = Source(
    work="common practice", place="running share of a compressor fridge by ambient", checked="common practice"
)

_FRIDGE = ((10.0, 0.15), (15.0, 0.22), (20.0, 0.30), (25.0, 0.40), (30.0, 0.52), (35.0, 0.66), (40.0, 0.80))
#: Air about it, and the share of the time that it runs. [°C, 1]
DUTY_BY_C: Mapping[str, tuple[tuple[float, float], ...]] = MappingProxyType(
    {"fridge": _FRIDGE, "cool_box": _FRIDGE}
)

BOX_SOURCE = Source(
    work="common practice",
    place="a closed, filled compressor fridge of 40 to 60 l warms with 12 to 24 hours; kept at 5 °C",
    checked="from memory",
)
#: Time constant of what is in it, when it is off. [h]
BOX_LAG_H = 18.0
#: What it is kept at. [°C]
FRIDGE_C = 5.0
