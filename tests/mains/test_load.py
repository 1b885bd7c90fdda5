"""What may run together on a pitch of few amperes."""

from __future__ import annotations

import math

import pytest

from loomwright.mains.lead import Leg, cable_ohm, lead_heat_w, most_amps_wound, volts_along
from loomwright.mains.load import MOST_TRIED, dropped_until_it_fits, fullest, run_together, what_may_run
from loomwright.mains.loops import loop_ohm, neutral_loop_ohm, prospective_a
from loomwright.mains.net import BODY, GROUND, Feed, Link, Net
from tests.mains.nets import EARTH, GRID_OHM, LEAD_OHM, LINE, WIRE_OHM, inverter, van

WATTS = {"charger": 460.0, "fridge": 150.0, "kettle": 1000.0, "heater": 1150.0}


def test_sets_on_6_a():
    """Done by hand: 6 A at 230 V are 1380 W; heater with fridge take 1300, kettle with fridge 1150."""
    rows = what_may_run(WATTS, 6.0, 230.0, "B")
    assert len(rows) == 2**4 - 1
    for row in rows:
        watts = sum(WATTS[name] for name in row.running)
        assert row.amps == pytest.approx(watts / 230.0)
        assert row.fits is (watts <= 1380.0)
        assert math.isinf(row.trips_after.low) is row.fits
    assert [set(row.running) for row in fullest(rows)] == [
        {"fridge", "heater"},
        {"fridge", "kettle"},
        {"charger", "fridge"},
    ]


def test_all_at_once_trips_and_the_time_is_a_band():
    """2760 W are 12 A, twice the rating: between the gates of IEC 60898-1 at 1.45 and 2.55 times."""
    row = run_together(list(WATTS), WATTS, 6.0, 230.0, "C")
    assert row.amps == pytest.approx(12.0)
    assert 1.0 < row.trips_after.low < row.trips_after.high < 3600.0


def test_a_little_too_much_lasts_an_hour_or_for_ever():
    row = run_together(["load"], {"load": 1.1 * 6.0 * 230.0}, 6.0, 230.0, "B")
    assert (row.fits, row.trips_after.low, row.trips_after.high) == (False, 3600.0, math.inf)


def test_what_is_dropped_first():
    row, dropped = dropped_until_it_fits(WATTS, 6.0, 230.0, "B", ["kettle"])
    assert (set(row.running), dropped) == ({"charger", "fridge"}, ("kettle", "heater"))
    row, dropped = dropped_until_it_fits({"oven": 5000.0}, 6.0, 230.0)
    assert (row.running, row.fits, dropped) == ((), True, ("oven",))


def test_many_appliances_are_dropped_one_by_one():
    watts = {f"lamp{k:02}": 100.0 + k for k in range(MOST_TRIED + 4)}
    rows = what_may_run(watts, 3.0, 230.0, "B", ["lamp03"])
    assert [len(row.running) for row in rows] == list(range(MOST_TRIED + 4, 0, -1))
    assert "lamp03" not in rows[1].running
    assert any(row.fits for row in rows)


def test_loops_and_currents_of_a_van():
    cold, hot = van(lost=("kettle", "tyres")), van(lost=("kettle", "tyres"), lead_ohm=1.2 * LEAD_OHM)
    loop = GRID_OHM + 2 * (LEAD_OHM + WIRE_OHM)
    assert neutral_loop_ohm(cold, "socket") == pytest.approx(loop)
    band = prospective_a(cold, hot, LINE, EARTH)
    assert band.high == pytest.approx(1.10 * 230.0 / loop)  # IEC 60909-0, c_max, from memory
    assert band.low == pytest.approx(0.95 * 230.0 / (loop + 0.4 * LEAD_OHM))
    assert math.isinf(loop_ohm(inverter(bonded=False), LINE, EARTH))
    limited = prospective_a(inverter(bonded=True), inverter(bonded=True), LINE, EARTH)
    assert (limited.low, limited.high) == (pytest.approx(20.0, rel=1e-4), pytest.approx(20.0, rel=1e-4))


def test_a_bond_is_a_loop_too():
    links = [Link("one", BODY, GROUND, 2.0), Link("two", BODY, GROUND, 2.0)]
    assert loop_ohm(Net(links, [Feed("f", LINE, EARTH, 230.0, 1.0)]), BODY, GROUND) == pytest.approx(1.0)
    with pytest.raises(ValueError, match=r"a loop: no node lamp\.line in this net"):
        loop_ohm(van(), ("lamp", "line"), BODY)


def test_a_line_of_one_load_has_a_closed_answer():
    """U/2 + sqrt(U²/4 - PR), any textbook."""
    found = volts_along(230.0, [Leg(0.5, 3000.0)])
    assert found == (pytest.approx(115.0 + math.sqrt(115.0**2 - 1500.0)),)
    assert volts_along(230.0, []) == ()


def test_heat_of_a_lead_left_wound():
    """A caution: 25 m of 1.5 mm² at 13 A; one drum is marked 500 W wound, 2300 W unwound (one source)."""
    assert lead_heat_w(cable_ohm(1.5, 25.0, 20.0), 13.0) == pytest.approx(0.665 * 169.0)
    assert most_amps_wound(10.0) == pytest.approx(2.17, abs=0.005)
