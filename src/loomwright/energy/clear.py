"""Where the sun stands in each hour of a year, and what it gives without a cloud.

Sources: Spencer 1971 for the sun's place in local solar time (`sun`); clear sky of Ineichen and Perez 2002
with the monthly map of turbidity that pvlib brings along.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from types import ModuleType
from typing import Final

import numpy as np

from loomwright.energy.standard_year import DAYS
from loomwright.energy.sun import SOLAR_CONSTANT_W_M2, Floats, nearness, smooth_days, sun_vector
from loomwright.errors import MissingExtra

#: Within an hour the sun is followed in so many steps.
_STEPS: Final = 6


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
        pvlib: ModuleType = import_module("pvlib")
    except ImportError as missing:
        raise MissingExtra(
            "hourly weather needs the Python package pvlib, which is not installed here. "
            'Run python3 start.py once more, or: pip install "loomwright[year]"'
        ) from missing
    return pvlib


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
