"""The daily balance against sums done by hand, in the words of the plan format."""

from __future__ import annotations

import math

import pytest

from loomwright import assess, read_text
from loomwright.assessment.energy.air import climate_of
from loomwright.assessment.energy.days import Day, Energy
from loomwright.energy.climate import at, on_plane
from loomwright.steps import evaluate

VAN = """\
loomwright: 1
title: A day
region: eu
site: {{lat: 50, night: {night}, day: 20 °C, sun_hours: {{jun: 5.0 h}}, rainy_sun_hours: {{jun: 1.0 h}}}}
places:
  box: {{at: [1, 0, 0.2]{zones}}}
parts:
  house: {{kind: battery, place: box, chemistry: {chemistry}, capacity: 100 Ah, usable: 80 %,
    charge_efficiency: 90 %}}
  panel: {{kind: solar_panel, power: 100 Wp, wired: no}}
  regulator: {{kind: solar_regulator, regulation: mppt, current: 10 A, yield: 66 % at 13.2 V, wired: no}}
  b2b: {{kind: b2b, current: 20 A, start_on: engine, wired: no}}
  inverter: {{kind: inverter, power: 1000 W, efficiency: 80 %, idle: 0.5 A, wired: no}}
  kettle: {{kind: appliance, power: 960 W, plugged: any}}
  fridge: {{kind: fridge, running: 4 A, duty: {{10 °C: 20 %, 30 °C: 40 %}}, wired: no}}
  lamp: {{kind: lamp, running: 6 W, count: 4, wired: no}}
  heater: {{kind: air_heater, running: 1.5 A, start: 10 A for 3 min, wired: no}}
use:
  june: {{months: [jun], rooms: 20 °C, drives: [mon for 30 min, weekends for 1.5 h], loads: {{{loads}}}}}
"""


def day(loads: str, *, drive: bool = False, sun: str = "none", **more: str) -> Day:
    text = {"night": "10 °C", "zones": "", "chemistry": "agm"} | more
    energy = Energy(assess(read_text(VAN.format(loads=loads, **text))))
    return energy.day("june", "jun", energy.stores[0], sun=sun, drive=drive)


@pytest.mark.parametrize(
    ("loads", "by_hand_ah"),
    [
        ("lamp: 5 h", 4 * 6 * 5 / 12.0),
        ("lamp: 18:00..23:30", 4 * 6 * 5.5 / 12.0),
        ("lamp: 5 h at 1 A", 5.0),
        ("fridge: 24 h", 24 * 0.30 * 4),  # 20 °C inside: halfway between 20 and 40 %
        ("fridge: 24 h at 25 %", 24 * 0.25 * 4),
        ("kettle: 0.25 h", 960 * 0.25 / (0.80 * 12.0)),
        ("kettle: 120 Wh", 120 / (0.80 * 12.0)),
        ("inverter: 8 h", 4.0),
        ("heater: 10 h and 2 starts", 15.0 + 2 * 10 * 3 / 60),
        ("lamp: 5 h, heater: 10 h", 10.0 + 15.0),
    ],
)
def test_what_loads_take(loads, by_hand_ah):
    assert day(loads).taken_ah == pytest.approx(by_hand_ah)


def test_lithium_is_counted_at_its_own_volts():
    assert day("lamp: 5 h", chemistry="lifepo4").taken_ah == pytest.approx(4 * 6 * 5 / 12.8)


def test_sun_and_drives_come_back_at_what_the_battery_keeps():
    """100 Wp · 5 h · 0.66 / 13.2 V = 25 Ah; (0.5 h + 2 · 1.5 h) / 7 · 20 A = 10 Ah a day."""
    one = day("lamp: 5 h at 8 A", sun="average", drive=True)
    assert (one.sun_ah, one.driven_ah) == (pytest.approx(25.0), pytest.approx(10.0))
    assert one.net_ah == pytest.approx(40.0 - 0.9 * 35.0)
    assert day("lamp: 5 h at 8 A", sun="rainy").sun_ah == pytest.approx(5.0)
    assert math.isinf(day("lamp: 5 h", sun="average", drive=True).days)


def test_cold_takes_from_what_may_be_used():
    """Outside, without a lag, at 0 °C: four fifths of a lithium battery, 0.8 of which may be used."""
    cold = day("lamp: 5 h at 8 A", chemistry="lifepo4", night="0 °C", zones=", zones: [outside]")
    assert cold.level.ah == pytest.approx(100 * 0.8 * 0.8)
    warm = day("lamp: 5 h at 8 A", chemistry="lifepo4", night="0 °C")
    assert warm.level.ah > cold.level.ah


def test_every_step_can_be_worked_out_again():
    for step in day("fridge: 24 h, kettle: 0.2 h, heater: 9 h and 3 starts", sun="average", drive=True).steps:
        if step.formula != "table":
            assert evaluate(step) == pytest.approx(step.value, rel=1e-12)


def test_a_day_of_sun_nobody_knows_is_no_figure():
    """The plan tells the sun of June alone."""
    energy = Energy(
        assess(read_text(VAN.format(loads="lamp: 5 h", night="10 °C", zones="", chemistry="agm")))
    )
    assert energy.season_of("jul") is None
    text = VAN.replace("months: [jun]", "months: [jun, jul]").replace("lat: 50, ", "")
    energy = Energy(
        assess(read_text(text.format(loads="lamp: 5 h", night="10 °C", zones="", chemistry="agm")))
    )
    assert energy.day("june", "jul", energy.stores[0], drive=False).sun_ah is None


def test_sun_that_the_plan_leaves_out_is_that_of_the_climate_and_its_lower_end_is_counted():
    """Elsewhere than in the UK and Germany the climate may be 15 % out either way; a panel at 40° gains."""
    text = VAN.replace("months: [jun]", "months: [jun, dec]").replace("lat: 50,", "lat: 45.5, lon: 9.2,")
    text = text.format(loads="lamp: 5 h", night="10 °C", zones="", chemistry="agm")
    energy, climate = Energy(assess(read_text(text))), at(45.5, 9.2)
    one = energy.day("june", "dec", energy.stores[0], drive=False)
    assert climate.band_pct == 15.0
    assert one.sun_ah == pytest.approx(0.85 * climate.ghi_kwh_m2_day[11] * 100 * 0.66 / 13.2)
    assert "site.sun_hours" in one.unknown
    tilted = Energy(assess(read_text(text.replace("power: 100 Wp", "power: 100 Wp, tilt: 40"))))
    more = tilted.day("june", "dec", tilted.stores[0], drive=False)
    assert more.sun_ah == pytest.approx(one.sun_ah * on_plane(climate, 40.0)[11])
    assert more.sun_ah > 1.4 * one.sun_ah


def test_a_height_that_is_typed_counts_even_at_the_sea():
    """Málaga's half degree is hilly: its mean height is colder than its beach."""
    text = VAN.replace("lat: 50,", "lat: 36.72, lon: -4.42,{height}")

    def air(height: str) -> float:
        filled = text.format(height=height, loads="lamp: 5 h", night="10 °C", zones="", chemistry="agm")
        climate = climate_of(assess(read_text(filled)))
        assert climate is not None
        return climate.air_c[0]

    assert air(" altitude: 0 m,") > air("") + 1.0
