"""The hours of a van through many years of weather: what is held, served and missed, how long it holds out.

A year runs from full on the first of January; what is left at the end of December is not carried on. Autonomy
is counted from full, without drives and hook-ups, from midnight of five days of each month of each year,
until the first load is cut. It lies near the daily balance where a stay lasts two days and more and the sun
brings less than four fifths of what is taken; beyond, the hour of the day and dull spells make it shorter.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.spells import dull_days, longer, of_days
from loomwright.energy.standard_year import DAYS_IN_MONTH, HOURS, MONTH_OF_DAY, MONTH_OF_HOUR
from loomwright.energy.tank import DUST_AH, Hours, Tanks, beside, is_fast, one_tank, tanks
from loomwright.errors import NoYearError
from loomwright.plan.calendar import MONTHS

from ..record import Assessment
from .air import climate_of
from .answers import stops_of
from .days import DaysPromise, Energy
from .filled import tank_of
from .frost import Sources, frost_of
from .habits import Habit, Habits
from .schedule import Schedule, asked_of, schedule_of
from .stores import usable_of
from .weathered import battery_c, capacity_left, snow_leaves, sun_a, weather_of
from .year_record import Kept

Floats = NDArray[np.float64]
Progress = Callable[[int, int], None]
#: Autonomy is counted from these days of a month, and no further than so many days.
STARTS, LONGEST_DAYS = (2, 8, 14, 20, 26), 30
#: So few years are run sooner one after the other in plain Python than side by side.
FEW = 6
#: So many stays are counted side by side: what they hold at once is about 70 MB.
_TOGETHER = 2000


@dataclass(frozen=True, slots=True)
class Supposed:
    """What weather and habits are supposed to be, beside the plan.

    Attributes
    ----------
    dull_days : int
        Each spell of dull days is so many days longer (`energy.spells`).
    warmer_c : float
        What cools is held so much warmer. [°C]
    """

    dull_days: int = 0
    warmer_c: float = 0.0


AS_PLANNED = Supposed()


class YearRun:
    """The hours of a van's years.

    Parameters
    ----------
    job : Assessment
    count : int
        How many years.
    seed : int
    supposed : Supposed
        What weather and habits are supposed to be.

    Raises
    ------
    NoYearError
        The plan has no house battery, no season of use, or no latitude on land.
    """

    def __init__(
        self, job: Assessment, count: int = 100, seed: int = 0, supposed: Supposed = AS_PLANNED
    ) -> None:
        self.job, self.count, self.seed = job, count, seed
        self.energy = Energy(job)
        if not self.energy.stores:
            raise NoYearError("the plan has no house battery: there is nothing to run through a year")
        if not job.plan.use:
            raise NoYearError("the plan says nothing of its use: write at least one season under `use`")
        climate = climate_of(job)
        site = job.plan.site
        if site is not None and site.weather is not None and job.plan.weather_data is None:
            raise NoYearError(f"the weather file {site.weather} was not read: open the plan from its folder")
        if climate is None:
            raise NoYearError("the plan's site has no latitude on land: write `site: {lat: 51.5, lon: -1.2}`")
        self.climate = climate
        self.store = self.energy.stores[0]
        self.level = self._first_empty()
        self.weather = weather_of(job, climate, count, seed)
        self.schedule: Schedule = schedule_of(self.energy, self.store, self.level)
        if supposed.warmer_c > 0.0:
            load_a = Habits(self.energy, self.store, self.level, self.schedule).warmer(supposed.warmer_c)
            self.schedule = replace(self.schedule, load_a=load_a)
        self.tank = tank_of(job, self.store, self.level)
        self.clear_a = sun_a(self.energy, self.store, self.weather)
        if supposed.dull_days > 0:
            whose = longer(dull_days(self.weather.ghi_w_m2), supposed.dull_days)
            self.clear_a = of_days(self.clear_a, whose)
        shone = self.clear_a * snow_leaves(self.energy, self.weather)
        celsius = battery_c(self.energy, self.level[0], self.weather)
        come = Sources(shone, self.schedule.drive_a[None, :], self.schedule.hook_up_a[None, :])
        self.frost = frost_of(self.energy, self.store, self.level, celsius, come)
        self.sun_a, self.shone_a = self.frost.sources.sun_a, shone
        usable = usable_of(job, self.level, None).ah * self.frost.gives
        left = capacity_left(self.energy, self.level[0], self.frost.battery_c)
        self.floor_ah = np.maximum(self.tank.capacity_ah - usable * left, self._first_cut_ah())
        self.may_charge = self.frost.may_charge

    def _first_cut_ah(self) -> Floats:
        """Return what is in the battery when the first load that runs is cut by its own volts, by hour."""
        shares = {one.load: one.charge_pct / 100.0 for one in stops_of(self.job) if one.why == "cut-out"}
        return self.tank.capacity_ah * asked_of(self.energy, self.store, self.level, shares)[None, :]

    def _first_empty(self) -> tuple[str, ...]:
        days = [self.energy.day(s, m, self.store, drive=False) for s, m in self.energy.seasons()]
        taken = [day for day in days if day.takes]
        return min(taken, key=lambda day: day.days).level.level if taken else self.store.levels[0]

    def whole(self, load_a: Floats | None = None) -> Hours:
        """Return the hours of every year, shape (years, 8760); with another load, if one is given."""
        load, source = self.schedule.load_a if load_a is None else load_a, self.frost.sources.all_a
        return self._run(load[None, :], source, self.floor_ah, self.may_charge, self.count)

    def habits(self, before: float) -> tuple[Habit, ...]:
        """Return what single habits would bring, `before` flat nights a year being there now."""
        habits = Habits(self.energy, self.store, self.level, self.schedule)
        return tuple(habits.tried(before, lambda load: float(flat_days(self.whole(load)).sum(1).mean())))

    def _run(self, load: Floats, source: Floats, floor: Floats, share: Floats, n: int) -> Hours:
        load, source, floor, share = (
            np.broadcast_to(one, (n, one.shape[1])) for one in (load, source, floor, share)
        )
        start = np.full(n, self.tank.capacity_ah)
        if n <= FEW and not is_fast():
            rows = zip(load.tolist(), source.tolist(), floor.tolist(), share.tolist(), strict=True)
            return beside([one_tank(self.tank, *row, self.tank.capacity_ah) for row in rows])
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
            mean = self.shone_a[:, month == MONTH_OF_HOUR].mean() * 24.0
            source = self.sun_a * ((one.day.sun_ah or 0.0) / mean if mean > 0.0 else 0.0)
        if one.drive:
            source = source + self.frost.sources.drive_a
        days = self.lasts([month], source, max(LONGEST_DAYS, math.ceil(one.asked) + 1))[0]
        return Kept(one, 100.0 * float((days >= one.asked - 1e-9).mean()), float(np.percentile(days, 10)))


def flat_days(hours: Hours) -> NDArray[np.bool_]:
    """Return on which days, noon to noon, something is cut; shape (years, 365)."""
    missed = np.roll(hours.missed_ah, -12, axis=1).reshape(len(hours.missed_ah), 365, 24)
    return np.asarray((missed > DUST_AH).any(-1))


__all__ = ["AS_PLANNED", "LONGEST_DAYS", "Progress", "Supposed", "YearRun", "flat_days"]
