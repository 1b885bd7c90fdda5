"""Sun and air of a place, month by month, from a file in the package: no network, numpy alone.

The file holds land at every half degree (how it is made: `tools/make_climate.py`). Near a place that a
national table prints (`climate_data/published.csv`), the table wins and fades out by 150 km. Sun is that of a
free horizon: no trees, no hills, no street.

How far to trust it: in the United Kingdom and Germany the year came within 5 % (one standard deviation) of 26
published series; single months within 6 to 9 % from April to October and 13 to 17 % in winter. Elsewhere only
a few single points were compared, so that 15 % is assumed. Alpine valleys in winter come out up to a quarter
too sunny.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.sun import Floats, clearness, plane_factors
from loomwright.errors import OutOfClimate
from loomwright.source import Source

#: Air gets colder by so much on the way up: the standard atmosphere of ISO 2533.
LAPSE_C_PER_M: Final = 0.0065
#: A place this far from the nearest land of the file has no climate here. [°]
REACH_DEG: Final = 2.0
#: A published table holds whole up to the first distance and is gone at the second. [km]
PUBLISHED_KM: Final = (60.0, 150.0)
#: The grid of the file: rows from 57° S, columns from 180° W, two to a degree.
_ROWS, _COLUMNS, _SOUTH, _WEST, _STRIP = 259, 720, -57.0, -180.0, 32
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

SOURCE: Final = Source(
    work="MERRA-2 and GLDAS (NASA), ERA5 (Copernicus Climate Change Service)",
    place="monthly means by half degrees; see climate_data/ATTRIBUTION.txt",
    checked="computed",
)
#: Rough outlines (latitude, longitude) of the countries whose published series were compared.
_COMPARED: Final = (
    # United Kingdom
    (
        (49.8, -6.6), (50.0, -3.4), (50.4, -0.9), (50.9, 1.3), (51.5, 1.7), (52.7, 1.9), (53.2, 0.5),
        (54.5, -0.2), (55.7, -1.4), (57.4, -1.5), (58.8, -2.8), (58.7, -5.2),
        (58.5, -7.2), (56.6, -7.8), (55.4, -6.9), (55.0, -7.6), (54.4, -8.2), (54.1, -7.3), (54.0, -6.2),
        (53.4, -4.8), (51.8, -5.5), (51.1, -4.9),
    ),
    # Germany
    (
        (54.9, 8.2), (54.8, 9.9), (54.4, 11.2), (54.7, 13.6), (53.9, 14.3), (52.9, 14.1), (52.3, 14.7),
        (51.3, 15.0), (50.9, 14.6), (50.4, 12.9), (50.2, 12.1), (49.3, 12.6), (48.7, 13.8), (47.6, 13.0),
        (47.3, 10.3), (47.6, 9.5), (47.6, 7.6), (49.0, 8.2), (49.4, 6.5), (50.3, 6.2), (51.0, 5.9),
        (51.8, 6.1), (52.2, 7.0), (53.2, 7.0), (53.8, 6.8),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """Twelve months of sun and air at a place, January first.

    Attributes
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°]
    altitude_m : float
        That of the place if it was given, else the mean of the land about it. [m]
    ghi_kwh_m2_day : tuple of 12 float
        Irradiation of a level plane: the sun hours a day of a panel that lies flat. [kWh/m²/day]
    air_c : tuple of 12 float
        Mean temperature of the air, day and night. [°C]
    band_pct : float
        How far the sun of a whole year may be out, either way. [%]
    source : Source
        The work behind it.
    taken_from : str
        In words: which cells, which published table, what was put right.
    """

    lat_deg: float
    lon_deg: float
    altitude_m: float
    ghi_kwh_m2_day: tuple[float, ...]
    air_c: tuple[float, ...]
    band_pct: float
    source: Source
    taken_from: str

    @property
    def clearness(self) -> tuple[float, ...]:
        """Each month's sun over that outside the atmosphere."""
        return clearness(self.ghi_kwh_m2_day, self.lat_deg)

    @property
    def day_range_c(self) -> tuple[float, ...]:
        """Warmest less coldest hour of a mean day by month, 1.5 + 14 · clearness. [°C]

        Fitted to 15 German test reference years; single stations lie up to 4 °C off at a clear sky.
        """
        return tuple(1.5 + 14.0 * kt for kt in self.clearness)

    @property
    def night_c(self) -> tuple[float, ...]:
        """Coldest hour of a mean day by month. [°C]"""
        return tuple(mean - span / 2 for mean, span in zip(self.air_c, self.day_range_c, strict=True))

    @property
    def day_c(self) -> tuple[float, ...]:
        """Warmest hour of a mean day by month. [°C]"""
        return tuple(mean + span / 2 for mean, span in zip(self.air_c, self.day_range_c, strict=True))


