"""Hours of weather: the record that a panel reads, and synthetic years made from a climate.

A year has 8760 hours and no 29 February; hour 0 is the first of January 1, each the mean of its sixty
minutes. Synthetic years run in local solar time (the sun is highest at 12; summer time and the place in its
time zone move clocks by up to two hours against it); weather files run in the standard time of their place.

How a year is made: daily clearness from the Markov library (`days`), scaled to the sun of the month; hours of
a day by the autoregressive model of Aguiar and Collares-Pereira 1992 under the clear sky of Ineichen; the
diffuse share by Erbs; air from the monthly means, with days that are too warm or too cold for a while.

One seed gives one weather: year 7 of a hundred is year 7 of eight. Sun is rounded to 0.1 W/m² and air to 0.01
°C, so that machines which round the last digit of a sine in another way come to the same bytes.

Sources: Aguiar and Collares-Pereira 1992, Solar Energy 49(3), 167-174 (one source); Erbs, Klein and Duffie
1982, Solar Energy 28(4), 293-302 (digits from memory, compared with pvlib in the tests); clear sky of
Ineichen and Perez 2002 with the turbidity map of pvlib; spread between years and of the air: see
`docs/methods/weather.md`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import ModuleType
from typing import Final, Literal

import numpy as np

from loomwright.energy.climate import Climate
from loomwright.energy.days import MOST_KT, drawn, sums_met
from loomwright.energy.sun import (
    DAYS,
    DAYS_IN_MONTH,
    MONTH_OF_DAY,
    SOLAR_CONSTANT_W_M2,
    Floats,
    clearness,
    monthly_means,
    nearness,
    sun_vector,
)
from loomwright.errors import MissingExtra

HOURS: Final = 24 * DAYS
#: Month (0 to 11) of each hour, shape (8760,).
MONTH_OF_HOUR: Final = np.repeat(MONTH_OF_DAY, 24)
#: The sun of one year against the mean of many, standard deviation; common to its months. (from memory)
YEAR_SPREAD: Final = 0.03
#: A cloudy hour lasts: correlation of an hour's clearness, less its day's course, with that of the hour
#: before. Graham and Hollands 1990, Solar Energy 44(6), 333-341, abstract: 0.54; the model used here
#: for the rest has about 0.4, which came out too restless beside three hourly years of stations.
HOUR_STAYS: Final = 0.54
#: Within an hour the sun is followed in so many steps.
_STEPS: Final = 6
#: No hour is brighter than this share of the clear sky: clouds' edges throw light, minutes only.
CLEAR_SHARE: Final = 1.05


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sun:
    """Where the sun stands in each hour of a year.

    Attributes
    ----------
    east, north, up : ndarray, shape (8760,)
        Direction in the middle of the part of the hour with the sun up; `up` is the sine of its elevation, 0
        in hours without any sun.
    outside_w_m2 : ndarray, shape (8760,)
        On a level plane outside the atmosphere, mean of the hour. [W/m²]
    beam_outside_w_m2 : ndarray, shape (8760,)
        On a plane that faces the sun outside the atmosphere. [W/m²]
    """

    east: Floats
    north: Floats
    up: Floats
    outside_w_m2: Floats
    beam_outside_w_m2: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weather:
    """Years of hours.

    Attributes
    ----------
    ghi_w_m2, dhi_w_m2 : ndarray, shape (count, 8760)
        Sun on a level plane, all of it and what of it comes from the sky. [W/m²]
    air_c : ndarray, shape (count, 8760)
        Temperature of the air. [°C]
    sun : Sun
        Where the sun stands.
    clock : str
        "solar" (highest at 12) or "standard" (of the time zone, without summer time).
    taken_from : str
        In words.
    """

    ghi_w_m2: Floats
    dhi_w_m2: Floats
    air_c: Floats
    sun: Sun
    clock: Literal["solar", "standard"]
    taken_from: str

    @property
    def count(self) -> int:
        """How many years."""
        return int(self.ghi_w_m2.shape[0])

    def sun_by_month(self) -> Floats:
        """Return the mean sun of each month, shape (count, 12). [kWh/m²/day]"""
        return monthly_means(self.ghi_w_m2.reshape(-1, DAYS, 24).sum(-1) / 1000)


def years(
    climate: Climate,
    count: int = 1,
    seed: int = 0,
    *,
    sun_hours: Sequence[float] | None = None,
    alike: bool = False,
) -> Weather:
    """Make synthetic years of a place.

    Parameters
    ----------
    climate : Climate
        Its months.
    count : int
        How many years.
    seed : int
        Another seed, another weather; the same, the same.
    sun_hours : sequence of 12 float, optional
        Sun of each month to be met instead of the climate's, as a person knows them for a panel lying flat.
        [kWh/m²/day]
    alike : bool
        Give every year the same sun in a month, that of the climate; else months vary from year to year.

    Returns
    -------
    Weather
        In local solar time.

    Raises
    ------
    MissingExtra
        pvlib, which knows the clear sky, is not installed.
    """
    ghi = np.asarray(climate.ghi_kwh_m2_day if sun_hours is None else sun_hours, dtype=np.float64)
    sun = solar_time(climate.lat_deg)
    clear = clear_sky(climate.lat_deg, climate.lon_deg, climate.altitude_m)
    draws = [_draws(seed, year) for year in range(count)]
    uniform, spread, hourly, days = (np.stack(parts) for parts in zip(*draws, strict=True))
    outside = sun.outside_w_m2.reshape(DAYS, 24)
    daily = outside.sum(-1) / 1000
    full = clear.reshape(DAYS, 24).sum(-1) / 1000
    ceiling = np.where(daily > 0.01, full / np.maximum(daily, 0.01), 0.0)
    kt_month = np.array(clearness(tuple(ghi), climate.lat_deg))
    wanted = ghi * (np.ones((count, 12)) if alike else _factors(kt_month, spread))
    kt_by_month = np.clip(kt_month * wanted / np.maximum(ghi, 1e-9), 0.0, MOST_KT)
    kt = sums_met(drawn(kt_by_month, uniform), daily, wanted, ceiling)
    level = _hours_of_days(kt, sun, clear, hourly)
    air = _air(climate, kt, kt_by_month, days)
    diffuse = level * diffuse_share(level / np.maximum(sun.outside_w_m2, 1e-3))
    return Weather(
        ghi_w_m2=np.round(level, 1),
        dhi_w_m2=np.minimum(np.round(diffuse, 1), np.round(level, 1)),
        air_c=np.round(air, 2),
        sun=sun,
        clock="solar",
        taken_from=f"{count} synthetic years, seed {seed}, from {climate.taken_from}"
        + ("" if sun_hours is None else "; sun of months as given"),
    )


# Sun and clear sky


@lru_cache(maxsize=8)
def solar_time(lat_deg: float) -> Sun:
    """Return where the sun stands in each hour of a year, in local solar time.

    Parameters
    ----------
    lat_deg : float
        North positive. [°]

    Returns
    -------
    Sun
        Its directions, and the sun outside the atmosphere.
    """
    day = np.repeat(np.arange(1.0, DAYS + 1), 24)[:, None]
    hour = np.tile(np.arange(24.0), DAYS)[:, None] + (np.arange(_STEPS) + 0.5)[None, :] / _STEPS
    parts = sun_vector(lat_deg, day, (hour - 12) * np.pi / 12)
    return followed(parts, nearness(day[:, 0]))


def followed(parts: tuple[Floats, Floats, Floats], near: Floats) -> Sun:
    """Return the sun of each hour from several looks at it.

    Parameters
    ----------
    parts : tuple of 3 ndarray, shape (8760, steps)
        East, north and up of the sun's direction.
    near : ndarray, shape (8760,)
        Square of (mean distance / distance of the sun).

    Returns
    -------
    Sun
        Mean direction while it is up, and means of the hour.
    """
    east, north, up = parts
    lit = up > 0
    looks = np.maximum(lit.sum(-1), 1)
    mean = [np.where(lit, part, 0.0).sum(-1) / looks for part in (east, north, up)]
    long = np.sqrt(mean[0] ** 2 + mean[1] ** 2 + mean[2] ** 2)
    east, north, up = (part / np.where(long > 0, long, 1.0) for part in mean)
    beam = SOLAR_CONSTANT_W_M2 * near
    level = beam * np.where(lit, parts[2], 0.0).mean(-1)
    return Sun(east=east, north=north, up=up, outside_w_m2=level, beam_outside_w_m2=beam)


def library_of_the_sun() -> ModuleType:
    """Return pvlib, which only hourly weather needs.

    Returns
    -------
    module
        pvlib.

    Raises
    ------
    MissingExtra
        It is not installed.
    """
    try:
        import pvlib
    except ImportError as missing:
        raise MissingExtra(
            "hourly weather needs the Python package pvlib, which is not installed here. "
            'Run python3 start.py once more, or: pip install "loomwright[year]"'
        ) from missing
    return pvlib  # type: ignore[no-any-return]


@lru_cache(maxsize=8)
def clear_sky(lat_deg: float, lon_deg: float, altitude_m: float) -> Floats:
    """Return the sun of cloudless hours on a level plane, in local solar time.

    Parameters
    ----------
    lat_deg, lon_deg, altitude_m : float
        The place. [°, °, m]

    Returns
    -------
    ndarray, shape (8760,)
        Ineichen's clear sky with the turbidity of the place by month, never above 0.82 of the sun outside.
        [W/m²]

    Raises
    ------
    MissingExtra
        pvlib is not installed.
    """
    pvlib = library_of_the_sun()
    import pandas

    sun = solar_time(lat_deg)
    months = pandas.DatetimeIndex([f"2001-{month:02}-15" for month in range(1, 13)])
    east = (lon_deg + 180.0) % 360.0 - 180.0
    haze = pvlib.clearsky.lookup_linke_turbidity(months, lat_deg, east, interp_turbidity=False)
    turbidity = np.repeat(smooth_days(haze.to_numpy()), 24)
    zenith = np.degrees(np.arccos(np.clip(sun.up, 0.0, 1.0)))
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith), pvlib.atmosphere.alt2pres(altitude_m)
    )
    sky = pvlib.clearsky.ineichen(
        zenith, mass, turbidity, altitude=altitude_m, dni_extra=sun.beam_outside_w_m2
    )
    whole = sun.beam_outside_w_m2 * sun.up
    part = np.where(whole > 0, sun.outside_w_m2 / np.where(whole > 0, whole, 1.0), 0.0)
    level = np.nan_to_num(np.asarray(sky["ghi"])) * np.minimum(part, 1.0)
    return np.asarray(np.clip(level, 0.0, 0.82 * sun.outside_w_m2))


# Parts of a year


def _draws(seed: int, year: int) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the random numbers of one year: days, months, hours, air."""
    source = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, year])))
    return (
        source.random(DAYS + 1),
        source.standard_normal(13),
        source.standard_normal((DAYS, 24)),
        source.standard_normal(DAYS + 30),
    )


