"""The weather file that a plan names: its months as a climate, its hours as years.

What the site says of its sun and air goes before it, month by month; it goes before the climate of the site's
latitude and longitude.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from loomwright.energy.climate import Climate, from_months
from loomwright.energy.strung import strung
from loomwright.energy.weather import Weather
from loomwright.energy.weather_files import LARGEST_BYTES, FileHours, hours_of
from loomwright.errors import PlanError, Problem, WeatherFileError
from loomwright.plan.model import Plan
from loomwright.plan.tree import Map
from loomwright.plan.values import Quantity
from loomwright.source import Source

#: Nearer than this nobody asks whose weather it is. [km]
_NEAR_KM = 30.0


@dataclass(frozen=True, slots=True, eq=False)
class OwnWeather:
    """A weather file: its months and its hours."""

    climate: Climate
    hours: FileHours
    whence: str


def with_weather(plan: Plan, data: bytes, file: str = "plan") -> Plan:
    """Return the plan with what stands in its weather file.

    Parameters
    ----------
    plan : Plan
    data : bytes
        What is in the file that `site.weather` names.
    file : str
        Name of the plan's own file, for the problems.

    Raises
    ------
    PlanError
        The file can't be read: every wrong line of it, and the line of the plan that names it.
    """
    name = plan.site.weather or ""
    try:
        _own(data, name)
    except WeatherFileError as broken:
        wrong = len({one.line for one in broken.problems})
        says = f"the weather file {name} can't be read: {wrong} of its lines are wrong."
        raise PlanError([problem_of(plan, says, file), *broken.problems]) from None
    return replace(plan, weather_data=data)


def problem_of(plan: Plan, says: str, file: str) -> Problem:
    """Return a problem at the place where a plan names its weather file."""
    site = plan.tree.get("site")
    node = site.get("weather") if isinstance(site, Map) else None
    if node is None or plan.of is not None:  # it may stand in a parent
        return Problem(1, 1, "site.weather", says, file)
    return Problem(node.line, node.column, "site.weather", says, file)


def own_weather(plan: Plan) -> OwnWeather | None:
    """Return the weather file of a plan; None where it names none, or where nobody has read it."""
    site = plan.site
    if site is None or site.weather is None or plan.weather_data is None:
        return None
    own = _own(plan.weather_data, site.weather)
    if not isinstance(site.lat, Quantity):
        return own
    lon = site.lon.mid if isinstance(site.lon, Quantity) else 0.0
    away = _apart_km(site.lat.mid, lon, own.hours.lat_deg, own.hours.lon_deg)
    return own if away < _NEAR_KM else replace(own, whence=f"{own.whence}, {away:.0f} km from the site")


@lru_cache(maxsize=2)
def _own(data: bytes, name: str) -> OwnWeather:
    hours = hours_of(data, name)
    sun, air = hours.by_month()
    climate = from_months(hours.lat_deg, sun.tolist(), air.tolist(), lon_deg=hours.lon_deg)
    place = f"{hours.lat_deg:.2f}°, {hours.lon_deg:.2f}°"
    whence = f"the weather file {name} of {place}"
    source = Source(work="weather file", place=f"{name}, months of its hours", checked="one source")
    return OwnWeather(replace(climate, source=source, taken_from=whence), hours, whence)


def own_years(own: OwnWeather, count: int, seed: int) -> Weather:
    """Return as many years as are asked for, made of those of the file; `strung` says how.

    Raises
    ------
    MissingExtra
        pvlib is not installed.
    """
    return _years(own.hours, own.whence, count, seed)


@lru_cache(maxsize=2)
def _years(hours: FileHours, whence: str, count: int, seed: int) -> Weather:
    return strung(replace(hours.weather(), taken_from=whence), count, seed)


def _apart_km(lat1: float, lon1: float, lat2: float, lon2: float) -> float:
    """Return how far two places are apart on the earth's ball. [km]"""
    a, b, turned = (float(np.radians(one)) for one in (lat1, lat2, lon2 - lon1))
    cosine = np.sin(a) * np.sin(b) + np.cos(a) * np.cos(b) * np.cos(turned)
    return float(6371.0 * np.arccos(np.clip(cosine, -1.0, 1.0)))


__all__ = ["LARGEST_BYTES", "OwnWeather", "own_weather", "own_years", "problem_of", "with_weather"]
