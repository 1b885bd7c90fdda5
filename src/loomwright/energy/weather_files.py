"""A weather file of a person's own, as the same record that synthetic years are.

Read are EPW, TMY3 (csv), TMY2 (tm2) and the hourly and typical-year files of PVGIS (csv, json): those that
tell which hour each line is. Of each hour level sun, its share from the sky and the air are taken; the rest
is left. A 29 February is dropped. Times become the standard time of the place (PVGIS counts in UTC), without
summer time.

What is wrong stands in the error with the line of the file: every wrong line up to fifty, in the order of the
file.

Sources: formats as the U.S. Department of Energy (EPW), NREL (TMY2, TMY3: user's manuals) and the European
Commission's Joint Research Centre (PVGIS) describe them; the tests compare with the readers of pvlib.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from loomwright.energy.clear import Sun, followed, library_of_the_sun
from loomwright.energy.standard_year import DAYS, DAYS_IN_MONTH, HOURS
from loomwright.energy.sun import Floats, monthly_means, nearness
from loomwright.energy.weather import Weather, diffuse_share
from loomwright.energy.weather_formats import Hour, Place, format_of, wrong
from loomwright.errors import Problem, WeatherFileError

#: No file of a place needs more: twenty years of PVGIS are 10 MB.
LARGEST_BYTES: Final = 30_000_000
#: Seconds from 1970 to January 1, 2001, UTC.
_START_OF_2001_S: Final = 978307200.0
#: What an hour can be; makers of files write 9999 where they know nothing. [W/m², W/m², °C]
_LIMITS: Final = {"sun": (-20.0, 1600.0), "sun from the sky": (-20.0, 1200.0), "air": (-70.0, 60.0)}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FileHours:
    """What stands in a weather file, before the sun is looked for.

    Attributes
    ----------
    name : str
        Of the file.
    lat_deg, lon_deg : float
        Its place. [°]
    zone_h : float
        Its clock less UTC. [h]
    minute : float or None
        Minute of its hour that a line is for; None: the mean of the hour.
    ghi_w_m2, dhi_w_m2, air_c : ndarray, shape (count, 8760)
        As written, by the clock of the file; NaN where it tells nothing of the sky. [W/m², W/m², °C]
    """

    name: str
    lat_deg: float
    lon_deg: float
    zone_h: float
    minute: float | None
    ghi_w_m2: Floats
    dhi_w_m2: Floats
    air_c: Floats

    @property
    def count(self) -> int:
        """How many years."""
        return len(self.air_c)

    def by_month(self) -> tuple[Floats, Floats]:
        """Return sun of a level plane and mean air by month, shape (12,) each. [kWh/m²/day, °C]"""
        sun = np.maximum(self.ghi_w_m2, 0.0).reshape(-1, DAYS, 24).sum(-1) / 1000
        air = self.air_c.reshape(-1, DAYS, 24).mean(-1)
        return monthly_means(sun).mean(0), monthly_means(air).mean(0)

    def weather(self) -> Weather:
        """Return the record, in standard time; without pvlib it raises `MissingExtra`."""
        place = Place(self.lat_deg, self.lon_deg, self.zone_h, self.minute)
        return _weather(place, np.stack([self.ghi_w_m2, self.dhi_w_m2, self.air_c]), self.name)


def read_weather(data: bytes, name: str) -> Weather:
    """Read a weather file.

    Parameters
    ----------
    data : bytes
        What is in the file.
    name : str
        Its name: the ending and the first line tell the format; it stands in errors.

    Returns
    -------
    Weather
        As many years as the file holds, in standard time.

    Raises
    ------
    WeatherFileError
        It is none of the formats, or lines are wrong or missing.
    MissingExtra
        pvlib is not installed.
    """
    return hours_of(data, name).weather()


def hours_of(data: bytes, name: str) -> FileHours:
    """Read the hours of a weather file, without the sun's place: pvlib is not needed.

    Parameters
    ----------
    data : bytes
        What is in the file.
    name : str
        Its name, as for `read_weather`.

    Returns
    -------
    FileHours
        Its place and its hours.

    Raises
    ------
    WeatherFileError
        It is none of the formats, or lines are wrong or missing.
    """
    if len(data) > LARGEST_BYTES:
        raise wrong(name, 1, f"larger than {LARGEST_BYTES // 10**6} MB: no hourly file of one place")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    if "\0" in text:
        raise wrong(name, 1, "holds bytes that are no text")
    reader = format_of(text, name)
    try:
        place, hours = reader(text, name)
        hours = list(hours)
    except WeatherFileError:
        raise
    except (LookupError, ValueError, TypeError, AttributeError, StopIteration, csv.Error, RecursionError):
        raise wrong(name, 1, "its head can't be read: a line or field is missing or is no number") from None
    if not (abs(place.lat_deg) <= 90 and abs(place.lon_deg) <= 180 and abs(place.zone_h) <= 14):
        raise wrong(
            name, 1, "its head names no place: latitude -90 to 90, longitude -180 to 180, zone -14 to 14"
        )
    sun, sky, air = _checked(hours, name)
    return FileHours(
        name=name,
        lat_deg=place.lat_deg,
        lon_deg=place.lon_deg,
        zone_h=place.zone_h,
        minute=place.minute,
        ghi_w_m2=sun,
        dhi_w_m2=sky,
        air_c=air,
    )


# From lines to a record


def _calendar() -> list[tuple[int, int, int]]:
    days = [(month, day) for month, long in enumerate(DAYS_IN_MONTH, 1) for day in range(1, long + 1)]
    return [(month, day, hour) for month, day in days for hour in range(24)]


def _checked(hours: list[Hour], name: str) -> Floats:
    """Return sun, sky (NaN where none is told) and air, shape (3, count, 8760); every hour in its place."""
    hours = [hour for hour in hours if (hour.month, hour.day) != (2, 29)]
    expected = _calendar()
    problems: list[Problem] = []
    done = np.full((3, len(hours)), np.nan)
    for k, hour in enumerate(hours):
        month, day, at = expected[k % HOURS]
        if (hour.month, hour.day, hour.hour) != (month, day, at):
            found = f"month {hour.month}, day {hour.day}, hour {hour.hour + 1}"
            says = f"is {found}; month {month}, day {day}, hour {at + 1} was to come"
            raise WeatherFileError([*problems, Problem(hour.line, 1, "", says, name)])
        for row, (what, text) in enumerate(zip(_LIMITS, hour.values, strict=True)):
            if text is None:
                continue
            try:
                value = float(text)
            except ValueError:
                value = math.nan
            least, most = _LIMITS[what]
            if not least <= value <= most:
                says = f"{text.strip()!r} can't be the {what} of an hour; {least:g} to {most:g} can"
                problems.append(Problem(hour.line, 1, "", says, name))
            done[row, k] = value
    if not hours or len(hours) % HOURS:
        last = hours[-1].line if hours else 1
        says = f"holds {len(hours)} hours; whole years of {HOURS} are needed, from January 1 to December 31"
        problems.append(Problem(last, 1, "", says, name))
    if problems:
        raise WeatherFileError(problems)
    return done.reshape(3, -1, HOURS)


def _weather(place: Place, values: Floats, name: str) -> Weather:
    """Return the record, its hours moved to the standard time of the place if they are in UTC."""
    zone = place.zone_h
    if place.minute is not None:
        zone = float(round(place.lon_deg / 15))
        values = np.roll(values.reshape(3, -1), int(zone), axis=1).reshape(values.shape)
    sun = sun_at(place.lat_deg, place.lon_deg, zone, place.minute)
    level = np.where(sun.outside_w_m2 > 0, np.maximum(values[0], 0.0), 0.0)
    sky = np.maximum(values[1], 0.0)
    if np.isnan(sky).any():
        sky = level * diffuse_share(level / np.maximum(sun.outside_w_m2, 1.0))
    return Weather(
        ghi_w_m2=level,
        dhi_w_m2=np.minimum(sky, level),
        air_c=values[2],
        sun=sun,
        clock="standard",
        taken_from=f"the weather file {name}",
    )


def sun_at(lat_deg: float, lon_deg: float, zone_h: float, minute: float | None = None) -> Sun:
    """Return where the sun stands in each hour of standard time.

    Parameters
    ----------
    lat_deg, lon_deg : float
        The place. [°]
    zone_h : float
        Standard time less UTC. [h]
    minute : float, optional
        Minute of the hour to look at; else the mean of the hour is taken.

    Returns
    -------
    Sun
        By pvlib (Reda and Andreas 2004) for the year 2001, without refraction.

    Raises
    ------
    MissingExtra
        pvlib is not installed.
    """
    library_of_the_sun()
    from pvlib import spa

    looks = np.array([minute / 60]) if minute is not None else (np.arange(6) + 0.5) / 6
    after_h = (np.arange(HOURS)[:, None] + looks[None, :]).ravel() - zone_h
    seen = spa.solar_position(
        _START_OF_2001_S + after_h * 3600, lat_deg, lon_deg, 0.0, 1013.25, 12.0, 64.1, 0.5667
    )
    height, turned = np.radians(seen[3]), np.radians(seen[4])
    parts = (np.cos(height) * np.sin(turned), np.cos(height) * np.cos(turned), np.sin(height))
    east, north, up = (part.reshape(HOURS, -1) for part in parts)
    return followed((east, north, up), nearness(np.repeat(np.arange(1.0, 366.0), 24)))
