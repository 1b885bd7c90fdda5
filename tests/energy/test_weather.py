"""Synthetic years against stations, published statistics and what must always hold.

"15 German test reference years" are those of the German weather service for 2010 (1988 to 2007); their
statistics were worked out from the hourly files (computed), which are not passed on here.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.energy import climate, weather
from loomwright.energy.clear import clear_sky, solar_time
from loomwright.energy.standard_year import DAYS_IN_MONTH, MONTH_OF_DAY
from loomwright.energy.sun import monthly_means, outside_by_month, smooth_days
from loomwright.errors import MissingExtra
from tests.energy.conftest import STATIONS, daily_kt, daily_sun, lagged, strays

DARK, BRIGHT = (10, 11, 0, 1), (4, 5, 6, 7)


def running(daily: np.ndarray, days: int) -> np.ndarray:
    """Return means of so many days in a row, around the end of the year, shape as given."""
    around = np.concatenate([daily, daily[:, : days - 1]], axis=1)
    sums = np.cumsum(np.pad(around, ((0, 0), (1, 0))), axis=1)
    return (sums[:, days:] - sums[:, :-days]) / days


# Months


def test_a_year_gives_the_months_it_was_made_from(hamburg):
    made = weather.years(hamburg, 5, 11, alike=True)
    assert made.sun_by_month() == pytest.approx(np.tile(hamburg.ghi_kwh_m2_day, (5, 1)), rel=0.01)


def test_a_hundred_years_give_the_months_in_the_mean(hamburg, hundred):
    assert hundred.sun_by_month().mean(0) == pytest.approx(hamburg.ghi_kwh_m2_day, rel=0.03)
    air = monthly_means(hundred.air_c.reshape(100, 365, 24).mean(-1)).mean(0)
    assert air == pytest.approx(hamburg.air_c, abs=0.5)


def test_own_sun_hours_are_met(hamburg):
    own = [0.5, 1.0, 2.0, 4.0, 5.0, 5.2, 4.9, 4.0, 3.0, 1.4, 0.6, 0.3]
    made = weather.years(hamburg, 2, 1, sun_hours=own, alike=True)
    assert made.sun_by_month() == pytest.approx(np.array([own, own]), rel=0.01)


def test_months_differ_from_year_to_year(hundred):
    """Months vary by 10 to 12 % in winter and 7 to 8 % in summer, years by 4 to 5 % (from memory)."""
    months = hundred.sun_by_month()
    spread = months.std(0) / months.mean(0)
    assert 0.08 < spread[[10, 11, 0, 1]].mean() < 0.14
    assert 0.06 < spread[[4, 5, 6, 7]].mean() < 0.10
    whole = months @ np.array(DAYS_IN_MONTH)
    assert 0.03 < whole.std() / whole.mean() < 0.055


# Hours


def test_no_hour_beyond_the_clear_sky_and_none_at_night(hamburg, hundred):
    clear = clear_sky(hamburg.lat_deg, hamburg.lon_deg, hamburg.altitude_m)
    assert np.all(hundred.ghi_w_m2 <= 1.05 * clear + 0.1)
    assert np.all(hundred.ghi_w_m2 >= 0)
    assert np.all(hundred.ghi_w_m2[:, hundred.sun.outside_w_m2 == 0] == 0)
    assert np.all(hundred.dhi_w_m2 <= hundred.ghi_w_m2)
    assert np.all(hundred.dhi_w_m2 >= 0)


def test_days_go_together(hundred):
    """Of 15 German test reference years: persistence 0.28 ± 0.07, spread within a month 0.12 to 0.19."""
    kt = daily_kt(hundred)
    stray = kt - monthly_means(kt)[:, MONTH_OF_DAY]
    assert 0.15 < lagged(stray) < 0.40
    for month in range(12):
        assert 0.11 < stray[:, month == MONTH_OF_DAY].std() < 0.19


@pytest.mark.parametrize("station", STATIONS)
def test_hours_against_stations(stations, station):
    """Spread of an hour's clearness about its day's mean and its persistence, as at the station; the diffuse
    share as the same formula gives it from the station's own hours."""

    def about_the_day(of):
        high = of.sun.outside_w_m2 > 100
        hours = np.where(high, of.ghi_w_m2 / np.maximum(of.sun.outside_w_m2, 1.0), np.nan).reshape(
            -1, 365, 24
        )
        hours = hours - np.nanmean(hours, -1, keepdims=True)
        return np.nanstd(hours), np.nanmean(hours[..., 1:] * hours[..., :-1]) / np.nanmean(hours**2)

    pair = stations[station]
    real, made = about_the_day(pair.real), about_the_day(pair.made)
    assert made[0] == pytest.approx(real[0], rel=0.2)
    assert made[1] == pytest.approx(real[1], abs=0.13)
    outside = np.maximum(pair.real.sun.outside_w_m2, 1.0)
    erbs = (
        pair.real.ghi_w_m2 * weather.diffuse_share(pair.real.ghi_w_m2 / outside)
    ).sum() / pair.real.ghi_w_m2.sum()
    assert pair.made.dhi_w_m2.sum() / pair.made.ghi_w_m2.sum() == pytest.approx(erbs, abs=0.05)