def _factors(kt_month: Floats, normal: Floats) -> Floats:
    """Return the sun of each month of each year over its mean, shape (count, 12).

    About 11 % of standard deviation in a dull month, 8 % in a bright one, 5 % under a desert sky; to it comes
    what is common to a year. (from memory)
    """
    wide = 0.034 / np.clip(kt_month, 0.3, 0.8)
    own = np.clip(normal[:, 1:], -2.5, 2.5) * wide
    return np.asarray(1.0 + own + YEAR_SPREAD * np.clip(normal[:, :1], -2.5, 2.5))


def _hours_of_days(kt: Floats, sun: Sun, clear: Floats, normal: Floats) -> Floats:
    """Return the sun of each hour, shape (count, 8760), so that each day gives its own.

    Mean and spread of an hour's clearness by the day's and the sun's elevation, with persistence from hour to
    hour (Aguiar and Collares-Pereira 1992); kept between nothing and the clear sky.
    """
    count = len(kt)
    outside, top = sun.outside_w_m2.reshape(DAYS, 24), CLEAR_SHARE * clear.reshape(DAYS, 24)
    day_kt = kt.reshape(count, DAYS, 1)
    low = np.maximum(sun.up.reshape(DAYS, 24), 0.02)
    rise = 0.32 - 1.6 * (day_kt - 0.5) ** 2
    fade = 0.19 + 2.27 * day_kt**2 - 2.51 * day_kt**3
    mean = -0.19 + 1.12 * day_kt + 0.24 * np.exp(-8 * day_kt) + rise * np.exp(-fade / low)
    wide = 0.14 * np.exp(-20 * (day_kt - 0.35) ** 2)
    wide = wide * np.exp((3 * (day_kt - 0.45) ** 2 + 16 * day_kt**5) * (1 - low))
    swing = normal.copy()
    for hour in range(1, 24):
        swing[..., hour] = HOUR_STAYS * swing[..., hour - 1] + np.sqrt(1 - HOUR_STAYS**2) * normal[..., hour]
    level = np.clip(mean + wide * swing, 0.05 * day_kt, None) * outside
    need = kt * outside.sum(-1)
    top = np.maximum(top[None], 0.0) * np.maximum(1.0, need / np.maximum(top.sum(-1), 1e-9))[..., None]
    level = np.minimum(level, top)
    for _ in range(8):
        level *= (need / np.maximum(level.sum(-1), 1e-9))[..., None]
        np.minimum(level, top, out=level)
    return np.asarray(level.reshape(count, HOURS))


