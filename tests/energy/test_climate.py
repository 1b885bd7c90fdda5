"""The climate file against what others print, and what must hold of any place."""

from __future__ import annotations

import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.energy import climate
from loomwright.energy.nodes import modelled
from loomwright.energy.standard_year import DAYS_IN_MONTH
from loomwright.energy.sun import outside_by_month, outside_kwh_m2_day
from loomwright.errors import OutOfClimate
from tests.energy.published_sun import CATALONIA, GERMAN, UK, ZURICH

SUMMER = slice(3, 9)
EVERY = UK | ZURICH | CATALONIA | GERMAN


def year_of(monthly: object) -> float:
    return float(np.dot(np.asarray(monthly), DAYS_IN_MONTH))


@pytest.mark.parametrize("place", EVERY, ids=str)
def test_file_alone_against_published_series(place):
    """Year within 15 % and single months within 40 % of each series; the sources stand in published_sun.py.

    The German series are one typical year each, so a single month of them may lie further off.
    """
    printed = np.array(EVERY[place])
    ghi, _, _, _ = modelled(*place)
    assert year_of(ghi) == pytest.approx(year_of(printed), rel=0.15)
    assert np.all(np.abs(ghi / printed - 1) < (0.5 if place in GERMAN else 0.4))
    if place not in GERMAN:
        assert np.all(np.abs(ghi / printed - 1)[SUMMER] < 0.25)


@pytest.mark.parametrize("series", [UK, GERMAN], ids=["united kingdom", "germany"])
def test_years_of_compared_countries(series):
    """The band of 5 % is one standard deviation about the mean of the compared series."""
    ratios = [year_of(modelled(*place)[0]) / year_of(printed) for place, printed in series.items()]
    assert np.std(ratios) < 0.05
    assert abs(np.mean(ratios) - 1) < 0.06


@pytest.mark.parametrize("place", UK | CATALONIA, ids=str)
def test_a_published_table_wins_at_its_place(place):
    here = climate.at(*place)
    assert here.ghi_kwh_m2_day == pytest.approx((UK | CATALONIA)[place], rel=0.01)
    assert "put right by the table of" in here.taken_from


def test_a_published_table_fades_out():
    """Between the Midlands and the open coast of the Low Countries nothing jumps, and Paris has no table."""
    walk = [climate.at(52.0, east).ghi_kwh_m2_day for east in np.arange(0.0, 5.0, 0.01)]
    steps = np.abs(np.diff(np.log(walk), axis=0))
    assert steps.max() < 0.01
    assert climate.at(48.86, 2.35).ghi_kwh_m2_day == pytest.approx(modelled(48.86, 2.35)[0])


def test_helsinki():
    """Level ground, test year of the meteorological institute: about 980 kWh/m² (motiva.fi, one source)."""
    assert year_of(climate.at(60.17, 24.94).ghi_kwh_m2_day) == pytest.approx(980, rel=0.05)


def test_air_of_uk_regions():
    """SAP Table U1 wins at its place; the file alone comes within 0.9 °C in the mean of the year."""
    printed = [5.1, 5.6, 7.4, 9.9, 13.0, 16.0, 17.9, 17.8, 15.2, 11.6, 8.0, 5.1]  # Thames
    assert climate.at(51.6, -0.9).air_c == pytest.approx(printed, abs=0.05)
    assert np.mean(modelled(51.6, -0.9)[1]) == pytest.approx(np.mean(printed), abs=0.9)


def test_outside_of_the_atmosphere():
    """FAO Irrigation and Drainage Paper 56, example 8: 20° S, 3 September, 32.2 MJ/m² with its constant
    and its own declination, 0.7° off on that day."""
    constant_w_m2 = 0.0820e6 / 60
    here = outside_kwh_m2_day(-20.0, np.array([246.0]))[0] * 3.6 * constant_w_m2 / 1361.0
    assert here == pytest.approx(32.2, rel=0.02)


def test_higher_is_colder():
    """The standard atmosphere loses 6.5 °C a kilometre (ISO 2533)."""
    low, high = climate.at(47.3, 11.4, 574.0), climate.at(47.3, 11.4, 1574.0)
    assert np.subtract(low.air_c, high.air_c) == pytest.approx([6.5] * 12)
    assert low.ghi_kwh_m2_day == high.ghi_kwh_m2_day