def at(lat_deg: float, lon_deg: float = 0.0, altitude_m: float | None = None) -> Climate:
    """Return the climate of a place on land.

    Parameters
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°] Without a longitude that of London is taken.
    altitude_m : float, optional
        Height above the sea, if known: the air is put right by 6.5 °C a kilometre. [m]

    Returns
    -------
    Climate
        Its twelve months, and where they come from.

    Raises
    ------
    OutOfClimate
        Not a place on earth, or further than 2° from all land of the file (57° S to 72° N).

    Examples
    --------
    >>> [round(hours, 1) for hours in at(51.5, -0.1).ghi_kwh_m2_day][::3]
    [0.7, 3.9, 5.0, 1.8]
    """
    ghi, air, ground, where = modelled(lat_deg, lon_deg)
    ghi_factor, air_step, table = _published_about(lat_deg, lon_deg)
    height = ground if altitude_m is None else altitude_m
    air = air + air_step - LAPSE_C_PER_M * (height - ground)
    words = [where, table, "" if altitude_m is None else f"air for {altitude_m:g} m above the sea"]
    return Climate(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        altitude_m=float(round(height)),
        ghi_kwh_m2_day=_tuple(ghi * ghi_factor),
        air_c=_tuple(air),
        band_pct=5.0 if _compared(lat_deg, lon_deg) else 15.0,
        source=SOURCE,
        taken_from="; ".join(word for word in words if word),
    )


def from_months(
    lat_deg: float,
    ghi_kwh_m2_day: Sequence[float],
    air_c: Sequence[float],
    *,
    lon_deg: float = 0.0,
    altitude_m: float = 0.0,
    band_pct: float = 0.0,
) -> Climate:
    """Return a climate from twelve months that somebody gives.

    Parameters
    ----------
    lat_deg : float
        North positive. [°]
    ghi_kwh_m2_day, air_c : sequence of 12 float
        Sun of a level plane and mean air, January first. [kWh/m²/day, °C]
    lon_deg, altitude_m : float
        Where it is, for the haze of a clear sky. [°, m]
    band_pct : float
        How far the sun may be out. [%]

    Returns
    -------
    Climate
        Of these months; its source is whoever gave them.
    """
    given = Source(work="own figures", place="twelve months as given", checked="one source")
    return Climate(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        altitude_m=altitude_m,
        ghi_kwh_m2_day=tuple(ghi_kwh_m2_day),
        air_c=tuple(air_c),
        band_pct=band_pct,
        source=given,
        taken_from="months as given",
    )


def on_plane(climate: Climate, tilt_deg: float, azimuth_deg: float = 180.0) -> tuple[float, ...]:
    """Return the factors by which a tilted plane gets more, or less, sun than a level one, by month.

    Parameters
    ----------
    climate : Climate
        The place.
    tilt_deg, azimuth_deg : float
        0 is level; 0 north, 90 east, 180 south. [°]

    Returns
    -------
    tuple of 12 float
        To multiply `ghi_kwh_m2_day` with; see `sun.plane_factors`.
    """
    return plane_factors(climate.ghi_kwh_m2_day, climate.lat_deg, tilt_deg, azimuth_deg)


