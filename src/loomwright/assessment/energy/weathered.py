"""What years of weather do to a van: the sun of each hour in ampere-hours, the warmth of its batteries.

The weather gives the course of the hours and the spread between years; its level is that of the daily
balance: sun hours and yields as the plan states them, else those of the climate and the tables.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.climate import Climate
from loomwright.energy.panels import Panel, output, snowed
from loomwright.energy.standard_year import DAYS_IN_MONTH, HOURS, MONTH_OF_HOUR
from loomwright.energy.weather import Weather, years
from loomwright.plan.calendar import MONTHS
from loomwright.plan.values import Quantity
from loomwright.tables.battery_energy import CAPACITY_BY_C
from loomwright.tables.living import ROOM_C

from ..banks_states import chemistry_of, points_of
from ..housing import spot_of
from ..record import Assessment
from ..zones import OPEN_AIR, lag_h
from .air import air_of, climate_of, of_month
from .days import Energy
from .held import held_of, is_held
from .own_weather import own_weather, own_years
from .stores import Store
from .sunshine import Array, sun_of, sun_on

Floats = NDArray[np.float64]


def weather_of(job: Assessment, climate: Climate, count: int, seed: int) -> Weather:
    """Return years of weather, worked out once for each: of the plan's own file, else of its climate."""
    own = own_weather(job.plan)
    return _synthetic(climate, count, seed) if own is None else own_years(own, count, seed)


@lru_cache(maxsize=4)
def _synthetic(climate: Climate, count: int, seed: int) -> Weather:
    return years(climate, count, seed)


def sun_a(energy: Energy, store: Store, weather: Weather) -> Floats:
    """Return what the sun brings to a tank by the hour, the roof clear, shape (years, 8760). [A]"""
    total = np.zeros(weather.air_c.shape)
    for array in energy.arrays:
        if array.store == store.id:
            course = course_of(energy.job, store, array, weather)
            amps = course * by_month_a(energy.job, store, array, course)[MONTH_OF_HOUR]
            total += np.minimum(amps, most_a(energy.job, array))
    return total


def course_of(job: Assessment, store: Store, array: Array, weather: Weather) -> Floats:
    """Return the course of an array's sun, as it lies, for each watt of its rating, shape (years, 8760)."""
    panel = job.wiring.parts[array.panels[0]]
    tilt = panel.tilt.mid if isinstance(panel.tilt, Quantity) else 0.0
    azimuth = panel.azimuth.mid if isinstance(panel.azimuth, Quantity) else 180.0
    out = output(weather, Panel(tilt_deg=tilt, azimuth_deg=azimuth))
    held = held_of(job, array.panels[0], store) if is_held(job, array.regulator) else None
    return out.w_per_wp if held is None else held.hours_a(out)


def by_month_a(job: Assessment, store: Store, array: Array, course: Floats) -> Floats:
    """Return what brings a course to the level of the daily balance, shape (12,). [A per unit of it]"""
    by_month: Floats = np.zeros(12)
    for m, month in enumerate(MONTHS):
        sun = sun_of(job, month)
        asked = sum(one.ah for one in sun_on(job, store, sun, (array,))) if sun is not None else 0.0
        comes = float(course[:, m == MONTH_OF_HOUR].sum()) / (DAYS_IN_MONTH[m] * len(course))
        by_month[m] = asked / comes if comes > 0.0 else 0.0
    return by_month


def most_a(job: Assessment, array: Array) -> float:
    """Return what an array brings at most: its regulator's current, if the plan says it. [A]"""
    regulator = job.wiring.parts.get(array.regulator)
    if regulator is not None and isinstance(regulator.current, Quantity):
        return regulator.current.low
    return math.inf


def snow_leaves(energy: Energy, weather: Weather) -> Floats:
    """Return what snow leaves of each hour's sun: little on the coldest days of months that freeze."""
    site = energy.plan.site
    if site is None or not isinstance(site.snow_days, Quantity) or site.snow_days.high <= 0.0:
        return np.ones((1, 1))
    share = site.snow_days.high
    leaves = site.snow_leaves.low if isinstance(site.snow_leaves, Quantity) else 0.1
    airs = [air_of(energy.job, month) for month in MONTHS]
    days = tuple(
        share * length if air is None or air.low_c <= 0.0 else 0.0
        for air, length in zip(airs, DAYS_IN_MONTH, strict=True)
    )
    return np.where(np.repeat(snowed(weather.air_c, days), 24, axis=-1), leaves, 1.0)


def air_c(energy: Energy, weather: Weather) -> Floats:
    """Return the air by the hour: the weather's, brought to what the plan says of each month. [°C]"""
    shift = np.zeros(12)
    climate = climate_of(energy.job)
    for m, month in enumerate(MONTHS):
        air = air_of(energy.job, month)
        if air is not None and climate is not None:
            shift[m] = air.mean_c - climate.air_c[m]
    return np.asarray(weather.air_c + shift[MONTH_OF_HOUR])


def battery_c(energy: Energy, battery: str, weather: Weather) -> Floats:
    """Return how warm a battery is by the hour: with people, or after the air with its place's lag. [°C]"""
    place = spot_of(energy.job.wiring, battery)
    if place is not None and place.temperature is not None:
        typed = [of_month(place.temperature, month) for month in MONTHS]
        known = np.array([one.low for one in typed if one is not None])
        if len(known) == len(MONTHS):
            return np.asarray(known[MONTH_OF_HOUR][None, :])
    air = air_c(energy, weather)
    if place is None or not OPEN_AIR & set(place.zones):
        rooms = np.full(12, ROOM_C)
        for m, month in enumerate(MONTHS):
            season = energy.season_of(month)
            typed_c = energy.plan.use[season].rooms if season is not None else None
            rooms[m] = typed_c.low if isinstance(typed_c, Quantity) else ROOM_C
        return np.asarray(np.maximum(air, rooms[MONTH_OF_HOUR]))
    return lagged(air, lag_h(place))


def lagged(air: Floats, lag_h: float) -> Floats:
    """Return what follows the air with a time constant, shape as the air. [°C]"""
    if lag_h <= 0.0:
        return air
    out, step = np.empty_like(air), 1.0 - np.exp(-1.0 / lag_h)
    now = air[:, :24].mean(-1)
    for t in range(HOURS):
        now = now + step * (air[:, t] - now)
        out[:, t] = now
    return out


def capacity_left(energy: Energy, battery: str, celsius: Floats) -> Floats:
    """Return what the cold leaves of a battery's capacity by the hour. [share]"""
    part = energy.job.wiring.parts[battery]
    typed = points_of(part.capacity_at) if part.capacity_at is not None else []
    only = part.capacity_at.only() if part.capacity_at is not None else None
    if isinstance(only, Quantity):
        return np.full(celsius.shape, only.low)
    points = typed or CAPACITY_BY_C[chemistry_of(part)]
    return np.asarray(np.interp(celsius, [at for at, _ in points], [share for _, share in points]))


__all__ = [
    "air_c",
    "battery_c",
    "by_month_a",
    "capacity_left",
    "course_of",
    "lagged",
    "most_a",
    "snow_leaves",
    "sun_a",
    "weather_of",
]
