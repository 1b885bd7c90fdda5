"""Standard sizes, drops and short circuits."""

import pytest

from loomwright.protection.adiabatic import adiabatic_area, adiabatic_k, survives_s
from loomwright.protection.drop import area_for_drop, drop_v, longest_loop_m
from loomwright.protection.sizing import sizes, smallest_that
from loomwright.tables import awg


def test_sizes_start_where_asked():
    assert sizes()[0] == 0.5
    assert sizes("iec_60228_class_2", 10.0) == (10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)
    assert [awg.largest_within(area) for area in sizes("awg", 1.0)[:3]] == [16, 14, 12]


def test_no_size_may_serve():
    assert smallest_that(lambda area: area > 120.0) is None


def test_area_length_and_drop_undo_each_other():
    area = area_for_drop(12.0, 9.0, 0.5, 0.0172)
    assert longest_loop_m(12.0, 0.5, 0.0172 / area) == pytest.approx(9.0)
    assert drop_v(12.0, 9.0 * 0.0172 / area) == pytest.approx(0.5)


def test_survival_and_area_undo_each_other():
    seconds = survives_s(4.0, 900.0, 70.0, 160.0)
    assert adiabatic_area(900.0, seconds, adiabatic_k(70.0, 160.0)) == pytest.approx(4.0)


def test_a_short_circuit_must_heat():
    with pytest.raises(ValueError, match="can't end at 70 °C"):
        adiabatic_k(70.0, 70.0)
