"""Lasting current of single conductors in boats, DC, 30 °C, by American gauge: US law and ABYC E-11.

The law asks for the bundle factors at 50 V and more only; later editions of ABYC E-11 bundle DC too, and
the careful choice for a van is to count them.

Sources: 33 CFR 183.425 Table 5 and its notes, read in the text of the law.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

CURRENT_SOURCE = Source(
    work="33 CFR 183.425 / ABYC E-11", place="Table 5, single conductors, 30 °C", checked="read in the work"
)
ENGINE_SPACE_SOURCE = Source(
    work="33 CFR 183.425", place="factors for engine spaces at 50 °C", checked="published, second hand"
)
ENGINE_SPACE_MEMORY_SOURCE = Source(
    work="33 CFR 183.425",
    place="factors for engine spaces at 50 °C, other than that of 105 °C insulation",
    checked="from memory",
)
BUNDLE_SOURCE = Source(work="33 CFR 183.425", place="conductors bundled", checked="one source")

#: Largest lasting conductor temperatures of the columns. [°C]
COLUMNS_C = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)
CURRENT_A: Mapping[int, tuple[float, ...]] = MappingProxyType(
    {  # AWG (0, -1, -2, -3 = 1/0 to 4/0) -> A, one per column
        18: (10, 10, 15, 20, 20, 25, 25),
        16: (15, 15, 20, 25, 25, 30, 35),
        14: (20, 20, 25, 30, 35, 40, 45),
        12: (25, 25, 35, 40, 45, 50, 55),
        10: (40, 40, 50, 55, 60, 70, 70),
        8: (55, 65, 70, 70, 80, 90, 100),
        6: (80, 95, 100, 100, 120, 125, 135),
        4: (105, 125, 130, 135, 160, 170, 180),
        3: (120, 145, 150, 155, 180, 195, 210),
        2: (140, 170, 175, 180, 210, 225, 240),
        1: (165, 195, 210, 210, 245, 265, 280),
        0: (195, 230, 245, 245, 285, 305, 325),
        -1: (225, 265, 285, 285, 330, 355, 370),
        -2: (260, 310, 330, 330, 385, 410, 430),
        -3: (300, 360, 385, 385, 445, 475, 510),
    }
)
ENGINE_SPACE: Mapping[float, float] = MappingProxyType(
    {60.0: 0.58, 75.0: 0.75, 80.0: 0.78, 90.0: 0.82, 105.0: 0.85, 125.0: 0.89, 200.0: 1.00}
)
#: Loaded conductors together -> factor, each row up to that many.
BUNDLE: Mapping[int, float] = MappingProxyType({2: 1.00, 3: 0.70, 6: 0.60, 24: 0.50})
BUNDLE_OF_MORE = 0.40
