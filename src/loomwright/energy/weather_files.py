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
import json
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from loomwright.energy.clear import Sun, followed, library_of_the_sun
from loomwright.energy.standard_year import DAYS_IN_MONTH, HOURS
from loomwright.energy.sun import Floats, nearness
from loomwright.energy.weather import Weather, diffuse_share
from loomwright.errors import Problem, WeatherFileError

#: No file of a place needs more: twenty years of PVGIS are 10 MB.
LARGEST_BYTES: Final = 30_000_000
#: Words of the formats, not ours: as bytes, since our own texts say "place".
_EPW_BEGINS: Final = b"LOCATION,".decode()
_PLACE_OF_PVGIS: Final = b"location".decode()
#: Seconds from 1970 to January 1, 2001, UTC.
_START_OF_2001_S: Final = 978307200.0
#: What an hour can be; makers of files write 9999 where they know nothing. [W/m², W/m², °C]
_LIMITS: Final = {"sun": (-20.0, 1600.0), "sun from the sky": (-20.0, 1200.0), "air": (-70.0, 60.0)}


@dataclass(frozen=True, slots=True)
class _Place:
    lat_deg: float
    lon_deg: float
    zone_h: float
    #: Minute of its hour that a line is for; None: the mean of the hour.
    minute: float | None = None


@dataclass(frozen=True, slots=True)
class _Hour:
    """One line: where it stands, month, day, hour (0 to 23), and sun, sky, air as text."""

    line: int
    month: int
    day: int
    hour: int
    values: tuple[str, str | None, str]


_Parts = tuple[_Place, Iterable[_Hour]]


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
    if len(data) > LARGEST_BYTES:
        raise _wrong(name, 1, f"larger than {LARGEST_BYTES // 10**6} MB: no hourly file of one place")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    if "\0" in text:
        raise _wrong(name, 1, "holds bytes that are no text")
    reader = _format_of(text, name)
    try:
        place, hours = reader(text, name)
        hours = list(hours)
    except WeatherFileError:
        raise
    except (LookupError, ValueError, TypeError, AttributeError, StopIteration, csv.Error, RecursionError):
        raise _wrong(name, 1, "its head can't be read: a line or field is missing or is no number") from None
    if not (abs(place.lat_deg) <= 90 and abs(place.lon_deg) <= 180 and abs(place.zone_h) <= 14):
        raise _wrong(
            name, 1, "its head names no place: latitude -90 to 90, longitude -180 to 180, zone -14 to 14"
        )
    values = _checked(hours, name)
    return _weather(place, values, name)


def _wrong(name: str, line: int, says: str) -> WeatherFileError:
    return WeatherFileError([Problem(line, 1, "", says, name)])


def _format_of(text: str, name: str) -> Callable[[str, str], _Parts]:
    """Return what reads this text, by its first line and the ending of its name."""
    first = text[:200].lstrip()
    if first.startswith(_EPW_BEGINS):
        return _epw
    if first.startswith("Latitude"):
        return _pvgis_csv
    if first.startswith("{"):
        return _pvgis_json
    if "Date (MM/DD/YYYY)" in text[:4000]:
        return _tmy3
    if name.lower().endswith(".tm2"):
        return _tmy2
    raise _wrong(name, 1, "is no EPW, TMY3, TMY2 or PVGIS file: its first line fits none of them")


# The formats: a place, and hours one after the other


def _epw(text: str, name: str) -> _Parts:
    lines = text.splitlines()
    head = lines[0].split(",")
    place = _Place(float(head[6]), float(head[7]), float(head[8]))
    start = next(k for k, line in enumerate(lines) if line.upper().startswith("DATA PERIODS")) + 1

    def hours() -> Iterator[_Hour]:
        for number, line in enumerate(lines[start:], start + 1):
            if line.strip():
                f = _fields(line.split(","), 16, number, name)
                hour = _whole(f[3], number, name) - 1
                yield _Hour(
                    number, _whole(f[1], number, name), _whole(f[2], number, name), hour, (f[13], f[15], f[6])
                )

    return place, hours()


def _tmy3(text: str, name: str) -> _Parts:
    rows = list(csv.reader(text.splitlines()))
    place = _Place(float(rows[0][4]), float(rows[0][5]), float(rows[0][3]))
    column = {title.strip(): k for k, title in enumerate(rows[1])}
    wanted = [_column(column, title) for title in ("GHI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)")]
    date, time = column["Date (MM/DD/YYYY)"], column["Time (HH:MM)"]

    def hours() -> Iterator[_Hour]:
        for number, row in enumerate(rows[2:], 3):
            if row:
                f = _fields(row, max(*wanted, date, time) + 1, number, name)
                month, day = (_whole(part, number, name) for part in f[date].split("/")[:2])
                hour = (_whole(f[time].split(":")[0], number, name) - 1) % 24
                yield _Hour(number, month, day, hour, (f[wanted[0]], f[wanted[1]], f[wanted[2]]))

    return place, hours()


def _column(columns: dict[str, int], title: str) -> int:
    """Return a column by its title; the older way to write W/m² has no accent on the square."""
    return columns[title] if title in columns else columns[title.replace("^", "")]


