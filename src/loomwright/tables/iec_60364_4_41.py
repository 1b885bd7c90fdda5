"""Protection against shock in buildings and caravans: how soon a supply has to go off, and how high a loop
may be.

Sources: IEC 60364-4-41 = HD 60364-4-41 = BS 7671 Tables 41.1 and 41.5, by handbooks and a tester's
manual.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

DISCONNECTION_SOURCE = Source(
    work="IEC 60364-4-41", place="411.3.2, Table 41.1, 230 V to earth", checked="published, second hand"
)
TOUCH_SOURCE = Source(
    work="IEC 60364-4-41", place="411.5.3, 50 V over the earth's resistance", checked="published, second hand"
)
LOOP_SOURCE = Source(work="BS 7671", place="Table 41.5", checked="one source")
C_MIN_SOURCE = Source(
    work="BS 7671", place="411.4.4, lowest volts as a share of the nominal", checked="published, second hand"
)
STABLE_SOURCE = Source(work="BS 7671", place="Table 41.5, note on electrodes", checked="one source")

#: Longest time until a final circuit is off, by kind of earthing. [s]
FINAL_S: Mapping[str, float] = MappingProxyType({"TN": 0.4, "TT": 0.2})
#: The same of a circuit that feeds others. [s]
DISTRIBUTION_S: Mapping[str, float] = MappingProxyType({"TN": 5.0, "TT": 1.0})
#: Volts that a lasting touch counts as no danger up to, in dry places. [V]
TOUCH_LIMIT_V = 50.0
#: The supply may be so much below its nominal volts when the fault comes, where the region counts with it.
C_MIN = 0.95
#: An electrode above this may not stay what it is when the soil dries. [Ω]
STABLE_ELECTRODE_OHM = 200.0
#: Largest loop by rated residual current, as printed. A -> Ω
RESIDUAL_LOOP_OHM: Mapping[float, float] = MappingProxyType(
    {0.01: 5000.0, 0.03: 1667.0, 0.1: 500.0, 0.3: 167.0, 0.5: 100.0, 1.0: 50.0}
)
