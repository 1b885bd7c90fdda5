"""Lasting current of single cables in small craft, DC, 30 °C.

The engine-space multipliers equal those of air at 50 °C although the standard speaks of 60 °C there; a
stated temperature that asks for more is counted by its own factor (`protection.rating`).

Source: ISO 10133:2012 Table A.1, repeated in ISO 13297; bundles: ISO 13297:2020. From memory throughout.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

CURRENT_SOURCE = Source(
    work="ISO 10133:2012", place="Table A.1, single conductors, 30 °C", checked="from memory"
)
ENGINE_SPACE_SOURCE = Source(
    work="ISO 10133:2012", place="annex A, factors for engine spaces", checked="from memory"
)
BUNDLE_SOURCE = Source(work="ISO 13297:2020", place="conductors run together", checked="from memory")

#: Largest lasting conductor temperatures of the columns; 85 stands for 85 to 90. [°C]
COLUMNS_C = (60.0, 70.0, 85.0, 105.0, 125.0, 200.0)
CURRENT_A: Mapping[float, tuple[float, ...]] = MappingProxyType(
    {  # mm² -> A, one per column
        0.75: (6, 10, 12, 16, 20, 25),
        1.0: (8, 14, 18, 20, 25, 35),
        1.5: (12, 18, 21, 25, 30, 40),
        2.5: (17, 25, 30, 35, 40, 45),
        4.0: (22, 35, 40, 45, 50, 55),
        6.0: (29, 45, 50, 60, 70, 75),
        10.0: (40, 65, 70, 90, 100, 120),
        16.0: (54, 90, 100, 130, 150, 170),
        25.0: (71, 120, 140, 170, 185, 200),
        35.0: (87, 160, 185, 210, 225, 240),
        50.0: (105, 210, 230, 270, 300, 325),
        70.0: (135, 265, 285, 330, 360, 375),
        95.0: (165, 310, 330, 390, 410, 430),
        120.0: (190, 360, 400, 450, 480, 520),
    }
)
#: No factor was remembered for the 60 °C column: that of the US table stands in.
ENGINE_SPACE: Mapping[float, float] = MappingProxyType(
    {60.0: 0.58, 70.0: 0.75, 85.0: 0.82, 105.0: 0.86, 125.0: 0.89, 200.0: 1.00}
)
#: Loaded conductors together -> factor, each row up to that many.
BUNDLE: Mapping[int, float] = MappingProxyType({3: 1.00, 6: 0.70, 24: 0.60})
BUNDLE_OF_MORE = 0.50