def test_diffuse_share_of_a_german_year(hundred):
    """0.55 to 0.65 at 50 to 54° N: 15 German test reference years, mean 0.63."""
    assert 0.55 < hundred.dhi_w_m2.sum() / hundred.ghi_w_m2.sum() < 0.65


def test_diffuse_share_against_pvlib():
    import pvlib

    zenith, ghi = 60.0, np.arange(20.0, 640.0, 20.0)
    theirs = pvlib.irradiance.erbs(ghi, np.full_like(ghi, zenith), 150)
    assert ghi * weather.diffuse_share(theirs["kt"]) == pytest.approx(theirs["dhi"], rel=1e-6)


# Rainy spells


@pytest.mark.parametrize("station", STATIONS)
@pytest.mark.parametrize("months", [DARK, BRIGHT, tuple(range(12))], ids=["dark", "bright", "year"])
def test_five_dull_days_in_a_row(stations, station, months):
    """The mean of five days that one in ten falls below, beside the station's own year: within 20 %."""
    pair = stations[station]
    here = np.isin(MONTH_OF_DAY, months)
    real, made = (np.quantile(running(daily_sun(of), 5)[:, here], 0.1) for of in (pair.real, pair.made))
    assert made == pytest.approx(real, rel=0.2)


@pytest.mark.parametrize("station", STATIONS)
def test_the_dullest_five_days_of_a_year(stations, station):
    """The station's own year is one like the synthetic ones: not outside nine in ten of them."""
    pair = stations[station]
    least, most = np.quantile(running(daily_sun(pair.made), 5).min(1), [0.05, 0.95])
    assert least <= running(daily_sun(pair.real), 5).min() <= most


# Air


def test_air_strays_and_comes_back(hamburg, hundred):
    """15 German test reference years: standard deviation 3.3 °C, persistence 0.68; a day that is bright is
    warm in summer (0.54) and cold in winter (-0.22).
    """
    daily = hundred.air_c.reshape(100, 365, 24).mean(-1)
    stray = daily - smooth_days(hamburg.air_c)
    assert stray.std() == pytest.approx(3.3, abs=0.6)
    assert lagged(stray) == pytest.approx(0.68, abs=0.08)
    kt = strays(daily_kt(hundred))
    for months, printed in (((11, 0, 1), -0.22), ((5, 6, 7), 0.54)):
        here = np.isin(MONTH_OF_DAY, months)
        assert np.corrcoef(stray[:, here].ravel(), kt[:, here].ravel())[0, 1] == pytest.approx(
            printed, abs=0.12
        )


def test_air_of_a_day(hundred):
    """Coldest about sunrise, warmest two to three hours after noon."""
    course = hundred.air_c.reshape(-1, 24).mean(0)
    assert 3 <= course.argmin() <= 6
    assert 13 <= course.argmax() <= 15
    steps = np.abs(np.diff(hundred.air_c.ravel()))
    assert np.quantile(steps, 0.999) < 5.0


def test_smooth_days_keep_the_months(hamburg):
    assert monthly_means(smooth_days(hamburg.air_c)) == pytest.approx(hamburg.air_c, abs=1e-3)


# Seeds, places, speed


def test_one_seed_one_weather(hamburg, hundred):
    few = weather.years(hamburg, 3, 3)
    for ours, theirs in (
        (few.ghi_w_m2, hundred.ghi_w_m2),
        (few.dhi_w_m2, hundred.dhi_w_m2),
        (few.air_c, hundred.air_c),
    ):
        assert ours.tobytes() == theirs[:3].tobytes()
    assert weather.years(hamburg, 3, 4).ghi_w_m2.tobytes() != few.ghi_w_m2.tobytes()