def _tmy2(text: str, name: str) -> _Parts:
    lines = text.splitlines()
    head = lines[0].split()
    sign = {"N": 1, "S": -1, "E": 1, "W": -1}
    at = next(k for k, word in enumerate(head) if word in ("N", "S"))
    lat = sign[head[at]] * (int(head[at + 1]) + int(head[at + 2]) / 60)
    lon = sign[head[at + 3]] * (int(head[at + 4]) + int(head[at + 5]) / 60)
    place = _Place(lat, lon, float(head[at - 1]))

    def hours() -> Iterator[_Hour]:
        for number, line in enumerate(lines[1:], 2):
            if not line.strip():
                continue
            if len(line) < 71:
                raise _wrong(name, number, f"ends after {len(line)} characters; a line of TMY2 has 142")
            month, day, hour = (_whole(line[k : k + 2], number, name) for k in (3, 5, 7))
            air = line[67:71].strip()
            tenths = str(_whole(air, number, name) / 10)
            yield _Hour(number, month, day, hour - 1, (line[17:21], line[29:33], tenths))

    return place, hours()


def _pvgis_csv(text: str, name: str) -> _Parts:
    lines = text.splitlines()
    lat, lon = (float(lines[k].split(":")[1]) for k in (0, 1))
    start = next(k for k, line in enumerate(lines) if line.startswith(("time,", "time(UTC),")))
    late_h = 0.0
    for number, line in enumerate(lines[:start], 1):
        if line.startswith("Irradiance Time Offset"):
            late_h = float(line.split(":")[1])
        if line.startswith("Slope") and float(line.split(":")[1].split()[0]) != 0:
            raise _wrong(
                name, number, "is for a tilted plane; ask for slope 0, so that any panel can be worked out"
            )
    titles = [title.strip() for title in lines[start].split(",")]

    def rows() -> Iterator[tuple[int, dict[str, str]]]:
        for number, line in enumerate(lines[start + 1 :], start + 2):
            if not line.strip():
                return
            yield number, dict(zip(titles, _fields(line.split(","), len(titles), number, name), strict=False))

    return _pvgis(lat, lon, late_h, rows(), name)


def _pvgis_json(text: str, name: str) -> _Parts:
    try:
        held: Any = json.loads(text)
    except json.JSONDecodeError as broken:
        raise _wrong(name, broken.lineno, f"is broken JSON: {broken.msg}") from None
    where = held["inputs"][_PLACE_OF_PVGIS]
    fixed = held["inputs"].get("mounting_system", {}).get("fixed", {})
    if float(fixed.get("slope", {}).get("value", 0.0)) != 0.0:
        raise _wrong(name, 1, "is for a tilted plane; ask for slope 0, so that any panel can be worked out")
    outputs = held["outputs"]
    rows = outputs["tmy_hourly"] if "tmy_hourly" in outputs else outputs["hourly"]
    numbered = ((1, {key: str(value) for key, value in row.items()}) for row in rows)
    late_h = float(where.get("irradiance_time_offset", 0.0))
    return _pvgis(float(where["latitude"]), float(where["longitude"]), late_h, numbered, name)


def _pvgis(
    lat: float, lon: float, late_h: float, rows: Iterable[tuple[int, dict[str, str]]], name: str
) -> _Parts:
    """Return place and hours of PVGIS, which writes times like 20160101:0010 in UTC.

    Its sun is that of one moment, in typical years `late_h` after the time written.
    """
    done, minute = [], 0.0
    for number, row in rows:
        time = row.get("time") or row.get("time(UTC)") or ""
        if len(time) != 13 or time[8] != ":":
            raise _wrong(name, number, f"{time!r} is no time of PVGIS; it is written like 20160101:0010")
        month, day, hour, late = (_whole(time[k : k + 2], number, name) for k in (4, 6, 9, 11))
        minute = float(late) + 60 * late_h
        if "G(h)" in row:
            sun, sky = row["G(h)"], row.get("Gd(h)")
        elif "G(i)" in row:
            sun, sky = row["G(i)"], None
        else:
            parts = [row[key] for key in ("Gb(i)", "Gd(i)")]
            sun, sky = str(sum(float(part) for part in parts)), parts[1]
        done.append(_Hour(number, month, day, hour, (sun, sky, row["T2m"])))
    return _Place(lat, lon, 0.0, minute), done


def _fields(row: list[str], least: int, line: int, name: str) -> list[str]:
    if len(row) < least:
        raise _wrong(name, line, f"holds {len(row)} fields; at least {least} are needed")
    return row


def _whole(text: str, line: int, name: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise _wrong(name, line, f"{text.strip()!r} is no whole number") from None


# From lines to a record


def _calendar() -> list[tuple[int, int, int]]:
    days = [(month, day) for month, long in enumerate(DAYS_IN_MONTH, 1) for day in range(1, long + 1)]
    return [(month, day, hour) for month, day in days for hour in range(24)]


def _checked(hours: list[_Hour], name: str) -> Floats:
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


def _weather(place: _Place, values: Floats, name: str) -> Weather:
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
