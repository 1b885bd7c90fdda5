"""Fuses of road vehicles: blades of three sizes, bolted strip, block on the battery post.

Opening times are the gates that a fuse within its standard keeps; at 135 % a blade may carry on for ten
minutes, so an overload below that is not cleared. Cheap unbranded blades have been found whole at three
to four times their rating: none of this holds for them.

Sources: ISO 8820-3 (blades), -5 (bolted), -6 (post). Ratings from memory; blade gates from makers' sheets in
public copies; bolted gates from memory; cold resistance of 5 to 40 A blades from makers' figures.
"""

from __future__ import annotations

from types import MappingProxyType

from loomwright.source import Source
from loomwright.tables.fuse_type import Breaking, FuseType, Gate, Gates
from loomwright.units import Band

_RATINGS = Source(work="ISO 8820", place="standard ratings", checked="from memory")
_BLADE_GATES = Source(
    work="ISO 8820-3", place="opening times: 160 %, 200 % from a sheet, the rest as the small blade",
    checked="one source",
)  # fmt: skip
_BLADE_GATES_OVER_30 = Source(
    work="ISO 8820-3", place="opening times of 35 and 40 A blades", checked="one source"
)
_MINI_GATES = Source(work="ISO 8820-3", place="opening times, small blade", checked="one source")
_LARGE_BLADE_GATES = Source(
    work="ISO 8820-3", place="opening times, large blade, 20 to 80 A", checked="one source"
)
_BOLTED_GATES = Source(work="ISO 8820-5", place="opening times, bolted strip", checked="from memory")
_BLADE_BREAKS = Source(work="ISO 8820-3", place="scope, 1 000 A at 32 V", checked="published, second hand")
_BOLTED_BREAKS = Source(
    work="ISO 8820-5", place="1 000 A up to 200 A, 2 000 A above, at 32 V", checked="published, second hand"
)
#: What the best bolted fuses of road vehicles break; a maker's sheet says which do. [A]
BOLTED_BREAKS_AT_BEST = 5000.0
BOLTED_AT_BEST_SOURCE = Source(
    work="ISO 8820-5", place="some series break 2 000 to 5 000 A at 32 V", checked="published, second hand"
)
_POST_BREAKS_14_V = Source(work="ISO 8820-6", place="10 000 A at 14 V", checked="published, second hand")
_POST_BREAKS = Source(work="ISO 8820-6", place="5 000 A at 32 V, 2 000 A at 58 V", checked="from memory")
_BLADE_VOLTS = Source(
    work="ISO 8820-3", place="scope, 32 V or 58 V; some series 80 V", checked="published, second hand"
)
_MINI_VOLTS = Source(work="ISO 8820-3", place="scope, 32 V or 58 V", checked="published, second hand")
_BOLTED_VOLTS = Source(
    work="ISO 8820-5", place="32 V as a rule, some series 58 or 70 V", checked="published, second hand"
)
_POST_VOLTS = Source(work="ISO 8820-6", place="58 V", checked="from memory")
_BLADE_OHM = Source(
    work="ISO 8820-3",
    place="cold resistance of 5 to 40 A blades, makers' figures",
    checked="published, second hand",
)
_BLADE_OHM_RULE = Source(
    work="common practice",
    place="blades without a figure: 54 to 140 mV at the rating, cold",
    checked="from memory",
)
_MINI_OHM = Source(
    work="common practice", place="small blades: as a regular blade of the same rating", checked="from memory"
)
_LARGE_BLADE_OHM = Source(
    work="ISO 8820-3",
    place="large blades of 30, 35, 40 A: 56 to 60 mV at the rating, cold; the band adds 15 %",
    checked="one source",
)
_BOLTED_OHM = Source(
    work="common practice",
    place="60 to 110 mV at the rating, hot; cold 1.3 to 1.7 times less",
    checked="from memory",
)

_HUNDRED_HOURS = 360_000.0
_FOUR_HOURS = 14_400.0

_FAST = (
    Gate(1.10, _HUNDRED_HOURS, None),
    Gate(1.35, 0.75, 600.0),
    Gate(2.00, 0.15, 5.0),
    Gate(3.50, 0.08, 0.5),
    Gate(6.00, 0.03, 0.1),
)
_FAST_WITH_160 = (*_FAST[:2], Gate(1.60, 0.25, 50.0), *_FAST[2:])
_FAST_OVER_30 = (
    Gate(1.00, _HUNDRED_HOURS, None),
    Gate(1.35, 0.75, 600.0),
    Gate(2.00, 0.15, 5.0),
    Gate(3.50, 0.08, 0.5),
    Gate(6.00, None, 0.15),
)
_LARGE_BLADE = (
    Gate(1.00, _HUNDRED_HOURS, None),
    Gate(1.35, 60.0, 1800.0),
    Gate(2.00, 2.0, 60.0),  # 50 s in one sheet, 60 s in another
    Gate(3.50, 0.2, 7.0),
    Gate(6.00, 0.04, 1.0),
)
_SLOW = (
    Gate(1.10, _FOUR_HOURS, None),
    Gate(1.35, 120.0, 1800.0),
    Gate(2.00, 1.0, 15.0),
    Gate(3.50, 0.3, 5.0),
    Gate(6.00, 0.1, 1.0),
)