# The file


def modelled(lat_deg: float, lon_deg: float) -> tuple[Floats, Floats, float, str]:
    """Return what the file alone says: sun, air, altitude and in words from where.

    Parameters
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°]

    Returns
    -------
    tuple
        Sun, shape (12,) [kWh/m²/day]; air, shape (12,) [°C]; mean altitude [m]; words.

    Raises
    ------
    OutOfClimate
        As `at`.
    """
    if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 360.0):
        raise OutOfClimate(
            f"{lat_deg:g}, {lon_deg:g} is no place: latitude is -90 to 90, longitude -180 to 180"
        )
    y, x = (lat_deg - _SOUTH) * 2, ((lon_deg - _WEST) * 2) % _COLUMNS
    row, column = int(np.floor(y)), int(np.floor(x))
    total, mean, on_land = 0.0, np.zeros(25), False
    for down in (0, 1):
        for right in (0, 1):
            corner, weight = (row + down, (column + right) % _COLUMNS), abs(1 - down - (y - row))
            weight *= abs(1 - right - (x - column))
            if weight > 1e-9 and (values := _node(*corner)) is not None:
                total, mean = total + weight, mean + weight * values
                on_land = on_land or _is_land(*corner)
    if total == 0.0:
        raise OutOfClimate(
            f"no climate is held for {_place(lat_deg, lon_deg)}: the nearest land between 57° S and 72° N is "
            "more than 2° away. Give the sun hours of each month instead."
        )
    mean = mean / total
    words = "half-degree cells about" if on_land else "half-degree cells on the land nearest to"
    words = f"{words} {_place(lat_deg, lon_deg)}"
    return mean[:12] / 100, mean[12:24] / 10, float(mean[24]) * 10, words


def _place(lat_deg: float, lon_deg: float) -> str:
    """Return a place as words: "51.5° N, 0.1° W"."""
    lon = (lon_deg + 180.0) % 360.0 - 180.0
    return f"{abs(lat_deg):.4g}° {'N' if lat_deg >= 0 else 'S'}, {abs(lon):.4g}° {'E' if lon >= 0 else 'W'}"


def _is_land(row: int, column: int) -> bool:
    """Return whether the file holds this node."""
    return 0 <= row < _ROWS and bool(_land()[row, column])


