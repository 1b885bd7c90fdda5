"""The climate file of the package: sun, air and altitude at every half degree of land, and between.

How it is made and what stands in it: `tools/make_climate.py`.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.sun import Floats
from loomwright.errors import OutOfClimate

#: A place this far from the nearest land of the file has no climate here. [°]
REACH_DEG: Final = 2.0
#: The grid of the file: rows from 57° S, columns from 180° W, two to a degree.
_ROWS, _COLUMNS, _SOUTH, _WEST, _STRIP = 259, 720, -57.0, -180.0, 32


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
