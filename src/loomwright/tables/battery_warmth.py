"""What it takes to warm a lithium battery, and how slowly it follows the air about it."""

from __future__ import annotations

from loomwright.source import Source

HEAT_SOURCE = Source(
    work="common practice",
    place="specific heat of lithium iron phosphate cells, 0.9 to 1.1 kJ/kg/°C",
    checked="from memory",
)
#: What warms a kilogram by one degree: 1 kJ. [Wh/kg/°C]
HEAT_WH_PER_KG_C = 1.0 / 3.6
LAG_SOURCE = Source(
    work="common practice",
    place="a boxed battery follows the air with 6 to 12 hours; a shelter is open, a mass slow",
    checked="common practice",
)
#: Time constant where the plan's place names none; the quick end, the pad has more to do. [h]
USUAL_LAG_H = 6.0
#: A pad warms so much above the least temperature of charging. (common practice) [°C]
WANTED_ABOVE_C = 3.0

__all__ = ["HEAT_SOURCE", "HEAT_WH_PER_KG_C", "LAG_SOURCE", "USUAL_LAG_H", "WANTED_ABOVE_C"]
