"""Lasting current of a single PVC cable in free air at 30 °C.

The one column serves every insulation: a wire for 105 °C starts from the same amperes and only gains
where the air is hot, which is on the safe side. Derating: `tables.derating`.

Source: DIN VDE 0298-4, column "single core in free air", from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

FREE_AIR_SOURCE = Source(
    work="DIN VDE 0298-4", place="single core, PVC 70 °C, in free air, 30 °C", checked="from memory"
)
FREE_AIR_A: Mapping[float, float] = MappingProxyType(
    {  # mm² -> A
        0.5: 11, 0.75: 15, 1.0: 19, 1.5: 24, 2.5: 32, 4.0: 42, 6.0: 54, 10.0: 73, 16.0: 98, 25.0: 129,
        35.0: 158, 50.0: 198, 70.0: 245, 95.0: 292, 120.0: 344,
    }
)  # fmt: skip
