"""Thermal circuit breakers of vehicles, reset by hand (type 3).

A type 1 breaker goes on and off for as long as the fault lasts and is no protection for a cable by itself.

Sources: SAE J553, scope by two trade descriptions; opening times and breaking capacity from memory.
"""

from __future__ import annotations

from loomwright.source import Source
from loomwright.tables.fuse_type import Breaking, FuseType, Gate, Gates
from loomwright.units import Band

_GATES = Source(work="SAE J553", place="trip at 135 % and 200 %", checked="from memory")
_BREAKS = Source(work="common practice", place="small panel breakers, 1.5 kA at 12 V", checked="from memory")
_OHM = Source(
    work="common practice", place="thermal breakers: 60 to 200 mV at the rating", checked="from memory"
)
_VOLTS = Source(
    work="SAE J553",
    place="scope, 12 and 24 V; the edition of 2022 adds 48 V",
    checked="published, second hand",
)

BREAKER = FuseType(
    name="breaker",
    says="thermal circuit breaker, reset by hand",
    standard="SAE J553 type 3",
    ratings_a=(5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100, 120, 150, 200),
    ratings_source=Source(work="SAE J553", place="scope, up to 200 A; steps as sold", checked="from memory"),
    gates=(Gates(up_to_a=200.0, gates=(Gate(1.35, None, 1800.0), Gate(2.00, 1.0, 60.0)), source=_GATES),),
    cold_drop_v=Band(0.060, 0.200),
    cold_drop_source=_OHM,
    breaking=(Breaking(up_to_a=200.0, up_to_v=16.0, amps=1500.0, source=_BREAKS),),
    rated_v=Band(16.0, 58.0),  # of one for 12 V, and of one for 48 V, charging
    rated_v_source=_VOLTS,
)
