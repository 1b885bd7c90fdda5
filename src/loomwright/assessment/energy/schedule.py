"""A year of use by the hour: what the loads of each season ask for, and when drives and hook-ups charge.

The year starts on a Monday. A season with fewer than seven nights a week is lived in on the last days of the
week; on other days, and in months of no season, only what stands as stand-by takes anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Season
from loomwright.plan.values import Quantity
from loomwright.tables.use_shapes import ALL_DAY_H, DRIVE_AT, HOOKED_UP, HOURS_OF, MOSTLY

from ..loads import count_of
from .clock import hour_of, span_h, spread_h
from .days import Energy
from .driving import weekdays_of
from .stores import Store
from .uses import Take

Floats = NDArray[np.float64]


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
    load, drive, hooked = (np.zeros((DAYS, 24)) for _ in range(3))
    seasons = tuple(energy.season_of(month) for month in MONTHS)
    for m, id in enumerate(seasons):
        days = np.flatnonzero(m == MONTH_OF_DAY)
        if id is None:
            load[days] = _standing(energy, store)
            continue
        season = energy.plan.use[id]
        lived = np.isin(days % 7, used_days(season))
        takes = takes_of(energy, store, level, id, MONTHS[m])
        load[days[lived]] = sum((shape_of(energy, season, one) for one in takes), np.zeros(24))
        load[days[~lived]] = _standing(energy, store)
        for day in days:
            drive[day] += _driven(energy, season, store, int(day))
            hooked[day] += _hooked(energy, season, int(day))
    return Schedule(load.ravel(), drive.ravel(), hooked.ravel(), seasons)


def takes_of(energy: Energy, store: Store, level: tuple[str, ...], season: str, month: str) -> list[Take]:
    """Return what a day of a season takes from a level of a tank."""
    return [
        one
        for one in energy.uses.of_day(season, month)
        if one.store == store.id and (not one.level or set(one.level) & set(level))
    ]


def asked_of(energy: Energy, store: Store, level: tuple[str, ...], shares: Mapping[str, float]) -> Floats:
    """Return the largest share of the loads that are asked for in each hour of a year, shape (8760,).

    Parameters
    ----------
    energy : Energy
    store : Store
    level : tuple of str
        Its batteries.
    shares : Mapping
        By load, any share.
    """
    found = np.zeros((DAYS, 24))
    for m, month in enumerate(MONTHS) if shares else ():
        id = energy.season_of(month)
        if id is None:
            continue
        season = energy.plan.use[id]
        days = np.flatnonzero(m == MONTH_OF_DAY)
        lived = days[np.isin(days % 7, used_days(season))]
        for one in takes_of(energy, store, level, id, month):
            runs = shape_of(energy, season, one) > 0.0
            found[lived] = np.maximum(found[lived], np.where(runs, shares.get(one.load, 0.0), 0.0))
    return found.ravel()


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


def shape_of(energy: Energy, season: Season, take: Take) -> Floats:
    """Return what a load takes in each hour of a day. [Ah in the hour]"""
    part = energy.job.wiring.parts.get(take.load)
    use = season.loads.get(take.load)
    if use is not None and use.span is not None:
        long_h = span_h(use.span)
        return take.ah / long_h * spread_h(hour_of(use.span[0]), long_h)
    hours = HOURS_OF.get(part.kind, ()) if part is not None and take.hours < ALL_DAY_H else ()
    if not hours or take.hours > len(hours):
        return np.full(24, take.ah / 24.0)
    shape = np.zeros(24)
    shape[list(hours)] = take.ah / len(hours)
    return shape


def _driven(energy: Energy, season: Season, store: Store, day: int) -> Floats:
    """Return what drives bring in each hour of a day. [A]"""
    amps = sum(one.ah_per_h for one in energy.brings if one.store == store.id)
    found = np.zeros(24)
    for one in season.drives:
        if day % 7 in weekdays_of(one):
            start = hour_of(one.clock) if one.clock else DRIVE_AT
            found += amps * spread_h(start, one.for_s.low / 3600.0)
    return np.minimum(found, amps)


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
    return sum(amps for _, amps in mains_currents(energy))


def mains_currents(energy: Energy) -> Iterator[tuple[str, float]]:
    """Give each mains charger with what it brings. [A]"""
    for id, part in energy.job.wiring.parts.items():
        if part.kind in ("mains_charger", "inverter_charger"):
            typed = part.current if part.kind == "mains_charger" else part.charge_current
            if isinstance(typed, Quantity):
                yield id, typed.low * count_of(part)


__all__ = [
    "Schedule",
    "mains_charger_a",
    "mains_currents",
    "schedule_of",
    "shape_of",
    "takes_of",
    "used_days",
]
