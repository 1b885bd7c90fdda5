"""Weather files: as pvlib reads them, moved to the right hour, and refused with a line when broken."""

from __future__ import annotations

import json
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.energy import weather
from loomwright.energy.standard_year import DAYS_IN_MONTH
from loomwright.energy.weather_files import LARGEST_BYTES, read_weather
from loomwright.errors import WeatherFileError
from tests.energy.conftest import STATIONS, pvlib_data

HOURS = [
    (month, day, hour)
    for month, days in enumerate(DAYS_IN_MONTH, 1)
    for day in range(1, days + 1)
    for hour in range(24)
]
#: Level sun of a made-up day by the hour of the standard clock, and air.
DAY = [0] * 7 + [30, 120, 260, 380, 450, 470, 440, 360, 240, 110, 20] + [0] * 6
PLACE = (40.0, 0.0)


def epw() -> str:
    head = ["LOCATION,Somewhere,-,-,made up,0,40.0,0.0,0.0,100.0", *(f"HEAD {k}" for k in range(2, 8))]
    head.append("DATA PERIODS,1,1,Data,Sunday,1/1,12/31")
    rows = [
        f"2001,{m},{d},{h + 1},0,?9,{10 + h / 10},5,80,101000,0,0,300,{DAY[h]},0,{DAY[h] // 2},"
        + ",".join(["0"] * 19)
        for m, d, h in HOURS
    ]
    return "\n".join([*head, *rows]) + "\n"


def tmy3() -> str:
    head = [
        '999999,"SOMEWHERE",ZZ,0.0,40.0,0.0,100',
        "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DHI (W/m^2),Dry-bulb (C)",
    ]
    rows = [f"{m:02}/{d:02}/1999,{h + 1:02}:00,{DAY[h]},{DAY[h] // 2},{10 + h / 10}" for m, d, h in HOURS]
    return "\n".join([*head, *rows]) + "\n"


def pvgis_rows(leap: bool = False) -> list[str]:
    times = [(m, d, h) for m, d, h in HOURS]
    if leap:
        at = times.index((3, 1, 0))
        times[at:at] = [(2, 29, h) for h in range(24)]
    return [
        f"2016{m:02}{d:02}:{h:02}10,{DAY[h]:.2f},{DAY[h] / 2:.2f},{10 + h / 10},1.0,0" for m, d, h in times
    ]


def pvgis_csv(slope: int = 0, leap: bool = True) -> str:
    head = ["Latitude (decimal degrees): 40.000", "Longitude (decimal degrees): 0.000", "Elevation (m): 100",
            "Radiation database: made up", "", f"Slope: {slope} deg.", "Azimuth: 0 deg.", "",
            "time,G(i),H_sun,T2m,WS10m,Int"]  # fmt: skip
    return "\n".join([*head, *pvgis_rows(leap), "", "G(i): Global irradiance"]) + "\n"


def pvgis_json() -> str:
    rows = [
        {"time(UTC)": f"2016{m:02}{d:02}:{h:02}00", "T2m": 10 + h / 10, "G(h)": float(DAY[h]), "Gb(n)": 0.0,
        "Gd(h)": DAY[h] / 2} for m, d, h in HOURS
    ]  # fmt: skip
    where = {"location": {"latitude": 40.0, "longitude": 45.0, "elevation": 100.0}}
    return json.dumps({"inputs": where, "outputs": {"tmy_hourly": rows}, "meta": {}})


MADE = {"a.epw": epw(), "b.csv": tmy3(), "c.csv": pvgis_csv(), "d.json": pvgis_json()}


@cache
def made(name: str) -> weather.Weather:
    return read_weather(MADE[name].encode(), name)


