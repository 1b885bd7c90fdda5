"""A year of use by the hour: what the loads of each season ask for, and when drives and hook-ups charge.

The year starts on a Monday. A season with fewer than seven nights a week is lived in on the last days of the
week; on other days, and in months of no season, only what stands as stand-by takes anything.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.plan.calendar import DAYS as WEEKDAYS
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Season
from loomwright.plan.values import Quantity, Use
from loomwright.tables.use_shapes import ALL_DAY_H, DRIVE_AT, HOOKED_UP, HOURS_OF

from ..loads import count_of
from .days import Energy
from .stores import Store
from .uses import Take

Floats = NDArray[np.float64]
HOURS, YEAR_DAYS = 8760, 365
#: Days of each month of the standard year.
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_OF_DAY = np.repeat(np.arange(12), LENGTHS)
#: "mostly" on a hook-up is so many nights a week. Common practice.
MOSTLY = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class Schedule:
    """A year of a tank; every array has shape (8760,). [A]"""

    load_a: Floats
    drive_a: Floats
    hook_up_a: Floats
    seasons: tuple[str | None, ...]  # of each month


def schedule_of(energy: Energy, store: Store, level: tuple[str, ...]) -> Schedule:
    """Return the year of the level of a tank that is taken most from.

    Parameters
    ----------
    energy : Energy
    store : Store
    level : tuple of str
        Its batteries.
    """
    load, drive, hooked = (np.zeros((YEAR_DAYS, 24)) for _ in range(3))
    seasons = tuple(energy.season_of(month) for month in MONTHS)
    for m, id in enumerate(seasons):
        days = np.flatnonzero(m == MONTH_OF_DAY)
        if id is None:
            load[days] = _standing(energy, store)
            continue
        season = energy.plan.use[id]
        lived = np.isin(days % 7, used_days(season))
        takes = [
            one
            for one in energy.uses.of_day(id, MONTHS[m])
            if one.store == store.id and (not one.level or set(one.level) & set(level))
        ]
        load[days[lived]] = sum((_shape(energy, season, one) for one in takes), np.zeros(24))
        load[days[~lived]] = _standing(energy, store)
        for day in days:
            drive[day] += _driven(energy, season, store, int(day))
            hooked[day] += _hooked(energy, season, int(day))
    return Schedule(load.ravel(), drive.ravel(), hooked.ravel(), seasons)


def used_days(season: Season) -> tuple[int, ...]:
    """Return the days of the week on which a season is lived in, Monday 0: the last ones of it."""
    nights = season.nights.mid if isinstance(season.nights, Quantity) else 7.0
    count = 7 if nights >= 6.5 else min(round(nights) + 1, 7)
    return tuple(range(7 - count, 7))


def _standing(energy: Energy, store: Store) -> Floats:
    """Return what stand-by takes in each hour of a day without people. [A]"""
    if not energy.stores or store.id != energy.stores[0].id:
        return np.zeros(24)
    standing = 0.0
    for part in energy.job.wiring.parts.values():
        running = part.running
        if part.kind == "standby" and hasattr(running, "amount") and isinstance(running.amount, Quantity):
            standing += running.amount.high * count_of(part) if running.amount.unit == "A" else 0.0
    return np.full(24, standing)


def _shape(energy: Energy, season: Season, take: Take) -> Floats:
    """Return what a load takes in each hour of a day. [Ah in the hour]"""
    part = energy.job.wiring.parts.get(take.load)
    use = season.loads.get(take.load)
    if use is not None and use.span is not None:
        return take.ah * _within(use)
    hours = HOURS_OF.get(part.kind, ()) if part is not None and take.hours < ALL_DAY_H else ()
    if not hours or take.hours > len(hours):
        return np.full(24, take.ah / 24.0)
    shape = np.zeros(24)
    shape[list(hours)] = take.ah / len(hours)
    return shape


def _within(use: Use) -> Floats:
    """Return the share of a clock span that lies in each hour, over midnight if need be."""
    start, end = (
        int(text.split(":")[0]) + int(text.split(":")[1]) / 60.0 for text in use.span or ("0:0", "0:0")
    )
    long = (end - start) % 24.0 or 24.0
    return _spread(start, long) / long


def _spread(start_h: float, long_h: float) -> Floats:
    """Return how much of each hour of a day lies within a time from a clock hour on. [h]"""
    found = np.zeros(24)
    at, left = start_h, long_h
    while left > 1e-9:
        part = min(left, np.floor(at) + 1.0 - at)
        found[int(at) % 24] += part
        at, left = at + part, left - part
    return found


def _driven(energy: Energy, season: Season, store: Store, day: int) -> Floats:
    """Return what drives bring in each hour of a day. [A]"""
    amps = sum(one.ah_per_h for one in energy.brings if one.store == store.id)
    found = np.zeros(24)
    for one in season.drives:
        if not _is_on(one.day, day % 7):
            continue
        clock = one.clock or f"{DRIVE_AT}:00"
        start = int(clock.split(":")[0]) + int(clock.split(":")[1]) / 60.0
        found += amps * _spread(start, one.for_s.low / 3600.0)
    return np.minimum(found, amps)


def _is_on(name: str, weekday: int) -> bool:
    if name in ("daily", "weekdays", "weekends"):
        return name == "daily" or (name == "weekdays") == (weekday < 5)
    return WEEKDAYS.index(name) == weekday


def _hooked(energy: Energy, season: Season, day: int) -> Floats:
    """Return what mains chargers bring in each hour of a day with a hook-up. [A]"""
    nights = season.hook_up.nights_per_week
    if nights is None:
        nights = MOSTLY
    found = np.zeros(24)
    if np.floor((day + 1) * nights / 7.0) > np.floor(day * nights / 7.0):
        found[list(HOOKED_UP)] = mains_charger_a(energy)
    return found


def mains_charger_a(energy: Energy) -> float:
    """Return what all mains chargers of a van bring together. [A]"""
    total = 0.0
    for part in energy.job.wiring.parts.values():
        if part.kind in ("mains_charger", "inverter_charger"):
            typed = part.current if part.kind == "mains_charger" else part.charge_current
            total += typed.low * count_of(part) if isinstance(typed, Quantity) else 0.0
    return total


__all__ = ["HOURS", "LENGTHS", "MONTH_OF_DAY", "Schedule", "mains_charger_a", "schedule_of", "used_days"]