@cache
def _node(row: int, column: int) -> Floats | None:
    """Return the 25 numbers of a node as the file codes them; None if there is no land within reach.

    A node at sea gets those of up to four nodes of land, by the square of their distances.
    """
    if _is_land(row, column):
        values, place = _strip(row // _STRIP)
        return values[:, place[row % _STRIP, column]].astype(np.float64)
    reach, narrow = round(REACH_DEG * 2), float(np.cos(np.radians(_SOUTH + row / 2)))
    across = min(_COLUMNS // 2 - 1, int(reach / max(0.05, narrow)))
    found = []
    for down in range(-reach, reach + 1):
        for right in range(-across, across + 1):
            node = (row + down, (column + right) % _COLUMNS)
            far = float(np.hypot(down, right * narrow)) / 2
            if far <= REACH_DEG and _is_land(*node):
                found.append((far, node))
    near = [(1 / far**2, _node(*node)) for far, node in sorted(found)[:4]]
    total = sum(weight for weight, _ in near)
    return sum((v * (w / total) for w, v in near if v is not None), np.zeros(25)) if near else None


@cache
def _land() -> NDArray[np.bool_]:
    """Return which nodes the file holds, shape (259, 720)."""
    return np.unpackbits(_held("land"), count=_ROWS * _COLUMNS).reshape(_ROWS, _COLUMNS).astype(bool)


@cache
def _strip(number: int) -> tuple[NDArray[np.int16], NDArray[np.int64]]:
    """Return the values of a strip of 32 rows, shape (25, nodes), and each node's place among them."""
    land = _land()[number * _STRIP : (number + 1) * _STRIP]
    values = np.cumsum(_held(f"strip{number}"), axis=1, dtype=np.int16)
    return values, np.cumsum(land).reshape(land.shape) - 1


def _held(name: str) -> NDArray[Any]:
    """Return an array of the file."""
    with (
        files("loomwright.energy").joinpath("climate_data/climate.npz").open("rb") as file,
        np.load(file, allow_pickle=False) as held,
    ):
        array: NDArray[Any] = held[name]
    return array


def _tuple(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


# Published tables


@cache
def _published() -> tuple[tuple[str, str, float, float, Floats, Floats], ...]:
    """Return each published row: place, source, latitude, longitude, factors of the sun, steps of the air."""
    text = files("loomwright.energy").joinpath("climate_data/published.csv").read_text(encoding="utf-8")
    done: dict[str, tuple[str, str, float, float, Floats, Floats]] = {}
    for row in csv.DictReader(text.splitlines()):
        lat, lon = float(row["lat_deg"]), float(row["lon_deg"])
        values = np.array([float(row[month]) for month in _MONTHS])
        ghi, air, _, _ = modelled(lat, lon)
        factor, step = np.ones(12), np.zeros(12)
        if row["place"] in done:
            factor, step = done[row["place"]][4:]
        if row["quantity"] == "air_c":
            step = values - air
        else:
            factor = values * (0.024 if row["quantity"] == "ghi_w_m2" else 1.0) / ghi
        source = done[row["place"]][1] if row["place"] in done else row["source"]
        done[row["place"]] = (row["place"], source, lat, lon, factor, step)
    return tuple(done.values())


def _published_about(lat_deg: float, lon_deg: float) -> tuple[Floats, Floats, str]:
    """Return factors of the sun, steps of the air and words, from the published tables nearby.

    Between several the corrections are mixed by distance, so that they reach each table's own place and
    change smoothly (Shepard's weights); all fade out together between the two distances of `PUBLISHED_KM`.
    """
    near = []
    for row in _published() if -60 < lat_deg < 75 else ():
        east = ((lon_deg - row[3] + 180) % 360 - 180) * np.cos(np.radians((lat_deg + row[2]) / 2))
        far = 111.2 * float(np.hypot(lat_deg - row[2], east))
        if far < PUBLISHED_KM[1]:
            near.append((far, row))
    if not near:
        return np.ones(12), np.zeros(12), ""
    near.sort(key=lambda found: found[0])
    whole, gone = PUBLISHED_KM
    part = min(1.0, (gone - near[0][0]) / (gone - whole))
    strength = part * part * (3 - 2 * part)
    weights = np.array([((gone - far) / (max(far, 0.1) * gone)) ** 2 for far, _ in near])
    weights /= weights.sum()
    factor = np.exp(strength * sum(w * np.log(row[4]) for w, (_, row) in zip(weights, near, strict=True)))
    step = strength * sum(w * row[5] for w, (_, row) in zip(weights, near, strict=True))
    named = near[0][1]
    return factor, step, f"put right by the table of {named[0]} ({named[1]}), {near[0][0]:.0f} km away"


def _compared(lat_deg: float, lon_deg: float) -> bool:
    """Return whether published series of the country were compared: a point within one of the outlines."""
    return any(_within(outline, lat_deg, lon_deg) for outline in _COMPARED)


def _within(outline: Sequence[tuple[float, float]], lat: float, lon: float) -> bool:
    """Return whether a point lies within an outline: a line from it to the east crosses it an odd time."""
    inside = False
    for (lat1, lon1), (lat2, lon2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (lat1 > lat) != (lat2 > lat) and lon < lon1 + (lat - lat1) / (lat2 - lat1) * (lon2 - lon1):
            inside = not inside
    return inside
