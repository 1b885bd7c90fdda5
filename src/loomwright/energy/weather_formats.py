"""The formats of weather files: which one it is, its place, and its hours one after the other, as text.

Read are EPW, TMY3 (csv), TMY2 (tm2) and the hourly and typical-year files of PVGIS (csv, json).

Sources: formats as the U.S. Department of Energy (EPW), NREL (TMY2, TMY3: user's manuals) and the European
Commission's Joint Research Centre (PVGIS) describe them.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from loomwright.errors import Problem, WeatherFileError

#: Words of the formats, not ours: as bytes, since our own texts say "place".
_EPW_BEGINS: Final = b"LOCATION,".decode()
_SITE_OF_PVGIS: Final = b"location".decode()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a file is from: latitude and longitude [°], its clock less UTC [h]."""

    lat_deg: float
    lon_deg: float
    zone_h: float
    #: Minute of its hour that a line is for; None: the mean of the hour.
    minute: float | None = None


@dataclass(frozen=True, slots=True)
class Hour:
    """One line: where it stands, month, day, hour (0 to 23), and sun, sky, air as text."""

    line: int
    month: int
    day: int
    hour: int
    values: tuple[str, str | None, str]


Parts = tuple[Place, Iterable[Hour]]


def wrong(name: str, line: int, says: str) -> WeatherFileError:
    """Return what is said of one line of a file."""
    return WeatherFileError([Problem(line, 1, "", says, name)])


def format_of(text: str, name: str) -> Callable[[str, str], Parts]:
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
    raise wrong(name, 1, "is no EPW, TMY3, TMY2 or PVGIS file: its first line fits none of them")


# The formats: a place, and hours one after the other


def _epw(text: str, name: str) -> Parts:
    lines = text.splitlines()
    head = lines[0].split(",")
    place = Place(float(head[6]), float(head[7]), float(head[8]))
    start = next(k for k, line in enumerate(lines) if line.upper().startswith("DATA PERIODS")) + 1

    def hours() -> Iterator[Hour]:
        for number, line in enumerate(lines[start:], start + 1):
            if line.strip():
                f = _fields(line.split(","), 16, number, name)
                hour = _whole(f[3], number, name) - 1
                yield Hour(
                    number, _whole(f[1], number, name), _whole(f[2], number, name), hour, (f[13], f[15], f[6])
                )

    return place, hours()


def _tmy3(text: str, name: str) -> Parts:
    rows = list(csv.reader(text.splitlines()))
    place = Place(float(rows[0][4]), float(rows[0][5]), float(rows[0][3]))
    column = {title.strip(): k for k, title in enumerate(rows[1])}
    wanted = [_column(column, title) for title in ("GHI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)")]
    date, time = column["Date (MM/DD/YYYY)"], column["Time (HH:MM)"]

    def hours() -> Iterator[Hour]:
        for number, row in enumerate(rows[2:], 3):
            if row:
                f = _fields(row, max(*wanted, date, time) + 1, number, name)
                month, day = (_whole(part, number, name) for part in f[date].split("/")[:2])
                hour = (_whole(f[time].split(":")[0], number, name) - 1) % 24
                yield Hour(number, month, day, hour, (f[wanted[0]], f[wanted[1]], f[wanted[2]]))

    return place, hours()


def _column(columns: dict[str, int], title: str) -> int:
    """Return a column by its title; the older way to write W/m² has no accent on the square."""
    return columns[title] if title in columns else columns[title.replace("^", "")]


def _tmy2(text: str, name: str) -> Parts:
    lines = text.splitlines()
    head = lines[0].split()
    sign = {"N": 1, "S": -1, "E": 1, "W": -1}
    at = next(k for k, word in enumerate(head) if word in ("N", "S"))
    lat = sign[head[at]] * (int(head[at + 1]) + int(head[at + 2]) / 60)
    lon = sign[head[at + 3]] * (int(head[at + 4]) + int(head[at + 5]) / 60)
    place = Place(lat, lon, float(head[at - 1]))

    def hours() -> Iterator[Hour]:
        for number, line in enumerate(lines[1:], 2):
            if not line.strip():
                continue
            if len(line) < 71:
                raise wrong(name, number, f"ends after {len(line)} characters; a line of TMY2 has 142")
            month, day, hour = (_whole(line[k : k + 2], number, name) for k in (3, 5, 7))
            air = line[67:71].strip()
            tenths = str(_whole(air, number, name) / 10)
            yield Hour(number, month, day, hour - 1, (line[17:21], line[29:33], tenths))

    return place, hours()


