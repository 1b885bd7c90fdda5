"""A mean day of one month as flows of ampere-hours: what each source brings a tank, what each load takes.

The figures are those of the daily balance (`days`), and with them what hook-ups bring: as much as is missing,
up to what their chargers can. Without a month the one with the smallest margin is taken: that in which full
batteries last least, the drives of its season counted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Season
from loomwright.tables.use_shapes import HOOKED_UP, MOSTLY

from ..record import Assessment
from .days import Day, Energy
from .driving import driven_h_per_day
from .schedule import mains_currents
from .stores import Store, capacity_of, efficiency_of
from .sunshine import snow_leaves, sun_of, sun_on

What = Literal["sun", "driving", "hook-up", "use"]


@dataclass(frozen=True, slots=True)
class Flow:
    """What one part brings or takes in the day.

    Attributes
    ----------
    what : str
        sun, driving, hook-up or use.
    parts : tuple of str
        From the source to the last part before the tank; of a load, from the first part behind the tank to
        the load. A part without an id of its own is left out.
    ah : float
        [Ah]
    """

    what: What
    parts: tuple[str, ...]
    ah: float

    @property
    def part(self) -> str:
        """The part that it is called after: a panel, a charger, a load."""
        return self.parts[-1] if self.what in ("use", "driving") else self.parts[0]


@dataclass(frozen=True, slots=True)
class DayFlows:
    """The day of a tank.

    Attributes
    ----------
    month, season : str
    store : Store
    flows : tuple of Flow
        The largest of each sort first.
    capacity_ah, usable_ah : float
        Of its batteries that are empty first; what of it may be taken at their temperature. [Ah]
    net_ah : float
        What the day takes from them, below 0 if it fills them. [Ah]
    days : float
        So long do full ones last; infinite where as much comes as is taken. [days]
    """

    month: str
    season: str
    store: Store
    flows: tuple[Flow, ...]
    capacity_ah: float
    usable_ah: float
    net_ah: float
    days: float

    @property
    def left_ah(self) -> float:
        """What is left to be used after the day, from full. [Ah]"""
        return min(max(self.usable_ah - max(self.net_ah, 0.0), 0.0), self.usable_ah)

    def sum_ah(self, *what: What) -> float:
        """Return what comes or goes of some sorts. [Ah]"""
        return sum(one.ah for one in self.flows if one.what in what)


def months_of_use(job: Assessment) -> tuple[str, ...]:
    """Return the months that a van is used in, from January on."""
    return tuple(month for _, month in Energy(job).seasons())


def day_flows(job: Assessment, month: str = "") -> DayFlows | None:
    """Return the mean day of a month as flows.

    Parameters
    ----------
    job : Assessment
    month : str
        jan ... dec; "" for the one with the smallest margin.

    Returns
    -------
    DayFlows or None
        None for a van without a house battery, or that is not used then.
    """
    energy = Energy(job)
    if not energy.stores:
        return None
    store = energy.stores[0]
    days = [energy.day(season, m, store, drive=True) for season, m in energy.seasons() if month in ("", m)]
    used = [day for day in days if day.takes]
    if not used:
        return None
    day = min(used, key=lambda one: (one.days, -one.net_ah, MONTHS.index(one.month)))
    return _flows(energy, store, day)


def _flows(energy: Energy, store: Store, day: Day) -> DayFlows:
    season = energy.plan.use[day.season]
    back = efficiency_of(energy.job, store).value
    hooked = list(_hooked(energy, season, max(day.net_ah, 0.0) / back))
    flows = [*_shone(energy, store, day), *_driven(energy, store, season), *hooked, *_taken(day)]
    net = day.net_ah - back * sum(one.ah for one in hooked)
    return DayFlows(
        month=day.month,
        season=day.season,
        store=store,
        flows=tuple(sorted((one for one in flows if one.ah > 0.0), key=lambda one: -one.ah)),
        capacity_ah=sum(capacity_of(energy.job, id)[0] for id in day.level.level),
        usable_ah=day.level.ah,
        net_ah=net,
        days=day.level.ah / net if net > 1e-9 else math.inf,
    )


def _shone(energy: Energy, store: Store, day: Day) -> Iterator[Flow]:
    sun = sun_of(energy.job, day.month)
    snow = snow_leaves(energy.job, day.month)
    for one in sun_on(energy.job, store, sun, energy.arrays) if sun is not None else ():
        parts = (*one.array.panels[:1], *([one.array.regulator] if one.array.regulator else []))
        yield Flow("sun", parts, snow * one.ah)


def _driven(energy: Energy, store: Store, season: Season) -> Iterator[Flow]:
    hours = driven_h_per_day(season)
    for one in energy.brings:
        if one.store == store.id:
            yield Flow("driving", (one.part,), hours * one.ah_per_h)


def _hooked(energy: Energy, season: Season, missing_ah: float) -> Iterator[Flow]:
    """Give what mains chargers bring in the mean day of a week: what is missing, as far as they can."""
    nights = season.hook_up.nights_per_week
    hours = (MOSTLY if nights is None else nights) / 7.0 * len(HOOKED_UP)
    chargers = list(mains_currents(energy))
    could = hours * sum(amps for _, amps in chargers)
    for id, amps in chargers:
        yield Flow("hook-up", (id,), hours * amps * min(missing_ah / could, 1.0) if could > 0.0 else 0.0)


def _taken(day: Day) -> Iterator[Flow]:
    """Give what loads take, the starts of one with the rest of it."""
    by_load: dict[tuple[str, ...], float] = {}
    for take in day.takes:
        parts = tuple(id for id in (take.through, take.load) if id)
        by_load[parts] = by_load.get(parts, 0.0) + take.ah
    for parts, ah in by_load.items():
        yield Flow("use", parts or ("",), ah)


__all__ = ["DayFlows", "Flow", "What", "day_flows", "months_of_use"]
