"""Picking figures: typed ones as typed, the worse end of a range, one end of a default's band.

An assessment is run at two corners. At the bad one every unknown figure takes the end that makes the
verdict worse, at the good one the other; a typed range takes its worse end at both. Where the two corners
give different verdicts the unknown figure matters, and a finding names it. The largest current of a short is
counted with every figure at its low end, typed ranges too.

Bands of figures take further corners: all at its better end, all in the middle, joints as after years, and
ohms at one end with currents at the other. Any single figure may be pinned.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from loomwright.plan.model import Plan
from loomwright.plan.values import Curve, Quantity
from loomwright.source import Source


class Corner(Enum):
    """Which end of every figure that is not known exactly is counted with."""

    BAD = "bad"  # what is not known at its worse end, and ranges
    GOOD = "good"  # what is not known at its better end, ranges at their worse
    RANGES_BETTER = "ranges better"  # what is not known at its worse end, ranges at their better
    LEAST = "least"  # all low, so that ohms are few
    BEST = "best"  # all at its better end, ranges too
    TYPICAL = "typical"  # all in the middle
    WORN = "worn"  # as bad, joints as after years
    WORN_LIGHT = "worn, little taken"  # ohms as worn, currents as best
    FRESH_HEAVY = "fresh, much taken"  # ohms as best, currents as bad


TYPED = Source(work="the plan", place="as typed", checked="read in the work")
#: Corners at which a range takes its better end: ohms, and all else.
_BETTER_OHMS = (Corner.BEST, Corner.FRESH_HEAVY)
_BETTER_REST = (Corner.BEST, Corner.WORN_LIGHT)


@dataclass(frozen=True, slots=True)
class Pick:
    """A figure counted with, whence it comes, and the field to fill in if it was not known."""

    value: float
    source: Source
    unknown: str = ""


@dataclass(frozen=True, slots=True)
class Unsure:
    """A figure that is known only between two ends.

    Attributes
    ----------
    field : str
        Dotted path of the field.
    low, high : float
        Its ends; of a joint nobody measured the high one is that after years. [unit of the field]
    worse : str
        "high" or "low".
    typed : bool
        True for a range that the plan states, False for what it leaves open.
    ohms : bool
        True for a resistance, or for what makes one: a length, an area.
    """

    field: str
    low: float
    high: float
    worse: str
    typed: bool
    ohms: bool


@dataclass(frozen=True, slots=True)
class Inputs:
    """The plan and the corner it is assessed at.

    `pinned` holds fields that stand fast whatever the corner, by how far they stand between their ends, 0 to
    1: one field may stand for several figures, as fuses of many ratings. Fields that are `turned` stand at
    the other end than the corner says: at their better one. `unsure` gathers all that was picked and is not
    exact.
    """

    plan: Plan
    corner: Corner
    pinned: Mapping[str, float] = field(default_factory=dict)
    turned: frozenset[str] = frozenset()
    unsure: dict[str, Unsure] = field(default_factory=dict, compare=False, repr=False)

    def pick(
        self,
        amount: object,
        band: tuple[float, float],
        field: str,
        source: Source,
        *,
        worse: str = "high",
        ohms: bool = False,
        worn: float | None = None,
    ) -> Pick:
        """Return the figure to count with.

        Parameters
        ----------
        amount : object
            What the plan holds: a Quantity, a Curve with one value, a word, or None.
        band : tuple of float
            Low and high end of the default.
        field : str
            Dotted path of the field, named if the default was taken.
        source : Source
            Source of the default.
        worse : str
            "high" or "low": the end that makes verdicts worse.
        ohms : bool
            True for a resistance, or for what makes one.
        worn : float or None
            High end of the default after years, if it ages.

        Returns
        -------
        Pick
            The figure; its unit is that of the field.
        """
        if isinstance(amount, Curve):
            amount = amount.only() if amount.axis == "" else None
        if isinstance(amount, Quantity):
            return Pick(self.end(amount, field, worse=worse, ohms=ohms), TYPED)
        (low, high), aged = band, band[1] if worn is None else worn
        named = field if low != high else ""
        if low == aged:
            return Pick(low, source, named)
        self._note(field, low, aged, worse, False, ohms)
        if field in self.pinned:
            return Pick(low + self.pinned[field] * (aged - low), source, named)
        corner = self._corner(field)
        return Pick(_default(corner, low, high, aged, worse, ohms), source, named)

    def end(self, amount: Quantity, field: str, *, worse: str = "high", ohms: bool = False) -> float:
        """Return the figure to count with for a typed quantity: of a range, its end at this corner."""
        if amount.low == amount.high:
            return amount.low
        self._note(field, amount.low, amount.high, worse, True, ohms)
        if field in self.pinned:
            return amount.low + self.pinned[field] * (amount.high - amount.low)
        corner = self._corner(field)
        if corner is Corner.TYPICAL:
            return amount.mid
        if corner is Corner.LEAST:
            return amount.high if ohms and worse == "low" else amount.low
        better = corner in (_BETTER_OHMS if ohms else _BETTER_REST) or corner is Corner.RANGES_BETTER
        return amount.high if (worse == "high") != better else amount.low

    def _corner(self, field: str) -> Corner:
        """Return the corner at which a field is counted."""
        if field not in self.turned:
            return self.corner
        return Corner.BAD if self.corner is Corner.LEAST else Corner.BEST

    def _note(self, field: str, low: float, high: float, worse: str, typed: bool, ohms: bool) -> None:
        """Remember what is not exact; a field that stands for several figures spans them all."""
        known = self.unsure.get(field)
        if known is None or low < known.low or high > known.high:
            if known is not None:
                low, high = min(known.low, low), max(known.high, high)
            self.unsure[field] = Unsure(field, low, high, worse, typed, ohms)


def _default(corner: Corner, low: float, high: float, aged: float, worse: str, ohms: bool) -> float:
    """Return the figure counted with where the plan states none."""
    if corner is Corner.TYPICAL:
        return middle(low, high)
    if corner is Corner.LEAST:
        return high if ohms and worse == "low" else low
    better = corner is Corner.GOOD or corner in (_BETTER_OHMS if ohms else _BETTER_REST)
    if (worse == "high") == better:
        return low
    return aged if corner in (Corner.WORN, Corner.WORN_LIGHT) else high


def middle(low: float, high: float) -> float:
    """Return the middle of a default's band: the geometric mean, as bands here span factors, not sums.

    Examples
    --------
    >>> middle(0.5, 2.0)
    1.0
    """
    return math.sqrt(low * high) if low > 0.0 else (low + high) / 2.0
