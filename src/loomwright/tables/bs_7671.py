"""Lasting current of single-core cables in buildings and caravans, two loaded, 30 °C; grouping by circuits.

Method A: conduit in an insulated wall. B: conduit or trunking on a wall. C: clipped direct. F: free air,
touching (from 25 mm²). IEC 60364-5-52 gives 1 to 2 % less in method C up to 35 mm², 8 to 10 % above.

Sources: BS 7671 Tables 4D1A, 4E1A, 4B1, 4C1 by public reprints.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

PVC_B_SOURCE = Source(
    work="BS 7671", place="Table 4D1A, method B, 70 °C PVC, two cables", checked="published, second hand"
)
PVC_SOURCE = Source(work="BS 7671", place="Table 4D1A, methods A, C, F, 70 °C PVC", checked="one source")
XLPE_SOURCE = Source(
    work="BS 7671", place="Table 4E1A, 90 °C thermosetting, two cables", checked="one source"
)
AMBIENT_SOURCE = Source(work="BS 7671", place="Table 4B1", checked="published, second hand")
AMBIENT_25_SOURCE = Source(work="BS 7671", place="Table 4B1, row of 25 °C", checked="from memory")
GROUPING_SOURCE = Source(
    work="BS 7671", place="Table 4C1, by circuits of two loaded cables", checked="published, second hand"
)

#: Order of the columns in both tables.
METHODS = ("A", "B", "C", "F")
PVC_A: Mapping[float, tuple[float | None, ...]] = MappingProxyType(
    {  # mm² -> A, one per method
        1.0: (11, 13.5, 15.5, None),
        1.5: (14.5, 17.5, 20, None),
        2.5: (20, 24, 27, None),
        4.0: (26, 32, 37, None),
        6.0: (34, 41, 47, None),
        10.0: (46, 57, 65, None),
        16.0: (61, 76, 87, None),
        25.0: (80, 101, 114, 131),
        35.0: (99, 125, 141, 162),
        50.0: (119, 151, 182, 196),
        70.0: (151, 192, 234, 251),
        95.0: (182, 232, 284, 304),
        120.0: (210, 269, 330, 352),
    }
)
XLPE_A: Mapping[float, tuple[float | None, ...]] = MappingProxyType(
    {  # mm² -> A, one per method
        1.0: (14, 17, 19, None),
        1.5: (19, 23, 25, None),
        2.5: (26, 31, 34, None),
        4.0: (35, 42, 46, None),
        6.0: (45, 54, 59, None),
        10.0: (61, 75, 81, None),
        16.0: (81, 100, 109, None),
        25.0: (106, 133, 143, 161),
        35.0: (131, 164, 176, 200),
        50.0: (158, 198, 228, 242),
        70.0: (200, 253, 293, 310),
        95.0: (241, 306, 355, None),
    }
)
#: Air temperature -> factor.
PVC_AMBIENT: Mapping[float, float] = MappingProxyType(
    {25.0: 1.03, 30.0: 1.00, 35.0: 0.94, 40.0: 0.87, 45.0: 0.79, 50.0: 0.71, 55.0: 0.61, 60.0: 0.50}
)
XLPE_AMBIENT: Mapping[float, float] = MappingProxyType(
    {
        25.0: 1.02, 30.0: 1.00, 35.0: 0.96, 40.0: 0.91, 45.0: 0.87, 50.0: 0.82, 55.0: 0.76, 60.0: 0.71,
        65.0: 0.65, 70.0: 0.58, 75.0: 0.50, 80.0: 0.41,
    }
)  # fmt: skip
