"""Solar panels on a van's roof: what comes from a panel's rated watts to its battery, over a day.

Peak sun hours are those of the panel's own plane: an hour of 1000 W/m². What is lost between the rated watts
and the battery: dirt, mismatch, wiring, the name plate (together 8.7 % for a flat roof panel), the angle of
the light, the heat of the cells, the regulator. A regulator that holds the panel at its battery's volts
(PWM) gives the battery the panel's current, and loses the rest.

Sources: the list of losses is that of the PVWatts model (NREL), with a flat roof's own figures; the rest is
common practice. Measured pairs of yield and volts are better; a plan may state them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

YIELD_SOURCE = Source(
    work="common practice",
    place="day's yield of a flat roof panel, by kind of regulator",
    checked="common practice",
)
RAINY_SOURCE = Source(
    work="common practice", place="sun of a rainy day, share of the month's mean", checked="common practice"
)

#: From a panel's rated watts to its battery, over a day; `None`: a panel without a regulator.
DAY_YIELD: Mapping[str | None, Band] = MappingProxyType(
    {"mppt": Band(0.72, 0.82), "pwm": Band(0.58, 0.68), None: Band(0.55, 0.65)}
)
HELD_SOURCE = Source(
    work="NREL/TP-6A20-62641",
    place="list of losses, for a flat roof, and 5 to 10 % for light at a slant",
    checked="common practice",
)
#: Of the current that a panel gives held at its battery's volts, over a day: losses of the label and of a
#: roof (8.7 %), the angle of the light, more dirt at the low end. The heat of the cells is in the current.
DAY_HELD = Band(0.80, 0.87)
#: Cells of a roof panel while it gives most of its day. (common practice) [°C]
DAY_CELL_C = 45.0
#: Lost between panel and battery in cables and the regulator's switch, per 12 V. (common practice) [V]
HELD_LOST_V = 0.4
#: Volts of a battery that the sun charges, lead and lithium, per 12 V. [V]
SUNNY_V: Mapping[str, float] = MappingProxyType({"lead": 13.2, "lifepo4": 13.3})
#: Sun of a rainy day, and of a good one, as a share of the month's mean.
RAINY_SHARE, GOOD_SHARE = 0.25, 1.3
