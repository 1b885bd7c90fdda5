"""Lithium in the cold by the hour: stopped by management or probe, warmed by a pad, or charged."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from loomwright import assess, read_text, year
from loomwright.assessment.energy.year_run import YearRun
from tests.scenarios.lines import text_of

NONE = "charge_below: none"


@cache
def run(*changes: tuple[str, str]) -> YearRun:
    text = text_of("highcol", "")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return YearRun(assess(read_text(text)), 4)


def stored_when_cold(of: YearRun) -> float:
    hours = of.whole()
    return float(hours.stored_ah[of.frost.battery_c < 0.0].sum())


def test_nothing_stops_it_and_the_hours_are_told():
    """Highcol stands at -12 to -3 °C: whatever is charged in the battery's box is charged in frost."""
    of = run()
    assert stored_when_cold(of) > 0.0
    told = year(read_text(text_of("highcol", "")), 2).as_dict()["lithium_in_cold"]
    hours = told["charged_below_h_per_year"]
    assert 0.0 < hours["mean"] <= hours["p90"]
    assert told["charge_stopped_h_per_year"] == 0.0
    assert "spoils the cells" in year(read_text(text_of("highcol", "")), 2).as_text()


def test_management_stops_the_battery_and_loads_still_get_the_sun():
    of = run((NONE, "charge_below: 0 °C"))
    assert stored_when_cold(of) == 0.0
    hours, cold = of.whole(), of.frost.battery_c < 0.0
    served = np.broadcast_to(of.schedule.load_a, hours.missed_ah.shape) - hours.missed_ah - hours.given_ah
    assert served[cold & (of.sun_a > 0.0)].sum() > 0.0
    assert of.frost.stopped.sum() > 1000


def test_a_probe_stops_its_own_charger_alone():
    """The regulator has a probe, the battery-to-battery charger none: drives go on charging in frost."""
    of = run(("probe: none", "probe: fitted"))
    cold = of.frost.battery_c < 0.0
    assert not of.sun_a[cold].any()
    assert of.frost.sources.drive_a[cold].sum() > 0.0
    both = run(("probe: none", "probe: fitted"), ("probe: input", "probe: fitted"))
    assert stored_when_cold(both) == 0.0


def test_a_pad_makes_a_charge_possible_and_takes_its_part():
    """What comes is what the pad takes, what is stored or served, and what is not wanted: nothing is lost."""
    bare, padded = run((NONE, "charge_below: 0 °C")), run(
        (NONE, "charge_below: 0 °C"), ("usable: 90 %", "heat_pad: 60 W, usable: 90 %")
    )  # fmt: skip
    assert padded.whole().missed_ah.sum() < bare.whole().missed_ah.sum()
    came, left, taken = bare.frost.sources.all_a, padded.frost.sources.all_a, padded.frost.pad_a
    assert (left + taken).sum() == pytest.approx(came.sum())
    assert taken.max() <= 60.0 / 12.8 + 1e-9
    assert stored_when_cold(padded) == 0.0


def test_too_cold_to_give_anything():
    of = run(("discharge_below: -20 °C", "discharge_below: -5 °C"))
    hours, cold = of.whole(), of.frost.battery_c < -5.0
    assert cold.any()
    assert hours.given_ah[cold].sum() == 0.0


def test_lead_is_left_alone():
    text = text_of("mossgrove", "")
    assert year(read_text(text), 1).as_dict()["lithium_in_cold"] is None
