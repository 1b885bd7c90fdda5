"""What to take of many designs: the front, three picks with their reasons, and the bend of the front.

A design is on the front where no other is as good in flat nights, weight and price and better in one. The
bend is where more money stops buying much: of the front in price and flat nights, no worse than the plan, the
design farthest below the line from its cheapest to its best (common practice; without prices, in weight).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from .choosing_parts import Design


@dataclass(frozen=True, slots=True)
class Outcome:
    """A design and what comes of it.

    Attributes
    ----------
    design : Design
    flat_nights : float
        In a year, the mean.
    flat_years_pct : float
        Of the years, those with any. [%]
    kg : float
        Battery, panels, regulator and charger. [kg]
    price : float or None
        What of them is still to be bought; None if no price is held.
    """

    design: Design
    flat_nights: float
    flat_years_pct: float
    kg: float
    price: float | None


@dataclass(frozen=True, slots=True)
class Pick:
    """A design to take, and why."""

    outcome: Outcome
    reasons: tuple[str, ...]


def axes_of(outcomes: Sequence[Outcome]) -> tuple[tuple[float, ...], ...]:
    """Return flat nights, weight and price of each; no price where one of them has none."""
    priced = all(one.price is not None for one in outcomes)
    return tuple(
        (one.flat_nights, one.kg, one.price)
        if priced and one.price is not None
        else (one.flat_nights, one.kg)
        for one in outcomes
    )


def front_of(outcomes: Sequence[Outcome]) -> tuple[Outcome, ...]:
    """Return the designs that no other beats, the one with most flat nights first."""
    if not outcomes:
        return ()
    axes = np.round(np.array(axes_of(outcomes)), 6)
    kept = []
    for k, one in enumerate(outcomes):
        as_good = (axes <= axes[k]).all(1)
        better = (axes < axes[k]).any(1)
        same_before = (axes[:k] == axes[k]).all(1).any()
        if not (as_good & better).any() and not same_before:
            kept.append(one)
    return tuple(sorted(kept, key=lambda one: (-one.flat_nights, _money(one), one.kg)))


def bend_of(front: Sequence[Outcome]) -> Outcome | None:
    """Return the design at which the front bends; None where it has no bend between its ends."""
    priced = all(one.price is not None for one in front)
    cost: Callable[[Outcome], float] = _money if priced else lambda one: one.kg
    line: list[Outcome] = []
    for one in sorted(front, key=lambda one: (cost(one), one.flat_nights)):
        if not line or one.flat_nights < line[-1].flat_nights:
            line.append(one)
    if len(line) < 3:
        return None
    first, last = line[0], line[-1]
    wide, high = cost(last) - cost(first), first.flat_nights - last.flat_nights

    def below(one: Outcome) -> float:
        return 1.0 - (cost(one) - cost(first)) / wide - (one.flat_nights - last.flat_nights) / high

    best = max(line[1:-1], key=below)
    return best if below(best) > 0.0 else None


def picks_of(front: Sequence[Outcome], now: Outcome, nights: float, currency: str) -> tuple[Pick, ...]:
    """Return up to three designs to take: cheapest and lightest within so many flat nights, and the bend.

    Parameters
    ----------
    front : sequence of Outcome
    now : Outcome
        The plan as it stands.
    nights : float
        So many flat nights a year are put up with.
    currency : str
        For the reasons; "" if there are no prices.
    """
    reasons: dict[Outcome, list[str]] = {}
    within = [one for one in front if one.flat_nights <= nights]
    least = f"{nights:g} flat night{'' if nights == 1 else 's'} a year or fewer"
    if within:
        if all(one.price is not None for one in within):
            cheapest = min(within, key=lambda one: (_money(one), one.kg))
            reasons.setdefault(cheapest, []).append(f"cheapest with {least}")
        lightest = min(within, key=lambda one: (one.kg, _money(one)))
        reasons.setdefault(lightest, []).append(f"lightest with {least}")
    elif front:
        nearest = min(front, key=lambda one: (one.flat_nights, _money(one), one.kg))
        reasons[nearest] = [f"fewest flat nights; none has {least}"]
    bend = bend_of([one for one in front if one.flat_nights <= now.flat_nights])
    if bend is not None:
        what = "money" if currency else "weight"
        reasons.setdefault(bend, []).append(f"best value: beyond it, more {what} saves few nights")
    return tuple(Pick(one, tuple(why)) for one, why in reasons.items())


def _money(one: Outcome) -> float:
    return one.price if one.price is not None else 0.0


__all__ = ["Outcome", "Pick", "axes_of", "bend_of", "front_of", "picks_of"]
