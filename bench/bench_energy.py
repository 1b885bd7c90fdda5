"""The year of a van: weather of a place, one design through one hourly year, all that `year` tells."""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

from loomwright import assess, read
from loomwright.assessment.energy.year import year_of
from loomwright.assessment.energy.year_run import YearRun
from loomwright.energy import climate, weather
from loomwright.energy.clear import library_of_the_sun
from loomwright.energy.strung import strung
from loomwright.energy.weather_files import read_weather

DEMO = Path(__file__).resolve().parent.parent / "examples" / "alderford.yaml"
TIMES = 5


def bench() -> list[tuple[str, float, str]]:
    """Return the time of loading pvlib, of weather, of one design and of the whole answer."""
    began = time.perf_counter()
    pvlib = library_of_the_sun()
    loaded = (time.perf_counter() - began) * 1e3
    job, places = assess(read(DEMO)), count()
    one, data = YearRun(job, 1), _file(pvlib)
    own = read_weather(data, "w.csv")
    return [
        ("load pvlib, once in a process", loaded, "ms"),
        ("first weather year of a place", _ms(lambda: weather.years(climate.at(40.0 + next(places)))), "ms"),
        ("  a hundred years of it", _ms(lambda: weather.years(climate.at(51.5), 100)), "ms"),
        ("one design, one hourly year, warm", _ms(one.whole), "ms"),
        ("one design, 100 hourly years, warm", _ms(YearRun(job, 100).whole), "ms"),
        ("all that year tells, 100 years, warm", _ms(lambda: year_of(job, 100), 2), "ms"),
        ("read a weather file of a year", _ms(lambda: read_weather(data, "w.csv"), 2), "ms"),
        ("  a hundred years strung from it", _ms(lambda: strung(own, 100), 2), "ms"),
    ]  # fmt: skip


def _file(pvlib: object) -> bytes:
    return (Path(str(vars(pvlib)["__file__"])).parent / "data" / "723170TYA.CSV").read_bytes()


def _ms(work: Callable[[], object], times: int = TIMES) -> float:
    """Return the shortest time of several runs. [ms]"""
    best = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best * 1e3
