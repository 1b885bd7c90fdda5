"""What one habit brings: ampere-hours a day and flat nights, in the same weather.

Each habit changes the hours of some loads and nothing else; the years are run again. A fridge that is off by
night makes up for most of it in the morning: only that it is less cold inside saves anything, and that its
load moves towards the sun. One degree warmer inside is a share of the difference to the air about the box. An
inverter is switched off while nothing runs behind it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Season
from loomwright.tables.thermostats import BOX_LAG_H, DUTY_BY_C, FRIDGE_C

from .air import inside_c
from .days import Energy
from .schedule import Schedule, shape_of, takes_of, used_days
from .stores import Store
from .uses import Take

Floats = NDArray[np.float64]
#: The hours of the night, and those in which a fridge makes up for it.
NIGHT, MAKES_UP = (22, 23, 0, 1, 2, 3, 4, 5, 6), (7, 8, 9, 10, 11, 12)
COOLING, _INVERTERS = tuple(DUTY_BY_C), ("inverter", "inverter_charger")


@dataclass(frozen=True, slots=True)
class Habit:
    """One habit, and what it brings.

    Attributes
    ----------
    habit : str
        fridge_off_at_night, fridge_one_degree_warmer or inverter_off_when_unused.
    parts : tuple of str
        Those it is about.
    saved_ah : float
        Less taken on a mean day of use. [Ah]
    flat_nights : float
        In a year, with the habit.
    warmer_c : float
        So much warmer gets what is in the fridge, at most. [°C]
    """

    habit: str
    parts: tuple[str, ...]
    saved_ah: float
    flat_nights: float
    warmer_c: float = 0.0

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {
            "habit": self.habit,
            "parts": list(self.parts),
            "saved_ah_per_day": self.saved_ah,
            "flat_nights_per_year": self.flat_nights,
            "warmer_c": self.warmer_c,
        }


class Habits:
    """The habits of a van.

    Parameters
    ----------
    energy : Energy
    store : Store
    level : tuple of str
        The batteries that are empty first.
    schedule : Schedule
        Its year as it is used now.
    """

    def __init__(self, energy: Energy, store: Store, level: tuple[str, ...], schedule: Schedule) -> None:
        self.energy, self.store, self.level, self.schedule = energy, store, level, schedule

    def tried(self, before: float, nights: Callable[[Floats], float]) -> Iterator[Habit]:
        """Give the habits that the van has parts for.

        Parameters
        ----------
        before : float
            Its flat nights a year now; at 0 nothing is run again.
        nights : callable
            Gives the flat nights a year of a load, shape (8760,).
        """
        for name, kinds, change in (
            ("fridge_off_at_night", COOLING, self._off_at_night),
            ("fridge_one_degree_warmer", COOLING, self._warmer),
            ("inverter_off_when_unused", _INVERTERS, self._unused),
        ):
            parts, load, saved = self._changed(kinds, change)
            if saved >= 0.05:
                flat = nights(load) if before > 0.0 else 0.0
                yield Habit(name, parts, saved, flat, self.rise_c if change == self._off_at_night else 0.0)

    def warmer(self, celsius: float) -> Floats:
        """Return the load of the year with what cools held so much warmer, shape (8760,). [A]"""
        return self._changed(COOLING, partial(self._warmer, by_c=celsius))[1]

    def _changed(
        self, kinds: tuple[str, ...], change: Callable[[str, str, Take, Floats], Floats]
    ) -> tuple[tuple[str, ...], Floats, float]:
        """Return the parts of a habit, the load of the year with it, and what a day of use takes less."""
        load = self.schedule.load_a.reshape(DAYS, 24).copy()
        parts: dict[str, None] = {}
        lived_days, saved = 0, 0.0
        for m, id in enumerate(self.schedule.seasons):
            if id is None:
                continue
            season: Season = self.energy.plan.use[id]
            days = np.flatnonzero(m == MONTH_OF_DAY)
            lived = days[np.isin(days % 7, used_days(season))]
            lived_days += len(lived)
            for take in takes_of(self.energy, self.store, self.level, id, MONTHS[m]):
                part = self.energy.job.wiring.parts.get(take.load)
                if part is not None and part.kind in kinds:
                    now = shape_of(self.energy, season, take)
                    then = change(id, MONTHS[m], take, now)
                    parts[take.load] = None
                    load[lived] += then - now
                    saved += len(lived) * float((now - then).sum())
        return tuple(parts), np.maximum(load, 0.0).ravel(), saved / max(lived_days, 1)

    def _off_at_night(self, season: str, month: str, take: Take, hours: Floats) -> Floats:
        """Return a fridge's hours without the night; most of what comes in meanwhile is made up for."""
        then, night = hours.copy(), list(NIGHT)
        back = BOX_LAG_H / len(night) * (1.0 - math.exp(-len(night) / BOX_LAG_H))
        missed = float(then[night].sum())
        then[night] = 0.0
        then[list(MAKES_UP)] += back * missed / len(MAKES_UP)
        return then

    def _warmer(self, season: str, month: str, take: Take, hours: Floats, by_c: float = 1.0) -> Floats:
        """Return a fridge's hours held a degree warmer, or more: what comes in goes with the difference."""
        apart = inside_c(self.energy.job, self.energy.plan.use[season], month) - FRIDGE_C
        return np.asarray(hours * (max(apart - by_c, 0.0) / apart if apart > 0.0 else 1.0))

    def _unused(self, season: str, month: str, take: Take, hours: Floats) -> Floats:
        """Return an inverter's own hours without those in which nothing runs behind it."""
        behind = self.energy.uses.of_day(season, month)
        used = min(sum(one.hours for one in behind if one.through == take.load), take.hours)
        return np.asarray(hours * (used / take.hours if take.hours > 0.0 else 0.0))

    @property
    def rise_c(self) -> float:
        """How much warmer a fridge gets that is off for the night, in the warmest month of use. [°C]"""
        uses = self.energy.plan.use
        air = [inside_c(self.energy.job, uses[season], month) for season, month in self.energy.seasons()]
        return max(max(air, default=FRIDGE_C) - FRIDGE_C, 0.0) * (1.0 - math.exp(-len(NIGHT) / BOX_LAG_H))


__all__ = ["COOLING", "MAKES_UP", "NIGHT", "Habit", "Habits"]
