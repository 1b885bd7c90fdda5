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
from typing import Final, Literal

import numpy as np

from loomwright.energy.air import air_of
from loomwright.energy.clear import Sun, clear_sky, solar_time
from loomwright.energy.climate import Climate
from loomwright.energy.days import MOST_KT, drawn, sums_met
from loomwright.energy.standard_year import DAYS, HOURS
from loomwright.energy.sun import Floats, clearness, monthly_means

#: The sun of one year against the mean of many, standard deviation; common to its months. (from memory)
YEAR_SPREAD: Final = 0.03
#: A cloudy hour lasts: correlation of an hour's clearness, less its day's course, with that of the hour
#: before. Graham and Hollands 1990, Solar Energy 44(6), 333-341, abstract: 0.54; the model used here
#: for the rest has about 0.4, which came out too restless beside three hourly years of stations.
HOUR_STAYS: Final = 0.54
#: No hour is brighter than this share of the clear sky: clouds' edges throw light, minutes only.
CLEAR_SHARE: Final = 1.05
#: No day is brighter than this share of the clear sky: air is clearer than its month on some.
CLEAR_DAY: Final = 1.04


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
        How many years, one at least.
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
    ceiling = np.where(daily > 0.01, CLEAR_DAY * full / np.maximum(daily, 0.01), 0.0)
    kt_month = np.array(clearness(tuple(ghi), climate.lat_deg))
    wanted = ghi * (np.ones((count, 12)) if alike else _factors(kt_month, spread))
    kt_by_month = np.clip(kt_month * wanted / np.maximum(ghi, 1e-9), 0.0, MOST_KT)
    kt = sums_met(drawn(kt_by_month, uniform), daily, wanted, ceiling)
    level = _hours_of_days(kt, sun, clear, hourly)
    air = air_of(climate, kt, kt_by_month, days)
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