def diffuse_share(kt: Floats) -> Floats:
    """Return the share of an hour's sun that comes from the sky, by its clearness.

    Parameters
    ----------
    kt : ndarray
        Sun over the sun outside the atmosphere.

    Returns
    -------
    ndarray
        Between 0.165 and 1.

    References
    ----------
    Erbs, Klein and Duffie 1982, Solar Energy 28(4), 293-302 (digits from memory).
    """
    between = 0.9511 - 0.1604 * kt + 4.388 * kt**2 - 16.638 * kt**3 + 12.336 * kt**4
    return np.asarray(np.where(kt <= 0.22, 1 - 0.09 * kt, np.where(kt <= 0.80, between, 0.165)))


#: Shape of a day of air, from warmest to coldest 1 and mean 0: Erbs, Klein and Beckman 1983 (from memory).
def _day_shape() -> Floats:
    t = 2 * np.pi * (np.arange(24.0) + 0.5 - 1) / 24
    shape = 0.4632 * np.cos(t - 3.805) + 0.0984 * np.cos(2 * t - 0.360)
    shape += 0.0168 * np.cos(3 * t - 0.822) + 0.0138 * np.cos(4 * t - 3.513)
    shape -= shape.mean()
    return np.asarray(shape / (shape.max() - shape.min()))


