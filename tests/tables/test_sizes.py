"""Tables by size: how they are read between and beyond their rows."""

import pytest

from loomwright.errors import OutOfTableError
from loomwright.tables import awg, iec_60228, iso_6722
from loomwright.tables.derating import ambient_factor, grouping_factor
from loomwright.tables.lookup import row_at_or_above, row_at_or_below


def test_gauges_and_areas_undo_each_other():
    for gauge in awg.GAUGES:
        area = awg.area_mm2(gauge)
        assert awg.largest_within(area) == awg.smallest_holding(area) == gauge
        assert awg.largest_within(round(area, 2)) == gauge
    assert [awg.label(gauge) for gauge in (8, 1, 0, -1)] == ["AWG 8", "AWG 1", "AWG 1/0", "AWG 2/0"]


def test_beyond_the_gauges():
    with pytest.raises(OutOfTableError, match=r"0\.3 mm² is less copper than AWG 20"):
        awg.largest_within(0.3)
    with pytest.raises(OutOfTableError, match="120 mm² is more copper than AWG 4/0"):
        awg.smallest_holding(120.0)


def test_no_such_standard_size():
    with pytest.raises(OutOfTableError, match=r"no conductor of 5 mm² in IEC 60228; sizes held: 0\.5, 0\.75"):
        iec_60228.ohm_per_km(5.0)


def test_room_for_a_cable():
    assert iso_6722.outside_diameter_mm(0.35) == 1.4
    assert iso_6722.outside_diameter_mm(2.2) == iso_6722.THICK_WALL_MM[2.5]
    for area, thin in iso_6722.THIN_WALL_MM.items():
        assert iso_6722.THICK_WALL_MM.get(area, 99.0) > thin
    with pytest.raises(OutOfTableError, match="no cable of 150 mm²"):
        iso_6722.outside_diameter_mm(150.0)


def test_rows():
    assert row_at_or_below([1.0, 2.0], 1.995, "x") == 2.0  # a rounded label
    assert row_at_or_above([1, 2], 3) is None
    with pytest.raises(OutOfTableError, match=r"0\.5 is below what the example holds: 1, 2"):
        row_at_or_below([1.0, 2.0], 0.5, "the example")


def test_derating_at_its_edges():
    assert ambient_factor(-20.0, 70.0) == ambient_factor(10.0, 70.0)
    assert ambient_factor(70.0, 70.0) == ambient_factor(90.0, 70.0) == 0.0
    assert grouping_factor(0) == grouping_factor(1) == 1.0
    assert grouping_factor(80) == pytest.approx(0.38 / 2)
    with pytest.raises(OutOfTableError, match="insulation for 30 °C"):
        ambient_factor(20.0, 30.0)
