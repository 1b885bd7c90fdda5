"""Where the sun stands and what it would give without an atmosphere; a month's sun on a tilted plane.

Enough for sums by the day and by the month, with numpy alone. Times are local solar time: the sun is highest
at 12.

Sources: declination and distance of the sun, Spencer 1971 (from memory); irradiation outside the atmosphere,
FAO Irrigation and Drainage Paper 56, equations 21 to 25; solar constant 1361 W/m² (Kopp and Lean 2011, from
memory). Tilted planes: Collares-Pereira and Rabl 1979 (hours of a mean day), Erbs, Klein and Duffie 1982
(diffuse share of a month), Liu and Jordan 1962, Klein and Theilacker 1981 (the sum), as in Duffie and
Beckman, Solar Engineering of Thermal Processes, chapters 1 and 2 (from memory). The tests compare all of it
with pvlib.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, DAYS_IN_MONTH

Floats = NDArray[np.float64]

SOLAR_CONSTANT_W_M2 = 1361.0
#: Share of the light that the surface below throws back: grass and gravel, common practice.
GROUND_ALBEDO = 0.2


def monthly_means(daily: Floats) -> Floats:
    """Return the twelve means of 365 daily values, shape (..., 365) -> (..., 12)."""
    ends = np.concatenate([[0], np.cumsum(DAYS_IN_MONTH)])
    sums = np.add.reduceat(daily, ends[:-1], axis=-1)
    return np.asarray(sums / np.array(DAYS_IN_MONTH), dtype=np.float64)


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


def _year_angle(day: Floats) -> Floats:
    return np.asarray(2 * np.pi * (day - 1) / DAYS)


def declination_rad(day: Floats) -> Floats:
    """Return the sun's declination on days counted from 1 (January 1). [rad]"""
    b = _year_angle(day)
    first = 0.006918 - 0.399912 * np.cos(b) + 0.070257 * np.sin(b)
    second = -0.006758 * np.cos(2 * b) + 0.000907 * np.sin(2 * b)
    return np.asarray(first + second - 0.002697 * np.cos(3 * b) + 0.00148 * np.sin(3 * b))


def nearness(day: Floats) -> Floats:
    """Return the square of (mean distance / distance of the sun): 1.03 in January, 0.97 in July."""
    b = _year_angle(day)
    first = 1.000110 + 0.034221 * np.cos(b) + 0.00128 * np.sin(b)
    return np.asarray(first + 0.000719 * np.cos(2 * b) + 0.000077 * np.sin(2 * b))


def sunset_rad(lat_deg: float, day: Floats) -> Floats:
    """Return the hour angle of sunset: 0 in polar night, π where the sun stays up. [rad]"""
    cosine = -np.tan(np.radians(lat_deg)) * np.tan(declination_rad(day))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def outside_kwh_m2_day(lat_deg: float, day: Floats) -> Floats:
    """Return what a level plane outside the atmosphere gets in a day.

    Parameters
    ----------
    lat_deg : float
        Latitude, north positive. [°]
    day : ndarray
        Days of the year, counted from 1.

    Returns
    -------
    ndarray
        Irradiation, shape of `day`. [kWh/m²/day]

    References
    ----------
    FAO Irrigation and Drainage Paper 56, equation 21.
    """
    phi, delta, sunset = np.radians(lat_deg), declination_rad(day), sunset_rad(lat_deg, day)
    height = np.cos(phi) * np.cos(delta) * np.sin(sunset) + sunset * np.sin(phi) * np.sin(delta)
    return np.asarray(24 / np.pi * SOLAR_CONSTANT_W_M2 / 1000 * nearness(day) * np.maximum(height, 0.0))


@lru_cache(maxsize=256)
def outside_by_month(lat_deg: float) -> tuple[float, ...]:
    """Return the twelve monthly means of `outside_kwh_m2_day`. [kWh/m²/day]"""
    daily = outside_kwh_m2_day(lat_deg, np.arange(1.0, DAYS + 1))
    return tuple(float(mean) for mean in monthly_means(daily))


def clearness(ghi_kwh_m2_day: Sequence[float], lat_deg: float) -> tuple[float, ...]:
    """Return each month's clearness: its sun over the sun outside the atmosphere, 0 in polar night.

    Parameters
    ----------
    ghi_kwh_m2_day : sequence of 12 float
        Mean irradiation of a level plane by month. [kWh/m²/day]
    lat_deg : float
        Latitude, north positive. [°]

    Returns
    -------
    tuple of 12 float
        Between 0 and 0.85; the edges of polar night, where both are nearly nothing, are cut there.
    """
    return tuple(
        min(0.85, max(0.0, here / there)) if there > 0.02 else 0.0
        for here, there in zip(ghi_kwh_m2_day, outside_by_month(lat_deg), strict=True)
    )


