"""Monthly tables that others print, laid over the climate file near their places; and where it was compared.

The tables: `climate_data/published.csv`, each row with its source.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np

from loomwright.energy.nodes import modelled
from loomwright.energy.sun import Floats

#: A published table holds whole up to the first distance and is gone at the second. [km]
PUBLISHED_KM: Final = (60.0, 150.0)

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
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


def published_about(lat_deg: float, lon_deg: float) -> tuple[Floats, Floats, str]:
    """Return factors of the sun, steps of the air and words, from the published tables nearby.

    Between several the corrections are mixed by distance, so that they reach each table's own place and
    change smoothly (Shepard's weights); all fade out together between the two distances of `PUBLISHED_KM`.

    Parameters
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°]

    Returns
    -------
    tuple
        Factors, shape (12,); steps, shape (12,) [°C]; words, empty without a table nearby.
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


def compared(lat_deg: float, lon_deg: float) -> bool:
    """Return whether published series of the country were compared: a point within one of the outlines.

    Parameters
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°]

    Returns
    -------
    bool
        Whether they were.
    """
    return any(_within(outline, lat_deg, lon_deg) for outline in _COMPARED)


def _within(outline: Sequence[tuple[float, float]], lat: float, lon: float) -> bool:
    """Return whether a point lies within an outline: a line from it to the east crosses it an odd time."""
    inside = False
    for (lat1, lon1), (lat2, lon2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (lat1 > lat) != (lat2 > lat) and lon < lon1 + (lat - lat1) / (lat2 - lat1) * (lon2 - lon1):
            inside = not inside
    return inside