def _pvgis_csv(text: str, name: str) -> Parts:
    lines = text.splitlines()
    lat, lon = (float(lines[k].split(":")[1]) for k in (0, 1))
    start = next(k for k, line in enumerate(lines) if line.startswith(("time,", "time(UTC),")))
    late_h = 0.0
    for number, line in enumerate(lines[:start], 1):
        if line.startswith("Irradiance Time Offset"):
            late_h = float(line.split(":")[1])
        if line.startswith("Slope") and float(line.split(":")[1].split()[0]) != 0:
            raise wrong(
                name, number, "is for a tilted plane; ask for slope 0, so that any panel can be worked out"
            )
    titles = [title.strip() for title in lines[start].split(",")]

    def rows() -> Iterator[tuple[int, dict[str, str]]]:
        for number, line in enumerate(lines[start + 1 :], start + 2):
            if not line.strip():
                return
            yield number, dict(zip(titles, _fields(line.split(","), len(titles), number, name), strict=False))

    return _pvgis(lat, lon, late_h, rows(), name)


def _pvgis_json(text: str, name: str) -> Parts:
    try:
        held: Any = json.loads(text)
    except json.JSONDecodeError as broken:
        raise wrong(name, broken.lineno, f"is broken JSON: {broken.msg}") from None
    where = held["inputs"][_SITE_OF_PVGIS]
    fixed = held["inputs"].get("mounting_system", {}).get("fixed", {})
    if float(fixed.get("slope", {}).get("value", 0.0)) != 0.0:
        raise wrong(name, 1, "is for a tilted plane; ask for slope 0, so that any panel can be worked out")
    outputs = held["outputs"]
    rows = outputs["tmy_hourly"] if "tmy_hourly" in outputs else outputs["hourly"]
    numbered = ((1, {key: str(value) for key, value in row.items()}) for row in rows)
    late_h = float(where.get("irradiance_time_offset", 0.0))
    return _pvgis(float(where["latitude"]), float(where["longitude"]), late_h, numbered, name)


def _pvgis(
    lat: float, lon: float, late_h: float, rows: Iterable[tuple[int, dict[str, str]]], name: str
) -> Parts:
    """Return place and hours of PVGIS, which writes times like 20160101:0010 in UTC.

    Its sun is that of one moment, in typical years `late_h` after the time written.
    """
    done, minute = [], 0.0
    for number, row in rows:
        time = row.get("time") or row.get("time(UTC)") or ""
        if len(time) != 13 or time[8] != ":":
            raise wrong(name, number, f"{time!r} is no time of PVGIS; it is written like 20160101:0010")
        month, day, hour, late = (_whole(time[k : k + 2], number, name) for k in (4, 6, 9, 11))
        minute = float(late) + 60 * late_h
        if "G(h)" in row:
            sun, sky = row["G(h)"], row.get("Gd(h)")
        elif "G(i)" in row:
            sun, sky = row["G(i)"], None
        else:
            parts = [row[key] for key in ("Gb(i)", "Gd(i)")]
            sun, sky = str(sum(float(part) for part in parts)), parts[1]
        done.append(Hour(number, month, day, hour, (sun, sky, row["T2m"])))
    return Place(lat, lon, 0.0, minute), done


def _fields(row: list[str], least: int, line: int, name: str) -> list[str]:
    if len(row) < least:
        raise wrong(name, line, f"holds {len(row)} fields; at least {least} are needed")
    return row


def _whole(text: str, line: int, name: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise wrong(name, line, f"{text.strip()!r} is no whole number") from None


__all__ = ["Hour", "Parts", "Place", "format_of", "wrong"]