_DAY_SHAPE: Final = _day_shape()
#: A warm or a cold day lasts: correlation with the day before, of 15 German stations. (computed)
AIR_STAYS: Final = 0.68


def smooth_days(monthly: Sequence[float]) -> Floats:
    """Return 365 daily values, a line from month to month, whose monthly means are those given.

    Parameters
    ----------
    monthly : sequence of 12 float
        Means.

    Returns
    -------
    ndarray, shape (365,)
        Daily values, in the unit of the means.
    """
    ends = np.cumsum(DAYS_IN_MONTH)
    middle = ends - np.array(DAYS_IN_MONTH) / 2
    goal = np.asarray(monthly, dtype=np.float64)
    knots = goal.copy()
    days = np.arange(DAYS) + 0.5
    for _ in range(25):
        done = np.interp(days, middle, knots, period=DAYS)
        knots = knots + goal - monthly_means(done)
    return np.asarray(np.interp(days, middle, knots, period=DAYS))


def _air(climate: Climate, kt: Floats, kt_by_month: Floats, normal: Floats) -> Floats:
    """Return the air of each hour, shape (count, 8760). [°C]

    The wider the months lie apart, the further days stray from them: 1 + 0.135 · (warmest - coldest month),
    3.4 °C in Germany. Bright days are warm in summer (correlation 0.54) and cold in winter (-0.22).
    """
    count = len(kt)
    spread = 1.0 + 0.135 * (max(climate.air_c) - min(climate.air_c))
    season = np.cos(2 * np.pi * (np.arange(DAYS) - 15) / DAYS) * (1 if climate.lat_deg >= 0 else -1)
    together = 0.16 - 0.38 * season
    bright = np.clip((kt - kt_by_month[:, MONTH_OF_DAY]) / 0.155, -3.0, 3.0)
    linked = together / 0.8  # what the day before leaves, and months that are dull as a whole, blur it
    push = linked * bright + np.sqrt(np.maximum(0.0, 1 - linked**2)) * normal[:, 30:]
    push *= spread * np.sqrt(1 - AIR_STAYS**2) / np.sqrt(1 + 0.47 * linked**2)
    stray = np.empty((count, DAYS))
    last = normal[:, 0] * spread
    for day in range(DAYS):
        last = AIR_STAYS * last + push[:, day]
        stray[:, day] = last
    daily = smooth_days(climate.air_c) + stray
    span = 1.5 + 14.0 * np.clip(kt, 0.0, MOST_KT)
    return _eased(daily) + _eased(span) * np.tile(_DAY_SHAPE, DAYS)


def _eased(daily: Floats) -> Floats:
    """Return hourly values of daily ones, (count, 365) -> (count, 8760), led over three hours at midnight."""
    before, after = np.roll(daily, 1, -1), np.roll(daily, -1, -1)
    part = (np.arange(24) + 0.5) / 24
    early = np.maximum(0.5 - part * 4, 0.0)
    late = early[::-1]
    hours = daily[..., None] * (1 - late - early) + before[..., None] * early + after[..., None] * late
    return np.asarray(hours.reshape(len(daily), HOURS))
