"""Fuses that come from buildings and machines: high breaking cartridges and glass tubes.

Only the longest opening times are known; the shortest are not, so a start counts as a lasting current.

Sources: UL 248-15 (class T) and UL 248-14 (supplementary), by a fuse guide and from memory.
"""

from __future__ import annotations

from loomwright.source import Source
from loomwright.tables.fuse_type import Breaking, FuseType, Gate, Gates
from loomwright.units import Band

_GLASS_GATES = Source(
    work="UL 248-14", place="supplementary fuses, opening times", checked="published, second hand"
)
_GLASS_RATINGS = Source(work="common practice", place="glass fuses in vehicles", checked="from memory")
_GLASS_OHM = Source(
    work="common practice", place="glass fuses: 80 to 200 mV at the rating, cold", checked="from memory"
)
_CLASS_T_GATES = Source(
    work="UL 248-15",
    place="class T, opening times; from 30 times its rating on it opens within half a wave of 60 Hz",
    checked="from memory",
)
_CLASS_T_RATINGS = Source(work="UL 248-15", place="class T, ratings used at DC", checked="from memory")
_CLASS_T_BREAKS = Source(
    work="UL 248-15", place="class T, 20 kA at 125 V DC", checked="published, second hand"
)
_CLASS_T_OHM = Source(
    work="common practice", place="counted as a bolted strip of the same rating", checked="from memory"
)
_GLASS_VOLTS = Source(
    work="common practice", place="glass fuses of vehicles, 32 V up to 30 A", checked="from memory"
)
_CLASS_T_VOLTS = Source(work="UL 248-15", place="class T, 125 to 160 V DC", checked="published, second hand")

GLASS = FuseType(
    name="glass",
    says="glass tube fuse, 6.3 × 32 mm",
    standard="UL 248-14",
    ratings_a=(1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30),
    ratings_source=_GLASS_RATINGS,
    gates=(
        Gates(up_to_a=30.0, gates=(Gate(1.35, None, 3600.0), Gate(2.00, None, 120.0)), source=_GLASS_GATES),
    ),
    cold_drop_v=Band(0.080, 0.200),
    cold_drop_source=_GLASS_OHM,
    holder_ohm=Band(0.5e-3, 2e-3),
    rated_v=Band(32.0, 32.0),
    rated_v_source=_GLASS_VOLTS,
)
HIGH_BREAKING = FuseType(
    name="high_breaking",
    says="high breaking fuse (class T or equal)",
    standard="UL 248-15 class T",
    ratings_a=(110, 125, 150, 175, 200, 225, 250, 300, 350, 400),
    ratings_source=_CLASS_T_RATINGS,
    gates=(
        Gates(
            up_to_a=400.0,
            gates=(Gate(1.35, None, 7200.0), Gate(2.00, None, 720.0), Gate(30.0, None, 0.0083)),
            source=_CLASS_T_GATES,
        ),
    ),
    cold_drop_v=Band(0.035, 0.085),
    cold_drop_source=_CLASS_T_OHM,
    breaking=(Breaking(up_to_a=400.0, up_to_v=125.0, amps=20_000.0, source=_CLASS_T_BREAKS),),
    rated_v=Band(125.0, 160.0),
    rated_v_source=_CLASS_T_VOLTS,
)
