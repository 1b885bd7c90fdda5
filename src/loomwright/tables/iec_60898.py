"""Miniature circuit breakers: what their standard lets them take, as multiples of the rating.

Sources: IEC 60898-1, Table of time-current limits, by a handbook and threads (bands of the magnetic
release, 1.45 times); the rest from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

INSTANT_SOURCE = Source(
    work="IEC 60898-1", place="ranges of instantaneous tripping", checked="published, second hand"
)
TRIPS_SOURCE = Source(work="IEC 60898-1", place="conventional tripping current, 1.45", checked="one source")
HOLDS_SOURCE = Source(
    work="IEC 60898-1", place="time-current limits at 1.13 and 2.55 times the rating", checked="from memory"
)

#: Curve -> multiples of the rating between which the magnetic release begins to act.
INSTANT: Mapping[str, Band] = MappingProxyType(
    {
        "B": Band(3.0, 5.0),
        "C": Band(5.0, 10.0),
        "D": Band(10.0, 20.0),
        "unknown": Band(3.0, 20.0),  # any of them
    }
)
#: Longest time once the magnetic release has to act; shortest before it may. [s]
INSTANT_S = 0.1
#: Held for an hour; opened within an hour (up to 63 A). [-]
HOLDS, TRIPS = 1.13, 1.45
HOUR_S = 3600.0
#: Third gate: so many times the rating opens within 1 s to 60 s, above 32 A within 120 s.
THIRD = 2.55
THIRD_AT_LEAST_S, THIRD_AT_MOST_S, THIRD_LARGE_AT_MOST_S = 1.0, 60.0, 120.0
LARGE_A = 32.0
