"""What comes of a van's years of weather: months, promises, lithium in the cold, habits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .days import DaysPromise
from .habits import Habit
from .stores import Store

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """One in ten lies below the first, half below the second, nine in ten below the third."""

    p10: float
    p50: float
    p90: float

    @classmethod
    def of(cls, values: Floats) -> Spread:
        """Return the spread of some values."""
        low, mid, high = (float(one) for one in np.percentile(values, (10, 50, 90)))
        return cls(low, mid, high)


@dataclass(frozen=True, slots=True)
class MonthFigure:
    """A month, the mean of all years. [Ah a day unless said]

    Attributes
    ----------
    month, season : str
        `season` is "" where the plan names none.
    load_ah, missed_ah, clear_sun_ah, sun_ah, spilled_ah, driven_ah, hook_up_ah : float
        What is asked for, what of it is not served; what could come from the sun on a clear roof, and with
        the snow of the site; what of all was not wanted; what drives and hook-ups could bring.
    lowest_pct : Spread
        The lowest charge of the month, over the years. [%]
    flat_nights : float
        Nights on which something is cut, each month. [1]
    autonomy : Spread or None
        From full, standing still; None where nothing is taken. [days]
    """

    month: str
    season: str
    load_ah: float
    missed_ah: float
    clear_sun_ah: float
    sun_ah: float
    spilled_ah: float
    driven_ah: float
    hook_up_ah: float
    lowest_pct: Spread
    flat_nights: float
    autonomy: Spread | None


@dataclass(frozen=True, slots=True)
class Kept:
    """A promise of days: in how many of a hundred such stays it is kept, and what could be said instead.

    Attributes
    ----------
    promise : DaysPromise
    of_100 : float
        Kept in so many of 100.
    nine_in_ten : float
        So many days are kept in nine of ten. [days]
    """

    promise: DaysPromise
    of_100: float
    nine_in_ten: float


@dataclass(frozen=True, slots=True)
class InFrost:
    """A year of lithium in the cold.

    Attributes
    ----------
    least_c : float
        It may be charged from here on. [°C]
    charged_h : tuple of float
        Charged below that, in a year: mean, and what nine of ten years stay below. [h]
    stopped_h : float
        Something could charge, and is stopped for the cold; the mean year. [h]
    pad_ah : float
        What a heat pad takes of the charge, in the mean year. [Ah]
    """

    least_c: float
    charged_h: tuple[float, float]
    stopped_h: float
    pad_ah: float

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        mean, worst = self.charged_h
        return {
            "charged_from_c": self.least_c,
            "charged_below_h_per_year": {"mean": mean, "p90": worst},
            "charge_stopped_h_per_year": self.stopped_h,
            "heat_pad_ah_per_year": self.pad_ah,
        }


@dataclass(frozen=True, slots=True, eq=False)
class Year:
    """What came of all years.

    Attributes
    ----------
    store : Store
    level : tuple of str
        The batteries that are empty first.
    capacity_ah : float
        Theirs. [Ah]
    months : tuple of MonthFigure
        January first.
    flat_nights : tuple of float
        In a year: mean, and what nine of ten years stay below.
    years, seed : int
    taken_from : str
        Whence the weather comes, in words.
    band_pct : float
        How far the sun of the place may be out, either way. [%]
    held_pct : ndarray, shape (3, 365)
        Charge at the end of each day: one in ten, half, nine in ten of the years lie below. [%]
    floor_pct : ndarray, shape (365,)
        Where loads are cut, the mean of each day: it rises with the cold. [%]
    promises : tuple of Kept
    longest_from_full_d : float
        The longest time without a full battery, in the median year. [days]
    in_frost : InFrost or None
        None for other kinds than lithium.
    habits : tuple of Habit
        What each would bring.
    """

    store: Store
    level: tuple[str, ...]
    capacity_ah: float
    months: tuple[MonthFigure, ...]
    flat_nights: tuple[float, float]
    years: int
    seed: int
    taken_from: str
    band_pct: float
    held_pct: Floats
    floor_pct: Floats
    promises: tuple[Kept, ...]
    longest_from_full_d: float
    in_frost: InFrost | None = None
    habits: tuple[Habit, ...] = ()


__all__ = ["InFrost", "Kept", "MonthFigure", "Spread", "Year"]
