"""A van through many years of weather, hour by hour: how often it goes dark, how long it holds out.

A year runs from full on the first of January; what is left at the end of December is not carried on. Autonomy
is counted from full, without drives and hook-ups, from midnight of five days of each month of each year,
until the first load is cut. It lies near the daily balance where a stay lasts two days and more and the sun
brings less than four fifths of what is taken; beyond, the hour of the day and dull spells make it shorter.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, DAYS_IN_MONTH, HOURS, MONTH_OF_DAY, MONTH_OF_HOUR
from loomwright.energy.tank import DUST_AH, Hours, Tanks, tanks
from loomwright.errors import NoYearError
from loomwright.plan.calendar import MONTHS

from ..record import Assessment
from .air import climate_of
from .days import DaysPromise, Energy, day_promises
from .filled import tank_of
from .schedule import Schedule, schedule_of
from .stores import Store, usable_of
from .weathered import battery_c, capacity_left, may_charge, snow_leaves, sun_a, weather_of

Floats = NDArray[np.float64]
Progress = Callable[[int, int], None]
#: Autonomy is counted from these days of a month, and no further than so many days.
STARTS, LONGEST_DAYS = (2, 8, 14, 20, 26), 30
#: So many stays are counted side by side: what they hold at once is about 70 MB.
_TOGETHER = 2000


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


class YearRun:
    """The hours of a van's years.

    Parameters
    ----------
    job : Assessment
    count : int
        How many years.
    seed : int

    Raises
    ------
    NoYearError
        The plan has no house battery, no season of use, or no latitude on land.
    """

    def __init__(self, job: Assessment, count: int = 100, seed: int = 0) -> None:
        self.job, self.count, self.seed = job, count, seed
        self.energy = Energy(job)
        if not self.energy.stores:
            raise NoYearError("the plan has no house battery: there is nothing to run through a year")
        if not job.plan.use:
            raise NoYearError("the plan says nothing of its use: write at least one season under `use`")
        climate = climate_of(job)
        if climate is None:
            raise NoYearError("the plan's site has no latitude on land: write `site: {lat: 51.5, lon: -1.2}`")
        self.climate = climate
        self.store = self.energy.stores[0]
        self.level = self._first_empty()
        self.weather = weather_of(climate, count, seed)
        self.schedule: Schedule = schedule_of(self.energy, self.store, self.level)
        self.tank = tank_of(job, self.store, self.level)
        self.clear_a = sun_a(self.energy, self.store, self.weather)
        self.sun_a = self.clear_a * snow_leaves(self.energy, self.weather)
        celsius = battery_c(self.energy, self.level[0], self.weather)
        usable = usable_of(job, self.level, None).ah
        self.floor_ah = self.tank.capacity_ah - usable * capacity_left(self.energy, self.level[0], celsius)
        self.may_charge = may_charge(self.energy, self.level[0], celsius)

    def _first_empty(self) -> tuple[str, ...]:
        days = [self.energy.day(s, m, self.store, drive=False) for s, m in self.energy.seasons()]
        taken = [day for day in days if day.takes]
        return min(taken, key=lambda day: day.days).level.level if taken else self.store.levels[0]

    def whole(self) -> Hours:
        """Return the hours of every year, shape (years, 8760)."""
        source = self.sun_a + self.schedule.drive_a + self.schedule.hook_up_a
        return self._run(self.schedule.load_a[None, :], source, self.floor_ah, self.may_charge, self.count)

    def _run(self, load: Floats, source: Floats, floor: Floats, share: Floats, n: int) -> Hours:
        load, source, floor, share = (
            np.broadcast_to(one, (n, one.shape[1])) for one in (load, source, floor, share)
        )
        start = np.full(n, self.tank.capacity_ah)
        return tanks(Tanks.of([self.tank] * n), load, source, floor, share, start)

    def lasts(self, months: Sequence[int], source: Floats, days: int = LONGEST_DAYS) -> Floats:
        """Return how long full batteries last from some days of months, in each year.

        Parameters
        ----------
        months : sequence of int
            0 to 11.
        source : ndarray, shape (years, 8760)
            What comes. [A]
        days : int
            No further than this.

        Returns
        -------
        ndarray, shape (len(months), len(STARTS) · years)
            [days]
        """
        starts = [(month, day) for month in months for day in STARTS]
        together = max(_TOGETHER // self.count, 1)
        parts = [starts[k : k + together] for k in range(0, len(starts), together)]
        found = [self._lasting(part, source, days) for part in parts]
        return np.concatenate(found).reshape(len(months), -1)

    def _lasting(self, starts: Sequence[tuple[int, int]], source: Floats, days: int) -> Floats:
        """Return the same from some days, shape (len(starts) · years,); the use goes on as in their month."""
        spans, uses = [], []
        for month, day in starts:
            first = int(np.flatnonzero(month == MONTH_OF_DAY)[0])
            spans.append((24 * (first + day) + np.arange(24 * days)) % HOURS)
            in_month = self.schedule.load_a[24 * first : 24 * (first + DAYS_IN_MONTH[month])]
            uses.append(np.resize(np.roll(in_month, -24 * day), 24 * days))
        load = np.repeat(np.array(uses), self.count, axis=0)
        came, floor, share = (
            np.concatenate([np.broadcast_to(one, source.shape)[:, span] for span in spans])
            for one in (source, self.floor_ah, self.may_charge)
        )
        cut = self._run(load, came, floor, share, len(load)).missed_ah > DUST_AH
        return np.where(cut.any(1), cut.argmax(1) / 24.0, float(days))

    def kept(self, one: DaysPromise) -> Kept:
        """Return how often a promise of days is kept in the month that is worst for it."""
        month = MONTHS.index(one.day.month)
        if one.sun == "average":
            source = self.sun_a
        else:
            mean = self.sun_a[:, month == MONTH_OF_HOUR].mean() * 24.0
            source = self.sun_a * ((one.day.sun_ah or 0.0) / mean if mean > 0.0 else 0.0)
        if one.drive:
            source = source + self.schedule.drive_a
        days = self.lasts([month], source, max(LONGEST_DAYS, math.ceil(one.asked) + 1))[0]
        return Kept(one, 100.0 * float((days >= one.asked - 1e-9).mean()), float(np.percentile(days, 10)))


def year_of(job: Assessment, count: int = 100, seed: int = 0, progress: Progress | None = None) -> Year:
    """Run a van through years of weather.

    Parameters
    ----------
    job : Assessment
    count : int
        How many years.
    seed : int
        Another seed, another weather; the same, the same.
    progress : callable or None
        Told how many steps of how many are done.

    Returns
    -------
    Year

    Raises
    ------
    NoYearError
        As `YearRun`.
    MissingExtra
        pvlib is not installed.
    """
    said = progress or (lambda done, of: None)
    run = YearRun(job, count, seed)
    said(3, 16)
    hours = run.whole()
    said(4, 16)
    lasting = run.lasts(range(12), run.sun_a)
    said(14, 16)
    months = [_month(run, hours, m, lasting[m]) for m in range(12)]
    flat = _flat_days(hours)
    nights = flat.sum(1)
    daily = hours.held_ah.reshape(count, 365, 24)[:, :, -1] * 100.0 / run.tank.capacity_ah
    promises = tuple(run.kept(one) for one in day_promises(job) if one.day.store == run.store.id)
    return Year(
        store=run.store,
        level=run.level,
        capacity_ah=run.tank.capacity_ah,
        months=tuple(months),
        flat_nights=(float(nights.mean()), float(np.percentile(nights, 90))),
        years=count,
        seed=seed,
        taken_from=run.weather.taken_from,
        band_pct=run.climate.band_pct,
        held_pct=np.percentile(daily, (10, 50, 90), axis=0),
        floor_pct=_floor_pct(run),
        promises=promises,
        longest_from_full_d=float(np.median(_longest_gap(hours, run.tank.capacity_ah))),
    )


def _floor_pct(run: YearRun) -> Floats:
    floor = np.broadcast_to(run.floor_ah, (run.count, HOURS)).reshape(run.count, DAYS, 24)
    return np.asarray(floor.mean((0, 2)) * 100.0 / run.tank.capacity_ah)


def _flat_days(hours: Hours) -> NDArray[np.bool_]:
    """Return on which days, noon to noon, something is cut; shape (years, 365)."""
    missed = np.roll(hours.missed_ah, -12, axis=1).reshape(len(hours.missed_ah), 365, 24)
    return np.asarray((missed > DUST_AH).any(-1))


def _longest_gap(hours: Hours, capacity_ah: float) -> Floats:
    """Return the longest time of each year in which the batteries are not full. [days]"""
    full = hours.held_ah >= 0.98 * capacity_ah
    longest, now = np.zeros(len(full)), np.zeros(len(full))
    for t in range(full.shape[1]):
        now = np.where(full[:, t], 0.0, now + 1.0)
        longest = np.maximum(longest, now)
    return np.asarray(longest / 24.0)


def _month(run: YearRun, hours: Hours, month: int, lasting: Floats) -> MonthFigure:
    days = np.flatnonzero(month == MONTH_OF_DAY)
    here = slice(24 * int(days[0]), 24 * (int(days[-1]) + 1))
    per_day = 24.0

    def mean(array: Floats) -> float:
        return float(array[..., here].mean()) * per_day

    load = run.schedule.load_a
    lowest = hours.held_ah[:, here].min(1) * 100.0 / run.tank.capacity_ah
    taken = mean(load)
    return MonthFigure(
        month=MONTHS[month],
        season=run.schedule.seasons[month] or "",
        load_ah=taken,
        missed_ah=mean(hours.missed_ah),
        clear_sun_ah=mean(run.clear_a),
        sun_ah=mean(run.sun_a),
        spilled_ah=mean(hours.spilled_ah),
        driven_ah=mean(run.schedule.drive_a),
        hook_up_ah=mean(run.schedule.hook_up_a),
        lowest_pct=Spread.of(lowest),
        flat_nights=float(_flat_days(hours)[:, days].sum(1).mean()),
        autonomy=Spread.of(lasting) if taken > 0.0 else None,
    )


__all__ = ["Kept", "MonthFigure", "Spread", "Year", "YearRun", "year_of"]