@pytest.mark.parametrize("station", STATIONS)
def test_stations_against_pvlib(stations, station):
    from pvlib import iotools

    real = stations[station].real
    path = pvlib_data() / STATIONS[station][0]
    if path.suffix == ".tm2":
        data, meta = iotools.read_tmy2(str(path))
        ghi, dhi, air = data["GHI"].to_numpy(), data["DHI"].to_numpy(), data["DryBulb"].to_numpy() / 10
    else:
        data, meta = iotools.read_tmy3(path)
        ghi, dhi, air = (data[key].to_numpy() for key in ("ghi", "dhi", "temp_air"))
    up = real.sun.outside_w_m2 > 0
    assert real.ghi_w_m2[0][up].tolist() == ghi[up].tolist()
    assert real.dhi_w_m2[0][up].tolist() == np.minimum(dhi, ghi)[up].tolist()
    assert real.air_c[0] == pytest.approx(air)
    assert ghi[~up].sum() < 0.001 * ghi.sum()  # a watt or two in the minute of sunset
    assert (STATIONS[station][1], STATIONS[station][2]) == pytest.approx(
        (meta["latitude"], meta["longitude"]), abs=0.01
    )


@pytest.mark.parametrize("name", MADE)
def test_each_format(name):
    done = made(name)
    assert (done.count, done.clock) == (1, "standard")
    assert name in done.taken_from
    course = done.ghi_w_m2.reshape(365, 24)[170]
    moved = 3 if name == "d.json" else 0  # 45° E: three hours from UTC
    expected = (
        np.roll(DAY, moved)
        if name != "d.json"
        else np.where(done.sun.up[170 * 24 : 171 * 24] > 0, np.roll(DAY, 3), 0)
    )
    assert course.tolist() == expected.tolist()
    assert done.air_c.reshape(365, 24)[5].tolist() == pytest.approx(
        np.roll([10 + h / 10 for h in range(24)], moved)
    )
    if name != "c.csv":  # that one does not tell the sky's share
        assert done.dhi_w_m2.sum() == pytest.approx(done.ghi_w_m2.sum() / 2, rel=0.02)
    assert 0 < done.dhi_w_m2.sum() < done.ghi_w_m2.sum()


def test_sun_stands_highest_when_the_clock_says_so():
    """0° E in UTC: about noon; 45° E in its zone likewise; the sun of 15 June at 40° N stands 73° high
    at noon, and a degree less in the mean of the hours beside it."""
    done = made("a.epw")
    day = slice(165 * 24, 166 * 24)
    assert done.sun.up[day].argmax() in (11, 12)
    assert np.degrees(np.arcsin(done.sun.up[day].max())) == pytest.approx(73.3, abs=1.5)
    far = made("d.json")
    assert far.sun.up[day].argmax() in (11, 12)


def test_made_up_files_are_what_pvlib_takes_them_for():
    """The made-up files of these tests are in the formats that they say."""
    from io import StringIO

    from pvlib import iotools

    data, meta = iotools.read_epw(StringIO(MADE["a.epw"]))
    assert made("a.epw").ghi_w_m2[0].sum() == pytest.approx(data["ghi"].sum(), rel=0.01)
    assert (meta["latitude"], meta["longitude"]) == PLACE
    data, meta = iotools.read_pvgis_hourly(StringIO(MADE["c.csv"]), pvgis_format="csv")
    assert made("c.csv").air_c[0].tolist() == data["temp_air"][data.index.strftime("%m%d") != "0229"].tolist()


def test_parts_of_pvgis_are_added():
    """PVGIS with its parts told: from the sun and from the sky; on a level plane nothing comes from below."""
    rows = [
        f"{line[:13]},{DAY[k % 24] / 4},{DAY[k % 24] * 3 / 4},0,9,10,1,0"
        for k, line in enumerate(pvgis_rows())
    ]
    text = pvgis_csv().split("time,")[0] + "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int\n" + "\n".join(rows)
    done = read_weather(text.encode(), "parts.csv")
    assert done.ghi_w_m2.sum() == pytest.approx(made("c.csv").ghi_w_m2.sum())
    assert done.dhi_w_m2.sum() == pytest.approx(0.75 * done.ghi_w_m2.sum(), rel=1e-6)


def test_a_typical_year_says_how_late_its_sun_is():
    text = MADE["d.json"].replace('"elevation": 100.0', '"elevation": 100.0, "irradiance_time_offset": 0.5')
    late, early = read_weather(text.encode(), "d.json").sun, made("d.json").sun
    morning = 100 * 24 + 8
    assert late.up[morning] > early.up[morning] + 0.05


