"""Bands of a figure, and the old units that wire tables are printed in.

Everything inside the program is in SI units with the suffix in the name; these conversions are exact
by definition (international inch of 1959: 25.4 mm).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

INCH_M = 0.0254
FOOT_M = 0.3048
#: Area of a circle of one thousandth of an inch, the unit of American wire tables. [mm²]
CIRCULAR_MIL_MM2 = math.pi / 4.0 * 0.0254**2


@dataclass(frozen=True, slots=True)
class Band:
    """A figure known only between two ends; verdicts take the worse one.

    Raises
    ------
    ValueError
        `low` lies above `high`.

    Examples
    --------
    >>> Band(0.5, 2.0).times(0.001)
    Band(low=0.0005, high=0.002)
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError(f"a band runs from low to high, not from {self.low:g} to {self.high:g}")

    @property
    def mid(self) -> float:
        """The middle of the band."""
        return (self.low + self.high) / 2.0

    def times(self, factor: float) -> Band:
        """Return the band multiplied by a positive `factor`."""
        return Band(self.low * factor, self.high * factor)

    def plus(self, other: Band) -> Band:
        """Return the band of the sum of two independent figures."""
        return Band(self.low + other.low, self.high + other.high)
