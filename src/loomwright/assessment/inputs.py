"""Picking figures: typed ones as typed, the worse end of a range, one end of a default's band.

An assessment is run at two corners. At the bad one every unknown figure takes the end that makes the
verdict worse, at the good one the other; a typed range takes its worse end at both. Where the two corners
give different verdicts the unknown figure matters, and a finding names it. The largest current of a short is
counted with every figure at its low end, typed ranges too.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from loomwright.plan.model import Plan
from loomwright.plan.values import Curve, Quantity
from loomwright.source import Source


class Corner(Enum):
    """Which end of every unknown figure is counted with."""

    BAD = "bad"
    GOOD = "good"
    LEAST = "least"


TYPED = Source(work="the plan", place="as typed", checked="read in the work")


@dataclass(frozen=True, slots=True)
class Pick:
    """A figure counted with, whence it comes, and the field to fill in if it was not known."""

    value: float
    source: Source
    unknown: str = ""


@dataclass(frozen=True, slots=True)
class Inputs:
    """The plan and the corner it is assessed at."""

    plan: Plan
    corner: Corner

    def pick(
        self, amount: object, band: tuple[float, float], field: str, source: Source, *, worse: str = "high"
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

        Returns
        -------
        Pick
            The figure; its unit is that of the field.
        """
        if isinstance(amount, Curve):
            amount = amount.only() if amount.axis == "" else None
        least = self.corner is Corner.LEAST
        if isinstance(amount, Quantity):
            return Pick(amount.high if worse == "high" and not least else amount.low, TYPED)
        low, high = band
        take_high = not least and (worse == "high") == (self.corner is Corner.BAD)
        return Pick(high if take_high else low, source, field if low != high else "")
