"""Earth points on the body: which cable's ring belongs on which stud, how much a shared one may carry.

Rings are made for pairs of cable and stud; a large cable's barrel does not fit a small stud's hole.

Sources: workshop tables of ring terminals, from memory; the rest common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

RING_SOURCE = Source(
    work="common practice", place="usual pairs of ring terminal and stud", checked="from memory"
)
#: Largest cable whose rings are usual for a stud, by its thread in millimetres. [mm²]
LARGEST_CABLE_MM2: Mapping[int, float] = MappingProxyType({4: 2.5, 5: 6.0, 6: 25.0, 8: 70.0, 10: 70.0})
#: To tighten a steel stud of class 8.8 by its thread; the maker's figure goes before it. [N·m]
TORQUE_NM: Mapping[str, float] = MappingProxyType({"M5": 5.0, "M6": 9.0, "M8": 20.0, "M10": 40.0})
TORQUE_SOURCE = Source(
    work="common practice", place="torque of steel studs of class 8.8", checked="from memory"
)
#: A return that carries more, running or in its start, has no sensor beside it on its stud. [A]
HEAVY_A = 10.0
HEAVY_SOURCE = Source(
    work="common practice", place="senders keep off the earths of heavy loads", checked="common practice"
)
BARE_SOURCE = Source(
    work="FAA AC 43.13-1B",
    place="bonding surfaces: bare metal, finished again afterwards",
    checked="published, second hand",
)
#: Bolts of the vehicle that hold something else, in words.
FORBIDDEN_BOLTS: Mapping[str, str] = MappingProxyType(
    {
        "seat": "a seat",
        "seat_belt": "a seat belt",
        "airbag": "an airbag",
        "fuel": "the fuel system",
        "brake": "the brakes",
        "door": "a door",
    }
)
BOLT_SOURCE = Source(
    work="common practice",
    place="no earth on bolts of seats, belts, airbags, fuel, brakes or doors",
    checked="common practice",
)
