"""How long a piece of work takes, how much of small things is bought: where a plan does not say.

Common practice of a careful one-man workshop; a plan's own `times` go before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

TIMES_SOURCE = Source(
    work="common practice", place="time for one piece of work in a van", checked="common practice"
)
SPARES_SOURCE = Source(
    work="common practice", place="a tenth of the terminals, some fuses to spare", checked="common practice"
)
#: For one of each. [s]
TIMES_S: Mapping[str, float] = MappingProxyType(
    {
        "wire_end": 240.0,
        "stud": 1200.0,
        "gland": 1800.0,
        "inlet": 5400.0,
        "lamp": 1200.0,
        "commissioning": 14400.0,
    }
)
#: Terminals to spare.
SPARE_TERMINALS = 0.10
#: Fuses to spare, of each rating: so many of those in boxes, and of large ones.
SPARE_FUSES, SPARE_LARGE_FUSES = 2, 1
#: A piece of heat-shrink over one terminal. [m]
SHRINK_M = 0.05
#: Tube over a loom: more than its length, for bends and ends.
TUBE_RESERVE = 0.10
