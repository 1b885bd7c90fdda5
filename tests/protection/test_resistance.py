"""Resistance and temperature of copper: what must always hold."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import OutOfTableError
from loomwright.protection.resistance import (
    CONDUCTORS,
    conductor_resistance,
    copper_temperature,
    copper_temperature_step,
    resistance_steps,
)
from loomwright.steps import evaluate


@settings(derandomize=True, max_examples=300, deadline=None)
@given(
    area=st.floats(0.5, 120.0),
    length=st.floats(0.1, 20.0),
    temp=st.floats(-40.0, 180.0),
    conductors=st.sampled_from(CONDUCTORS),
)
def test_the_chain_of_sums_ends_in_the_resistance(area, length, temp, conductors):
    steps = resistance_steps(area, length, temp, conductors)
    assert steps[-1].value == pytest.approx(conductor_resistance(area, length, temp, conductors), rel=1e-12)
    for step in steps:
        assert evaluate(step) == pytest.approx(step.value, rel=1e-12)


@settings(derandomize=True, max_examples=300, deadline=None)
@given(
    areas=st.tuples(st.floats(0.5, 120.0), st.floats(0.5, 120.0)).map(sorted),
    conductors=st.sampled_from(CONDUCTORS),
)
def test_more_copper_never_resists_more(areas, conductors):
    small, large = areas
    assert conductor_resistance(large, 1.0, 20.0, conductors) <= conductor_resistance(
        small, 1.0, 20.0, conductors
    )


def test_small_flexible_sizes_stand_beside_the_standards():
    assert conductor_resistance(0.34, 1.0) == pytest.approx(0.0530)
    with pytest.raises(OutOfTableError, match=r"no conductor of 0\.34 mm² in IEC 60228; sizes held: 0\.5"):
        conductor_resistance(0.34, 1.0, 20.0, "iec_60228_class_2")


@pytest.mark.parametrize(
    ("area", "conductors", "says"),
    [
        (150.0, "iec_60228_class_5", "no conductor of 150 mm²"),
        (0.1, "iec_60228_class_5", r"sizes held: 0\.22, 0\.25"),
        (0.0, "awg", "no conductor of 0 mm²"),
        (2.5, "aluminium", 'no conductors "aluminium"; held: iec_60228_class_5'),
    ],
)
def test_outside_the_tables(area, conductors, says):
    with pytest.raises(OutOfTableError, match=says):
        conductor_resistance(area, 1.0, 20.0, conductors)


@pytest.mark.parametrize(
    ("current", "rated", "temp"), [(0.0, 0.0, 30.0), (32.0, 32.0, 70.0), (5.0, 0.0, 70.0), (16.0, 32.0, 40.0)]
)
def test_copper_reaches_the_insulations_limit_at_the_rating(current, rated, temp):
    assert copper_temperature(30.0, 70.0, current, rated) == temp
    assert evaluate(copper_temperature_step(30.0, 70.0, current, rated)) == temp
