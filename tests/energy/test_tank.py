"""The tank of ampere-hours against sums done by hand, itself in plain Python, and what must always hold.

The numbers of the first four tests were worked out apart from this program, from the formulas of a linear
taper and of a tank with a floor.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.circuit.discharge import hours_at
from loomwright.energy.tank import Hours, Tank, Tanks, one_tank, tanks

YEAR = 8760


Amps = float | list[float]


def run(
    tank: Tank, load: Amps, source: Amps, start: float, *, hours: int = YEAR, floor: float = 0.0
) -> Hours:
    wide = [one * hours if len(one) == 1 else one for one in (as_list(load), as_list(source), [floor], [1.0])]
    return one_tank(tank, *wide, start)


def as_list(value: float | list[float]) -> list[float]:
    return value if isinstance(value, list) else [value]


def test_load_alone_is_cut_after_forty_hours():
    """100 Ah, 2 A, off at 20 %: 40 hours, then 2 · (8760 − 40) = 17,440 Ah are missed in a year."""
    done = run(Tank(capacity_ah=100.0), 2.0, 0.0, 100.0, floor=20.0)
    assert np.flatnonzero(done.missed_ah)[0] == 40
    assert done.missed_ah.sum() == pytest.approx(17440.0)


DAY = [6.0 if 8 <= hour <= 15 else 0.0 for hour in range(24)]


def test_day_cycle_without_losses_goes_on_all_year():
    """100 Ah, 2 A always, 6 A in hours 8 to 15, start at 60 %: between 44 and 76 % for ever."""
    tank = Tank(capacity_ah=100.0, limit_a=50.0, taper_from=0.999, back_ah=15.0)
    done = run(tank, 2.0, DAY * 365, 60.0, floor=20.0)
    assert done.missed_ah.sum() == 0.0
    assert (done.held_ah.min(), done.held_ah.max()) == (pytest.approx(44.0), pytest.approx(76.0))


def test_day_cycle_with_losses_is_cut_on_the_seventeenth_day():
    """The same at 95 % efficiency from 60.5 %: each day 1.6 Ah short, so the floor is met before 08:00."""
    tank = Tank(capacity_ah=100.0, efficiency=0.95, limit_a=50.0, taper_from=0.999, back_ah=15.0)
    done = run(tank, 2.0, DAY * 365, 60.5, floor=20.0)
    first = int(np.flatnonzero(done.missed_ah)[0])
    day_loss = 48.0 - 4 * 8 * 0.95 - 2 * 8  # taken at night less what is stored by day
    assert day_loss == pytest.approx(1.6)
    lowest_by_day = 60.5 - 16.0 - day_loss * np.arange(365)
    assert first // 24 == int(np.flatnonzero(lowest_by_day <= 20.0)[0])


def test_linear_taper_is_an_exponential():
    """20 A to 2 A over the last 15 % of 100 Ah: τ = 15 / 18 h, and full in τ · ln 10 = 1.919 h."""
    steps = 1000  # to the hour: currents and time in thousandths
    tank = Tank(capacity_ah=100.0, limit_a=20.0 / steps, taper_from=0.85, tail_a=2.0 / steps)
    done = run(tank, 0.0, 50.0, 85.0, hours=3 * steps)
    full = int(np.flatnonzero(done.held_ah >= 100.0 - 1e-9)[0]) / steps
    assert full == pytest.approx(1.919, abs=0.01)


def test_side_by_side_and_one_by_one_are_equal():
    random = np.random.default_rng(1)
    several = []
    for k, capacity in enumerate((40.0, 90.0, 120.0, 200.0, 300.0)):
        taper = {"taper_from": 0.8 + 0.04 * k, "tail_a": 0.5 * k}
        more = {
            "efficiency": 0.9 + 0.02 * k,
            "limit_a": 5.0 * (k + 1),
            "back_ah": 3.0 * k,
            "rest_a": 0.002 * k,
            "rated_a": 0.5 * (k + 1),
            "exponent": 1.0 + 0.06 * k,
        }
        several.append(Tank(capacity_ah=capacity, **taper, **more))
    load, shines = random.uniform(0, 4, (5, 2000)), random.random((5, 2000)) > 0.6
    source = random.uniform(0, 9, (5, 2000)) * shines
    floor, share = random.uniform(5, 15, (5, 2000)), (random.random((5, 2000)) > 0.1).astype(float)
    start = np.array([one.capacity_ah / 2 for one in several])
    wide = tanks(Tanks.of(several), load, source, floor, share, start)
    for k, tank in enumerate(several):
        asked, comes, stays, may = (one[k].tolist() for one in (load, source, floor, share))
        narrow = one_tank(tank, asked, comes, stays, may, start[k])
        for name in Hours.__dataclass_fields__:
            np.testing.assert_allclose(getattr(wide, name)[k], getattr(narrow, name), rtol=0.0, atol=1e-12)
    assert wide.missed_ah.sum() > 0
    assert wide.spilled_ah.sum() > 0


amps = st.lists(st.floats(0.0, 12.0), min_size=48, max_size=48)


@settings(max_examples=40, deadline=None)
@given(amps, amps, st.floats(0.85, 1.0), st.floats(0.0, 0.9), st.floats(0.0, 10.0))
def test_what_comes_in_goes_out_is_lost_or_stays(load, source, efficiency, knee, back):
    tank = Tank(
        capacity_ah=60.0, efficiency=efficiency, limit_a=9.0, taper_from=knee, back_ah=back, rest_a=0.01
    )
    done = run(tank, load, source, 30.0, hours=48, floor=12.0)
    before = np.concatenate(([30.0], done.held_ah[:-1]))
    change = efficiency * done.stored_ah - done.drained_ah - done.rested_ah
    np.testing.assert_allclose(done.held_ah - before, change, atol=1e-9)
    served = np.array(load) - done.missed_ah
    np.testing.assert_allclose(
        np.array(source) + done.given_ah, served + done.stored_ah + done.spilled_ah, atol=1e-9
    )
    assert done.held_ah.min() >= 12.0 - 0.01 * 48 - 1e-9
    assert done.held_ah.max() <= 60.0 + 1e-9


@settings(max_examples=40, deadline=None)
@given(amps, amps, st.floats(1.0, 2.0))
def test_more_panel_never_means_more_missed(load, source, more):
    """With loads that come back where they were cut."""
    tank = Tank(capacity_ah=60.0, efficiency=0.95, limit_a=9.0, taper_from=0.8, tail_a=1.0)
    some = run(tank, load, source, 30.0, hours=48, floor=12.0)
    much = run(tank, load, [more * one for one in source], 30.0, hours=48, floor=12.0)
    assert much.missed_ah.sum() <= some.missed_ah.sum() + 1e-9


def test_a_fast_discharge_takes_more_off_the_charge_as_peukert_has_it():
    """100 Ah at 20 h and k = 1.25: 20 A are four times the rated 5 A, 4^0.25 = 1.414; empty after 3.54 h.

    That is what the closed form says, too: 20 h · (100 / (20 · 20))^1.25 = 3.536 h.
    """
    tank = Tank(capacity_ah=100.0, rated_a=5.0, fastest_a=100.0, exponent=1.25)
    n = 6
    told = one_tank(tank, [20.0] * n, [0.0] * n, [0.0] * n, [1.0] * n, 100.0)
    assert told.given_ah.sum() == pytest.approx(20.0 * hours_at(100.0, 20.0, 1.25))
    assert told.drained_ah.sum() == pytest.approx(100.0)
    many = tanks(
        Tanks.of([tank, tank]), *(np.full((2, n), x) for x in (20.0, 0.0, 0.0, 1.0)), np.full(2, 100.0)
    )
    for name in ("held_ah", "given_ah", "drained_ah", "missed_ah"):
        assert getattr(many, name)[1] == pytest.approx(getattr(told, name), abs=1e-12)


def test_slow_discharges_and_those_beside_sources_take_what_they_give():
    tank = Tank(capacity_ah=100.0, rated_a=5.0, fastest_a=100.0, exponent=1.25)
    told = one_tank(tank, [5.0, 20.0], [0.0, 16.0], [0.0] * 2, [1.0] * 2, 100.0)
    assert told.drained_ah.tolist() == told.given_ah.tolist() == [5.0, 4.0]