def test_bands():
    compared = [(51.5, -0.1), (57.5, -4.2), (54.6, -5.9), (52.5, 13.4), (48.1, 11.6), (53.6, 10.0)]
    others = [
        (60.2, -1.2),
        (53.35, -6.26),
        (48.86, 2.35),
        (52.37, 4.9),
        (50.08, 14.44),
        (47.38, 8.54),
        (41.4, 2.2),
        (-36.9, 174.8),
    ]
    assert {climate.at(*place).band_pct for place in compared} == {5.0}
    assert {climate.at(*place).band_pct for place in others} == {15.0}


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ((91.0, 0.0), "latitude is -90 to 90"),
        ((float("nan"), 0.0), "latitude is -90 to 90"),
        ((30.0, -40.0), "30° N, 40° W"),
        ((80.0, 15.0), "57° S and 72° N"),
        ((-75.0, 0.0), "Give the sun hours of each month"),
    ],
)
def test_no_climate(place, words):
    with pytest.raises(OutOfClimate, match=words):
        climate.at(*place)


@pytest.mark.parametrize(
    "place", [(60.15, -1.15), (62.0, -6.8), (28.3, -16.6), (35.9, 14.4), (39.6, 2.9)], ids=str
)
def test_islands_are_held(place):
    """Shetland, the Faroes, Tenerife, Malta, Mallorca."""
    assert climate.at(*place).ghi_kwh_m2_day[5] > 4.0


@settings(max_examples=60, deadline=None)
@given(st.floats(-50, 70), st.floats(-180, 180))
def test_any_place(lat, lon):
    try:
        here = climate.at(lat, lon)
    except OutOfClimate:
        return
    assert all(0 <= ghi <= 0.9 * outside + 0.1 for ghi, outside in zip(
        here.ghi_kwh_m2_day, outside_by_month(lat), strict=True))  # fmt: skip
    assert all(-65 < night <= mean <= day < 55 for night, mean, day in zip(
        here.night_c, here.air_c, here.day_c, strict=True))  # fmt: skip
    south = lat < -30
    if abs(lat) > 30:
        ghi = here.ghi_kwh_m2_day
        assert (ghi[5] < ghi[11]) == south
    assert climate.on_plane(here, 0.0) == (1.0,) * 12
    assert climate.at(lat, lon + 360.0 if lon < 0 else lon - 360.0).ghi_kwh_m2_day == pytest.approx(
        here.ghi_kwh_m2_day, rel=1e-6
    )


def test_moved_a_little_changes_little():
    for lat, lon in ((51.5, -0.1), (47.3, 11.4), (42.08, 1.82), (57.1, -4.7)):
        here, there = climate.at(lat, lon), climate.at(lat + 0.01, lon + 0.01)
        assert here.ghi_kwh_m2_day == pytest.approx(there.ghi_kwh_m2_day, rel=0.01)


def test_across_the_date_line():
    assert climate.at(66.0, 180.0).ghi_kwh_m2_day == pytest.approx(climate.at(66.0, -180.0).ghi_kwh_m2_day)
    assert climate.at(66.0, 179.99).air_c == pytest.approx(climate.at(66.0, -179.99).air_c, abs=0.3)


def test_needs_numpy_alone():
    """In a fresh process the first place takes no package but numpy."""
    code = (
        "import sys\nfrom loomwright.energy import climate\nclimate.at(51.5)\n"
        "assert not {'pandas', 'scipy', 'pvlib', 'h5py', 'loomwright.plan'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def test_tilted_to_the_south_gains_in_winter():
    """Helsinki: 45° to the south gives 20 to 30 % more a year than level ground (motiva.fi, one source)."""
    here = climate.at(60.17, 24.94)
    factors = climate.on_plane(here, 45.0)
    gain = year_of(np.multiply(factors, here.ghi_kwh_m2_day)) / year_of(here.ghi_kwh_m2_day)
    assert 1.15 < gain < 1.32
    assert factors[11] > factors[5]
    east, west = climate.on_plane(here, 20.0, 90.0), climate.on_plane(here, 20.0, 270.0)
    assert east == pytest.approx(west, rel=1e-6)
    assert climate.on_plane(climate.at(-36.9, 174.8), 30.0, 0.0)[5] > 1.2


def test_attributions_stand_in_the_manual():
    held = files("loomwright.energy").joinpath("climate_data/ATTRIBUTION.txt").read_text(encoding="utf-8")
    page = (Path(__file__).parents[2] / "docs" / "methods" / "weather.md").read_text(encoding="utf-8")
    assert held.strip() in page
