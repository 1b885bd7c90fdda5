"""Derated currents: what must always hold, and the edges of each table."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import OutOfTableError
from loomwright.protection.rating import TABLES, cable_rating
from loomwright.steps import evaluate

AREAS = (1.0, 1.5, 2.0, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)
CONDITIONS = {
    "table": st.sampled_from(TABLES),
    "area": st.sampled_from(AREAS),
    "insulation": st.sampled_from((70.0, 90.0, 105.0, 125.0, 180.0)),
    "ambient": st.integers(-30, 110).map(float),
    "bundled": st.integers(1, 60),
    "engine": st.booleans(),
}


def amps(table, area, insulation, ambient, bundled, engine):
    return cable_rating(
        area, table=table, insulation_c=insulation, ambient_c=ambient, bundled=bundled, engine_space=engine
    ).amps


@settings(derandomize=True, max_examples=300, deadline=None)
@given(**CONDITIONS)
def test_every_step_works_out_again(table, area, insulation, ambient, bundled, engine):
    rating = cable_rating(
        area, table=table, insulation_c=insulation, ambient_c=ambient, bundled=bundled, engine_space=engine
    )
    for step in rating.steps:
        assert evaluate(step) == pytest.approx(step.value, rel=1e-12, abs=1e-12)
    assert rating.steps[-1].value == rating.amps
    assert all(step.source is not None for step in rating.steps[:-1])


@settings(derandomize=True, max_examples=300, deadline=None)
@given(**CONDITIONS)
def test_worse_surroundings_never_raise_a_rating(table, area, insulation, ambient, bundled, engine):
    here = amps(table, area, insulation, ambient, bundled, engine)
    assert amps(table, area, insulation, ambient + 5.0, bundled, engine) <= here
    assert amps(table, area, insulation, ambient, bundled + 1, engine) <= here
    assert amps(table, area, insulation, ambient, bundled, True) <= here


@settings(derandomize=True, max_examples=300, deadline=None)
@given(**CONDITIONS)
def test_more_copper_and_better_insulation_never_lower_a_rating(
    table, area, insulation, ambient, bundled, engine
):
    here = amps(table, area, insulation, ambient, bundled, engine)
    larger = AREAS[min(AREAS.index(area) + 1, len(AREAS) - 1)]
    assert amps(table, larger, insulation, ambient, bundled, engine) >= here
    assert amps(table, area, 200.0, ambient, bundled, engine) >= here


@pytest.mark.parametrize("table", TABLES)
def test_air_as_hot_as_the_insulation_leaves_nothing(table):
    assert amps(table, 2.5, 70.0, 69.0, 1, False) > 0.0
    assert amps(table, 2.5, 70.0, 70.0, 1, False) == 0.0
    assert amps(table, 2.5, 70.0, 85.0, 1, True) == 0.0


def test_engine_space_takes_the_standards_factor_until_the_air_asks_for_more():
    """ISO 10133: 0.86 for 105 °C insulation, which is that of 50 °C air; at 80 °C physics asks for 0.58."""
    assert amps("iso_10133", 2.5, 105.0, 30.0, 1, True) == pytest.approx(35 * 0.86)
    assert amps("iso_10133", 2.5, 105.0, 80.0, 1, True) == pytest.approx(35 * (25 / 75) ** 0.5)


def test_a_size_between_rows_carries_what_the_smaller_does():
    assert amps("vde_0298_4", 3.0, 70.0, 30.0, 1, False) == 32.0
    assert amps("vde_0298_4", 2.49, 70.0, 30.0, 1, False) == 32.0  # a rounded label
    assert amps("vde_0298_4", 2.40, 70.0, 30.0, 1, False) == 24.0
    assert amps("abyc_e11", 2.08, 105.0, 30.0, 1, False) == 35.0  # AWG 14


def test_a_building_bundle_is_counted_in_circuits():
    """BS 7671 Table 4C1 counts circuits of two loaded cables."""
    assert [amps("bs_7671", 2.5, 70.0, 30.0, n, False) / 24 for n in (2, 3, 6, 7)] == pytest.approx(
        [1.0, 0.8, 0.7, 0.65]
    )


@pytest.mark.parametrize(
    ("area", "table", "insulation", "says"),
    [
        (0.35, "vde_0298_4", 70.0, "below what DIN VDE 0298-4 holds: 0.5, 0.75"),
        (0.5, "abyc_e11", 105.0, "less copper than AWG"),
        (0.55, "abyc_e11", 105.0, "less copper than AWG 18"),
        (2.5, "vde_0298_4", 60.0, "60 is below what DIN VDE 0298-4 holds: 70"),
        (2.5, "bs_7671", 60.0, "60 is below what BS 7671 holds"),
        (2.5, "maker", 70.0, 'no current table "maker"; held: vde_0298_4'),
    ],
)
def test_outside_a_table_the_error_says_what_it_holds(area, table, insulation, says):
    with pytest.raises(OutOfTableError, match=says):
        cable_rating(area, table=table, insulation_c=insulation)