def test_several_years_and_their_leap_days():
    rows = "\n".join([*pvgis_rows(True), *pvgis_rows(False)])
    text = pvgis_csv().split("time,")[0] + "time,G(i),H_sun,T2m,WS10m,Int\n" + rows + "\n\n"
    done = read_weather(text.encode(), "two.csv")
    assert done.count == 2
    assert done.ghi_w_m2[0].tolist() == done.ghi_w_m2[1].tolist()


def changed(name: str, line: int, old: str, new: str) -> bytes:
    lines = MADE[name].split("\n")
    assert old in lines[line - 1]
    lines[line - 1] = lines[line - 1].replace(old, new, 1)
    return "\n".join(lines).encode()


BROKEN = {
    "a value missing": ("a.epw", changed("a.epw", 20, ",450,", ",9999,"), 20, "can't be the sun of an hour"),
    "no number": ("a.epw", changed("a.epw", 9, ",10.0,", ",warm,"), 9, "can't be the air"),
    "a word for a month": (
        "a.epw",
        changed("a.epw", 9, "2001,1,", "2001,Jan,"),
        9,
        "'Jan' is no whole number",
    ),
    "an hour out of place": ("a.epw", changed("a.epw", 30, ",22,", ",21,"), 30, "hour 22 was to come"),
    "short": ("a.epw", changed("a.epw", 100, ",?9", "\n"), 100, "fields"),
    "no place": ("a.epw", changed("a.epw", 1, "40.0", "140.0"), 1, "names no place"),
    "a head without numbers": ("a.epw", changed("a.epw", 1, "40.0", "forty"), 1, "its head"),
    "cut off": (
        "a.epw",
        MADE["a.epw"][: len(MADE["a.epw"]) // 2].rsplit("\n", 1)[0].encode(),
        None,
        "whole years of 8760",
    ),
    "dull for ever": ("b.csv", changed("b.csv", 15, ",470,", ",,"), 15, "can't be the sun"),
    "no column": ("b.csv", changed("b.csv", 2, "DHI", "DNI"), 1, "its head"),
    "tilted": ("c.csv", pvgis_csv(35).encode(), 6, "slope 0"),
    "a time of its own": ("c.csv", changed("c.csv", 10, "20160101:0010", "2016-01-01"), 10, "20160101:0010"),
    "broken JSON": ("d.json", MADE["d.json"][:-40].encode(), 1, "broken JSON"),
    "another JSON": ("d.json", b'{"a": 1}', 1, "its head"),
    "a picture": ("x.epw", b"\x89PNG\r\n\x1a\n\0\0\0", 1, "no text"),
    "a letter": ("x.csv", b"Dear Sir,\n", 1, "fits none of them"),
    "empty": ("x.epw", b"", 1, "fits none of them"),
    "too large": ("x.epw", b" " * (LARGEST_BYTES + 1), 1, "30 MB"),
    "TMY2 in name only": ("x.tm2", b"hello\nthere\n", 1, "its head"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_broken_files_say_where(case):
    name, data, line, words = BROKEN[case]
    with pytest.raises(WeatherFileError) as refused:
        read_weather(data, name)
    first = refused.value.problems[0]
    assert first.file == name
    assert words in str(refused.value)
    assert line is None or first.line == line


def test_every_wrong_line_is_named():
    lines = MADE["a.epw"].split("\n")
    for k in (50, 60, 70):
        lines[k] = lines[k].replace(",?9,", ",?9,999", 1)
    with pytest.raises(WeatherFileError) as refused:
        read_weather("\n".join(lines).encode(), "a.epw")
    assert [problem.line for problem in refused.value.problems] == [51, 61, 71]


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(MADE)), st.integers(0, 3000), st.binary(max_size=30))
def test_any_bytes_give_weather_or_a_located_error(name, at, middle):
    data = MADE[name].encode()[:at] + middle
    with pytest.raises(WeatherFileError, match=name):
        read_weather(data, name)