def sun_vector(lat_deg: float, day: Floats, hour_angle: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the sun's direction as parts to the east, to the north and up.

    Parameters
    ----------
    lat_deg : float
        Latitude, north positive. [°]
    day, hour_angle : ndarray
        Day of the year from 1; angle from solar noon, afternoon positive [rad]. Shapes that go together.

    Returns
    -------
    tuple of 3 ndarray
        East, north, up; together of length 1. Up is the sine of the elevation, below 0 at night.
    """
    phi, delta = np.radians(lat_deg), declination_rad(day)
    east = -np.cos(delta) * np.sin(hour_angle)
    north = np.cos(phi) * np.sin(delta) - np.sin(phi) * np.cos(delta) * np.cos(hour_angle)
    up = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(hour_angle)
    return east, north, up


def diffuse_share_of_month(kt: Floats, sunset: Floats) -> Floats:
    """Return the diffuse share of a month's sun by its clearness and hour angle of sunset [rad].

    References
    ----------
    Erbs, Klein and Duffie 1982; Duffie and Beckman, equation 2.12.1 (from memory).
    """
    k = np.clip(kt, 0.3, 0.8)
    short = 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3
    long = 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3
    return np.asarray(np.where(np.degrees(sunset) <= 81.4, short, long))


def plane_factors(
    ghi_kwh_m2_day: Sequence[float],
    lat_deg: float,
    tilt_deg: float,
    azimuth_deg: float = 180.0,
    albedo: float = GROUND_ALBEDO,
) -> tuple[float, ...]:
    """Return how much more, or less, sun a tilted plane gets than a level one, month by month.

    The mean day of each month, in steps of ten minutes: beam by Collares-Pereira and Rabl, the sky alike in
    all directions. Free horizon. Against hourly sums of pvlib it is a few per cent low towards the equator.

    Parameters
    ----------
    ghi_kwh_m2_day : sequence of 12 float
        Mean irradiation of a level plane by month. [kWh/m²/day]
    lat_deg : float
        Latitude, north positive. [°]
    tilt_deg : float
        0 is level, 90 upright. [°]
    azimuth_deg : float
        Where the plane looks: 0 north, 90 east, 180 south. [°]
    albedo : float
        Share of the light that the surface below throws back.

    Returns
    -------
    tuple of 12 float
        Factors; exactly 1 for a level plane, and 1 in a month without sun.
    """
    if tilt_deg == 0.0:
        return (1.0,) * 12
    ends = np.cumsum(DAYS_IN_MONTH)
    day = (ends - np.array(DAYS_IN_MONTH) / 2 + 0.5)[:, None]
    sunset = np.maximum(sunset_rad(lat_deg, day), 1e-6)
    angle = (np.arange(-1.0, 1.0, 1 / 72)[None, :] + 1 / 144) * np.pi
    east, north, up = sun_vector(lat_deg, day, angle)
    tilt, azimuth = np.radians(tilt_deg), np.radians(azimuth_deg)
    facing = np.sin(tilt) * (np.sin(azimuth) * east + np.cos(azimuth) * north) + np.cos(tilt) * up
    sky = np.where(up > 0, up, 0.0)
    light = sky.sum(1, keepdims=True)
    share = diffuse_share_of_month(np.array(clearness(ghi_kwh_m2_day, lat_deg))[:, None], sunset)
    a, b = (0.409 + 0.5016 * np.sin(sunset - np.pi / 3)), (0.6609 - 0.4767 * np.sin(sunset - np.pi / 3))
    shape = np.maximum(a + b * np.cos(angle), 0.0)
    shape = shape * light / np.maximum((shape * sky).sum(1, keepdims=True), 1e-9)  # its hours sum to the day
    beam = np.maximum(shape - share, 0.0)
    beam = beam * (1 - share) * light / np.maximum((beam * sky).sum(1, keepdims=True), 1e-9)
    direct = (beam * np.where(up > 0, np.maximum(facing, 0.0), 0.0)).sum(1) / np.maximum(light[:, 0], 1e-9)
    scattered = share[:, 0] * (1 + np.cos(tilt)) / 2 + albedo * (1 - np.cos(tilt)) / 2
    factors = np.where((light[:, 0] > 1e-6) & (np.array(ghi_kwh_m2_day) > 0), direct + scattered, 1.0)
    return tuple(float(factor) for factor in factors)