def test_another_machine_comes_to_the_same_bytes(hamburg):
    """A processor without vector units rounds some sines in another way; nothing of it shows."""
    code = (
        "import hashlib, loomwright.energy.climate as c, loomwright.energy.weather as w\n"
        "y = w.years(c.at(53.63, 10.0, 13.0), 2, 3)\n"
        "print(hashlib.sha256(y.ghi_w_m2.tobytes() + y.dhi_w_m2.tobytes() + y.air_c.tobytes()).hexdigest())"
    )
    plain = {"NPY_DISABLE_CPU_FEATURES": "X86_V4 X86_V3 AVX512_ICL AVX512_SPR AVX512F AVX2 FMA3"}
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", code],
        env=os.environ | plain,
        capture_output=True,
        text=True,
        timeout=60,
    )
    here = weather.years(hamburg, 2, 3)
    ours = hashlib.sha256(here.ghi_w_m2.tobytes() + here.dhi_w_m2.tobytes() + here.air_c.tobytes())
    assert done.stdout.strip() == ours.hexdigest(), done.stderr


def test_a_place_moved_a_little_has_nearly_the_same_months():
    here, there = (weather.years(climate.at(47.9 + by, 11.6 + by), 2, 5, alike=True) for by in (0.0, 0.01))
    assert here.sun_by_month() == pytest.approx(there.sun_by_month(), rel=0.01)


@settings(max_examples=12, deadline=None)
@given(st.floats(-45, 70), st.sampled_from([-100.0, 0.0, 15.0, 140.0]), st.integers(0, 10**6))
def test_any_place(lat, lon, seed):
    twelve = [
        3.0 * (1 + 0.7 * np.cos((month - (6 if lat > 0 else 0)) / 12 * 2 * np.pi)) for month in range(12)
    ]
    outside = outside_by_month(lat)
    ghi = tuple(min(sun, 0.6 * most) for sun, most in zip(twelve, outside, strict=True))
    here = climate.from_months(lat, ghi, (10.0,) * 12, lon_deg=lon)
    made = weather.years(here, 1, seed, alike=True)
    assert made.sun_by_month()[0] == pytest.approx(ghi, rel=0.012, abs=0.012)
    assert np.all(made.ghi_w_m2 >= 0)
    assert np.all(made.ghi_w_m2[0][made.sun.up == 0] == 0)
    assert np.all(np.isfinite(made.air_c))


def test_south_has_its_winter_in_june():
    made = weather.years(climate.at(-36.9, 174.8), 4, 0)
    assert made.sun_by_month().mean(0).argmin() == 5
    assert 5 <= monthly_means(made.air_c.reshape(4, 365, 24).mean(-1)).mean(0).argmin() <= 7


def test_polar_night_is_dark():
    made = weather.years(climate.at(69.65, 18.96), 1, 0)
    assert made.ghi_w_m2[0, : 24 * 10].sum() == 0
    assert made.sun_by_month()[0, 5] > 4


def test_where_the_sun_stands_against_pvlib():
    """Elevation and direction by the hour against pvlib (Reda and Andreas 2004), in solar time."""
    from pvlib import spa

    sun = solar_time(51.5)
    times = 978307200.0 + (np.arange(8760) + 0.5) * 3600
    minutes = spa.solar_position(times, 51.5, 0.0, 0.0, 1013.25, 12.0, 64.1, 0.5667)[5]
    theirs = spa.solar_position(times - minutes * 60, 51.5, 0.0, 0.0, 1013.25, 12.0, 64.1, 0.5667)
    high = theirs[3] > 8
    assert np.abs(np.degrees(np.arcsin(sun.up)) - theirs[3])[high].max() < 0.6
    turned = np.degrees(np.arctan2(sun.east, sun.north)) % 360
    assert np.abs(turned - theirs[4])[high].max() < 1.0


def test_a_place_is_quick(hamburg):
    weather.years(hamburg, 1)
    for cached in (solar_time, clear_sky):
        cached.cache_clear()
    began = time.process_time()
    weather.years(hamburg, 1)
    assert time.process_time() - began < 0.3


def test_without_pvlib_it_says_how_to_get_it(hamburg, monkeypatch):
    monkeypatch.setitem(sys.modules, "pvlib", None)
    clear_sky.cache_clear()
    with pytest.raises(MissingExtra, match=r"python3 start\.py"):
        weather.years(hamburg, 1)


def test_pvlib_is_not_loaded_before_it_is_needed():
    code = (
        "import sys, loomwright.energy.weather, loomwright.energy.weather_files, loomwright.energy.panels\n"
        "assert not {'pandas', 'scipy', 'pvlib', 'h5py'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
