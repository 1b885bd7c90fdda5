"""Residual current devices: how soon they open, by how many times their rated residual current flows.

Sources: IEC 61008-1 and IEC 61009-1 by an article and two testers' manuals; half the rated current never
opens one. UL 943 for the North American class A, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from loomwright.source import Source

TIMES_SOURCE = Source(
    work="IEC 61008-1", place="limits of break time and non-actuating time", checked="published, second hand"
)
CLASS_A_SOURCE = Source(work="UL 943", place="class A, longest time (20/I)^1.43", checked="from memory")


class Time(NamedTuple):
    """At so many times the rated residual current: shortest and longest time. [s]"""

    multiple: float
    at_least_s: float
    at_most_s: float


#: Kind -> times, rising in multiples.
TIMES: Mapping[str, tuple[Time, ...]] = MappingProxyType(
    {
        "general": (Time(1.0, 0.0, 0.300), Time(2.0, 0.0, 0.150), Time(5.0, 0.0, 0.040)),
        "selective": (Time(1.0, 0.130, 0.500), Time(2.0, 0.050, 0.200), Time(5.0, 0.050, 0.150)),
    }
)
#: Up to this share of its rated current a device stays closed.
STAYS_CLOSED = 0.5
#: Class A: it stays closed up to 4 mA and opens from 6 mA; its time falls with the current. [A, s]
CLASS_A_STAYS_CLOSED_A = 0.004
CLASS_A_TRIPS_A = 0.006
CLASS_A_AMPS, CLASS_A_POWER = 0.020, 1.43
#: Above this the formula is no longer asked for; the time at this current counts. [A, s]
CLASS_A_FORMULA_UP_TO_A = 0.264
