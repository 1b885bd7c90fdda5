"""Weather that several tests look at, made once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from loomwright.energy import climate, weather
from loomwright.energy.standard_year import MONTH_OF_DAY
from loomwright.energy.sun import Floats, monthly_means
from loomwright.energy.weather import Weather
from loomwright.energy.weather_files import read_weather

#: Hourly years of stations that pvlib brings along: file, latitude, longitude.
STATIONS = {
    "Greensboro": ("723170TYA.CSV", 36.1, -79.95),
    "Sand Point": ("703165TY.csv", 55.317, -160.517),
    "Miami": ("12839.tm2", 25.8, -80.267),
}


def pvlib_data() -> Path:
    import pvlib

    return Path(pvlib.__file__).parent / "data"


def daily_sun(of: Weather) -> Floats:
    """Return the sun of each day, shape (count, 365). [kWh/m²]"""
    return of.ghi_w_m2.reshape(-1, 365, 24).sum(-1) / 1000


def daily_kt(of: Weather) -> Floats:
    outside = of.sun.outside_w_m2.reshape(365, 24).sum(-1) / 1000
    return daily_sun(of) / np.maximum(outside, 1e-3)


def strays(daily: Floats) -> Floats:
    """Return days less the mean of their month, over all years."""
    return daily - monthly_means(daily).mean(0)[MONTH_OF_DAY]


def lagged(days: Floats, by: int = 1) -> float:
    """Return how far days go with those before them: correlation of strays with mean 0."""
    return float((days[:, by:] * days[:, :-by]).mean() / (days**2).mean())


@dataclass(frozen=True)
class Pair:
    """A station's own year, and thirty synthetic ones with the same sun in each month."""

    real: Weather
    made: Weather


@pytest.fixture(scope="session")
def stations() -> dict[str, Pair]:
    done = {}
    for name, (file, lat, lon) in STATIONS.items():
        real = read_weather((pvlib_data() / file).read_bytes(), file)
        made = weather.years(climate.at(lat, lon), 30, 1, sun_hours=tuple(real.sun_by_month()[0]), alike=True)
        done[name] = Pair(real, made)
    return done


@pytest.fixture(scope="session")
def hamburg() -> climate.Climate:
    return climate.at(53.63, 10.0, 13.0)


@pytest.fixture(scope="session")
def hundred(hamburg: climate.Climate) -> Weather:
    return weather.years(hamburg, 100, 3)