def _mohm(low: float, high: float) -> Band:
    return Band(low, high).times(1e-3)


#: Cold resistance of the element. [A -> Ω]
BLADE_OHM = MappingProxyType(
    {
        5.0: _mohm(16.0, 20.0),
        7.5: _mohm(11.0, 12.0),
        10.0: _mohm(6.8, 7.7),
        15.0: _mohm(4.5, 4.8),
        20.0: _mohm(3.2, 3.4),
        25.0: _mohm(2.5, 3.4),
        30.0: _mohm(1.79, 1.85),
        35.0: _mohm(1.5, 1.6),
        40.0: _mohm(1.35, 1.44),
    }
)
#: The clips of a blade holder, both together.
_CLIPS = _mohm(0.5, 2.0)

BLADE = FuseType(
    name="blade",
    says="blade fuse, regular size",
    standard="ISO 8820-3 type C",
    ratings_a=(1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40),
    ratings_source=_RATINGS,
    gates=(
        Gates(up_to_a=30.0, gates=_FAST_WITH_160, source=_BLADE_GATES),
        Gates(up_to_a=40.0, gates=_FAST_OVER_30, source=_BLADE_GATES_OVER_30),
    ),
    cold_ohm=BLADE_OHM,
    cold_ohm_source=_BLADE_OHM,
    cold_drop_v=Band(0.054, 0.140),
    cold_drop_source=_BLADE_OHM_RULE,
    holder_ohm=_CLIPS,
    breaking=(Breaking(up_to_a=40.0, up_to_v=32.0, amps=1000.0, source=_BLADE_BREAKS),),
    rated_v=Band(32.0, 80.0),
    rated_v_source=_BLADE_VOLTS,
)
MINI_BLADE = FuseType(
    name="mini_blade",
    says="blade fuse, small size",
    standard="ISO 8820-3 type F",
    ratings_a=(2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30),
    ratings_source=_RATINGS,
    gates=(Gates(up_to_a=30.0, gates=_FAST, source=_MINI_GATES),),
    cold_ohm=BLADE_OHM,
    cold_ohm_source=_MINI_OHM,
    cold_drop_v=Band(0.054, 0.140),
    cold_drop_source=_BLADE_OHM_RULE,
    holder_ohm=_CLIPS,
    breaking=(Breaking(up_to_a=30.0, up_to_v=32.0, amps=1000.0, source=_BLADE_BREAKS),),
    rated_v=Band(32.0, 58.0),
    rated_v_source=_MINI_VOLTS,
)
LARGE_BLADE = FuseType(
    name="large_blade",
    says="blade fuse, large size",
    standard="ISO 8820-3 type E",
    ratings_a=(20, 30, 40, 50, 60, 70, 80),
    ratings_source=_RATINGS,
    gates=(Gates(up_to_a=80.0, gates=_LARGE_BLADE, source=_LARGE_BLADE_GATES),),
    cold_drop_v=Band(0.048, 0.069),
    cold_drop_source=_LARGE_BLADE_OHM,
    holder_ohm=_CLIPS,
    breaking=(Breaking(up_to_a=80.0, up_to_v=32.0, amps=1000.0, source=_BLADE_BREAKS),),
    rated_v=Band(32.0, 80.0),
    rated_v_source=_BLADE_VOLTS,
)
BOLTED = FuseType(
    name="bolted",
    says="bolted strip fuse, 30 mm (M5) or 51 mm (M8)",
    standard="ISO 8820-5 types SF30, SF51",
    ratings_a=(30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500),
    ratings_source=_RATINGS,
    gates=(Gates(up_to_a=500.0, gates=_SLOW, source=_BOLTED_GATES),),
    cold_drop_v=Band(0.035, 0.085),
    cold_drop_source=_BOLTED_OHM,
    breaking=(
        Breaking(up_to_a=200.0, up_to_v=32.0, amps=1000.0, source=_BOLTED_BREAKS),
        Breaking(up_to_a=500.0, up_to_v=32.0, amps=2000.0, source=_BOLTED_BREAKS),
    ),
    rated_v=Band(32.0, 70.0),
    rated_v_source=_BOLTED_VOLTS,
)
POST = FuseType(
    name="post",
    says="block fuse on the battery post, single bolt",
    standard="ISO 8820-6",
    ratings_a=(30, 40, 50, 60, 75, 80, 90, 100, 125, 150, 175, 200, 225, 250, 300),
    ratings_source=_RATINGS,
    cold_drop_v=Band(0.035, 0.085),
    cold_drop_source=_BOLTED_OHM,
    breaking=(
        Breaking(up_to_a=300.0, up_to_v=14.0, amps=10_000.0, source=_POST_BREAKS_14_V),
        Breaking(up_to_a=300.0, up_to_v=32.0, amps=5_000.0, source=_POST_BREAKS),
        Breaking(up_to_a=300.0, up_to_v=58.0, amps=2_000.0, source=_POST_BREAKS),
    ),
    rated_v=Band(58.0, 58.0),
    rated_v_source=_POST_VOLTS,
)
