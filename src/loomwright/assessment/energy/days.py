"""The daily balance of each season, and how many days full batteries last in it.

Days = what may be used / (what is taken - what comes back out of what is brought), level by level: batteries
in series are as good as the one that is taken most from. This is the mean day of a month; spells of dull
weather are for a year counted by the hour.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Promise, Season
from loomwright.plan.values import Quantity
from loomwright.steps import Given, Step

from ..record import Assessment
from .air import battery_c
from .driving import Brings, brings, driven_h_per_day, driven_step
from .stores import Store, Usable, efficiency_of, stores_of, usable_of
from .sunshine import Array, Yielded, arrays_of, snow_leaves, sun_of, sun_on
from .uses import Take, Uses


@dataclass(frozen=True, slots=True)
class Day:
    """A day of a season in a month, for one tank.

    Attributes
    ----------
    season, month, store : str
    takes : tuple of Take
        What its loads take.
    taken_ah : float
        All of them together, without what is tapped from a part of the tank. [Ah]
    sun_ah : float or None
        From the sun, the roof clear; None if nobody knows how much sun there is. [Ah]
    snow : float
        What snow leaves of it, as a mean.
    driven_ah : float
        From driving, the week's mean. [Ah]
    days : float
        How long full batteries last; infinite if as much comes as is taken. [days]
    level : Usable
        The level that is empty first.
    net_ah : float
        What that level loses in the day, below 0 if it gains. [Ah]
    steps : tuple of Step
        The sum.
    unknown : tuple of str
    """

    season: str
    month: str
    store: str
    takes: tuple[Take, ...]
    taken_ah: float
    sun_ah: float | None
    snow: float
    driven_ah: float
    days: float
    level: Usable
    net_ah: float
    steps: tuple[Step, ...]
    unknown: tuple[str, ...]


class Energy:
    """The days of one van.

    Parameters
    ----------
    job : Assessment
    """

    def __init__(self, job: Assessment) -> None:
        self.job, self.plan = job, job.plan

    @cached_property
    def stores(self) -> tuple[Store, ...]:
        """The tanks."""
        return stores_of(self.job)

    @cached_property
    def uses(self) -> Uses:
        """What its seasons take."""
        return Uses(self.job)

    @cached_property
    def arrays(self) -> tuple[Array, ...]:
        """What the sun charges with."""
        return arrays_of(self.job, self.stores)

    @cached_property
    def brings(self) -> tuple[Brings, ...]:
        """What driving charges with."""
        return brings(self.job, self.stores)

    def season_of(self, month: str) -> str | None:
        """Return the season a month belongs to: the first that names it."""
        return next((id for id, season in self.plan.use.items() if month in season.months), None)

    def seasons(self) -> Iterator[tuple[str, str]]:
        """Give season and month, through the year."""
        for month in MONTHS:
            season = self.season_of(month)
            if season is not None:
                yield season, month

    def day(self, season_id: str, month: str, store: Store, *, sun: str = "average", drive: bool) -> Day:
        """Return a day of a season.

        Parameters
        ----------
        season_id, month : str
        store : Store
        sun : str
            none, rainy, average or good.
        drive : bool
            True with the drives of the season.
        """
        season = self.plan.use[season_id]
        takes = tuple(one for one in self.uses.of_day(season_id, month) if one.store == store.id)
        shone = self._shone(month, store, sun)
        snow = snow_leaves(self.job, month) if sun == "average" else 1.0
        driven = self._driven(season, store) if drive else ()
        sun_ah = None if shone is None else sum(one.ah for one in shone)
        driven_ah = sum(step.value for step in driven)
        common = sum(one.ah for one in takes if not one.level)
        given = [step for one in shone or () for step in one.steps] + list(driven)
        worst = self._worst(season, month, store, takes, common, snow * (sun_ah or 0.0) + driven_ah)
        level, net_ah, days, lasts = worst
        unknown = [field for one in takes for field in one.unknown]
        unknown += [field for one in shone or () for field in one.unknown] + list(level.unknown)
        steps = (*(step for one in takes for step in one.steps), *given, *level.steps, *lasts)
        return Day(
            season_id, month, store.id, takes, common, sun_ah, snow, driven_ah, days, level, net_ah, steps,
            tuple(dict.fromkeys(unknown)),
        )  # fmt: skip

    def _shone(self, month: str, store: Store, kind: str) -> tuple[Yielded, ...] | None:
        """Return what each array of a tank brings; None if it has one and nobody knows the sun."""
        if not any(one.store == store.id for one in self.arrays):
            return ()
        sun = sun_of(self.job, month, kind)
        return None if sun is None else tuple(sun_on(self.job, store, sun, self.arrays))

    def _driven(self, season: Season, store: Store) -> tuple[Step, ...]:
        hours = driven_h_per_day(season)
        if hours <= 0.0:
            return ()
        return tuple(driven_step(one, hours) for one in self.brings if one.store == store.id)

    def _worst(
        self, season: Season, month: str, store: Store, takes: tuple[Take, ...], common: float, came_ah: float
    ) -> tuple[Usable, float, float, tuple[Step, ...]]:
        """Return the level that is empty first, what it loses a day, how long it lasts, and the sum."""
        found = []
        back = efficiency_of(self.job, store)
        for batteries in store.levels:
            usable = usable_of(self.job, batteries, battery_c(self.job, batteries[0], season, month))
            own = sum(one.ah for one in takes if set(one.level) & set(batteries))
            out = common + own
            given = (Given("Q", out, "Ah"), Given("η", back.value, ""), Given("Q_in", came_ah, "Ah"))
            net = Step(
                "Q_n", "Q - η * Q_in", given, out - back.value * came_ah, "Ah", back.source, "lost in a day"
            )
            days = usable.ah / net.value if net.value > 0.0 else math.inf
            shares = (Given("Q_u", usable.ah, "Ah"), Given("Q_n", net.value, "Ah"))
            last = Step("D", "Q_u / Q_n", shares, days, "d", None, "full batteries last")
            found.append((usable, net.value, days, (net, last) if math.isfinite(days) else (net,)))
        return min(found, key=lambda one: (one[2], -one[1]))


@dataclass(frozen=True, slots=True)
class DaysPromise:
    """A promise of days, the day of its season that is worst for it, and one of each of its months. [days]"""

    id: str
    asked: float
    sun: str
    drive: bool
    day: Day
    months: tuple[Day, ...]


def day_promises(job: Assessment) -> Iterator[DaysPromise]:
    """Give the promises of days whose season and sun are known."""
    energy = Energy(job)
    for id, promise in job.plan.promises.items():
        if isinstance(promise.days, Quantity) and energy.stores:
            drive = promise.drive is True
            days = [
                energy.day(season, month, energy.stores[0], sun=promise.sun or "average", drive=drive)
                for season, month in _asked(energy, promise)
            ]
            known = [day for day in days if day.sun_ah is not None and day.takes]
            if known:
                worst = min(known, key=lambda day: day.days)
                sun = promise.sun or "average"
                yield DaysPromise(id, promise.days.high, sun, drive, worst, tuple(known))


def _asked(energy: Energy, promise: Promise) -> Iterator[tuple[str, str]]:
    """Give season and month that a promise holds in: its own months, else those of its season, else all."""
    seasons = [promise.season] if promise.season is not None else list(energy.plan.use)
    for season in seasons:
        for month in promise.months or energy.plan.use[season].months:
            yield season, month


def days_of_use(job: Assessment) -> tuple[Day, ...]:
    """Return the mean day of each month of use, with the drives of its season, for the largest tank."""
    energy = Energy(job)
    if not energy.stores:
        return ()
    days = (energy.day(season, month, energy.stores[0], drive=True) for season, month in energy.seasons())
    return tuple(day for day in days if day.takes)


def lasting_seasons(job: Assessment) -> Iterator[Day]:
    """Give for each season that does without a hook-up the month in which full batteries last least."""
    energy = Energy(job)
    for id, season in job.plan.use.items():
        if (
            not energy.stores
            or season.hook_up.nights_per_week is None
            or season.hook_up.nights_per_week >= 7.0
        ):
            continue
        days = [energy.day(id, month, energy.stores[0], drive=True) for month in season.months]
        known = [day for day in days if day.takes and day.sun_ah is not None]
        if known:
            yield min(known, key=lambda day: day.days)


__all__ = ["Day", "DaysPromise", "Energy", "day_promises", "days_of_use", "lasting_seasons"]
