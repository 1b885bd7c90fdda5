"""Tables of words: insulation, colours, limits, contacts."""

import pytest

from loomwright.errors import OutOfTableError
from loomwright.tables.contacts import CONTACTS
from loomwright.tables.iec_60757 import COLOURS, PROTECTIVE_EARTH, colour_name, colours_of
from loomwright.tables.insulation import INSULATIONS, insulation_class
from loomwright.tables.limits import LIMIT_SETS, WORKSHOP, limit_set


@pytest.mark.parametrize("name", ["PVC 70 °C", "pvc 70 C", "PVC70°C"])
def test_insulation_is_found_however_it_is_written(name):
    assert insulation_class(name) is INSULATIONS[0]


def test_insulation_stands_more_in_a_short_than_for_good():
    assert all(each.short_circuit_c > each.max_c for each in INSULATIONS)
    with pytest.raises(OutOfTableError, match='no insulation "rubber"; held: PVC 70 °C, XLPE 90 °C'):
        insulation_class("rubber")


def test_colours():
    assert colour_name("RD") == "red"
    assert colour_name("RDWH") == "red-white"
    assert [colour.ink for colour in colours_of(PROTECTIVE_EARTH)] == ["#2E8B3D", "#F6CF1E"]
    assert len({colour.ink for colour in COLOURS.values()}) == len(COLOURS) == 12


@pytest.mark.parametrize("letters", ["", "R", "RDB", "XX", "RDXX", "RDBUGN", "rd"])
def test_no_such_colour(letters):
    with pytest.raises(OutOfTableError, match="letters held"):
        colours_of(letters)


@pytest.mark.parametrize(
    ("limit", "within", "watch", "fault"),
    [
        (WORKSHOP.drop, 4.0, 4.08, 5.1),
        (WORKSHOP.charging_drop, 3.0, 3.06, 6.12),
        (WORKSHOP.start_drop, 8.0, 8.16, 10.2),
        (WORKSHOP.dip, 0.3, 0.306, 1.02),
        (WORKSHOP.fuse_over_cable, 1.0, 1.02, 1.021),
        (WORKSHOP.load_over_fuse, 0.8, 0.816, 1.02),
        (WORKSHOP.joint, 0.1, 0.102, 0.204),
        (WORKSHOP.cut_out_margin, 0.3, 0.29, -0.01),
    ],
)
def test_levels_of_the_workshop(limit, within, watch, fault):
    """The workshop's limits are common practice; just within, and 2 % past each level."""
    assert [limit.level(value) for value in (within, watch, fault)] == [None, "watch", "fault"]


def test_limits_with_one_level():
    assert [WORKSHOP.stud_lugs.level(n) for n in (4, 5)] == [None, "watch"]
    assert [WORKSHOP.load_over_rating.level(x) for x in (1.0, 1.02)] == [None, "fault"]
    assert [WORKSHOP.fuse_distance.level(x) for x in (0.3, 0.306)] == [None, "fault"]


def test_dust_of_a_sum_does_not_count():
    assert WORKSHOP.drop.level(4.0 * (1 + 1e-9)) is None
    assert WORKSHOP.cut_out_margin.level(-1e-13) == "watch"


def test_a_standards_set_keeps_the_workshops_limits_where_it_names_none():
    """EN 1648-2 by a public quotation, ABYC E-11 by public tables, ISO 10133 by a preview and from memory."""
    en, abyc, iso = (limit_set(name) for name in ("en_1648_2", "abyc_e11", "iso_10133"))
    assert en.drop.as_pct(12.0).fault == pytest.approx(6.667, abs=0.001)
    assert en.charging_drop.as_pct(24.0).fault == pytest.approx(0.833, abs=0.001)
    assert (abyc.essential_drop.fault, abyc.drop.fault) == (3.0, 10.0)
    assert (iso.essential_drop.fault, iso.drop.fault) == (3.0, 10.0)
    for limits in (en, abyc, iso):
        assert limits.start_drop is WORKSHOP.start_drop
        assert limits.dip is WORKSHOP.dip
        assert limits.drop.watch is None
    assert WORKSHOP.drop.as_pct(24.0) is WORKSHOP.drop
    assert all(name == limits.name for name, limits in LIMIT_SETS.items())
    with pytest.raises(OutOfTableError, match='no limits "iso"; held: workshop, en_1648_2'):
        limit_set("iso")


@pytest.mark.parametrize(
    ("name", "typed_mohm"),
    [
        ("crimp", 0.5),
        ("lug", 0.1),
        ("lug", 0.2),
        ("stud", 0.3),
        ("body", 1.2),
        ("body", 1.5),
        ("isolator", 0.2),
    ],
)
def test_fresh_joints_span_figures_of_the_trade(name, typed_mohm):
    """Common practice: figures that workshops count with."""
    fresh = CONTACTS[name].fresh_ohm
    assert fresh.low * 0.999 <= typed_mohm / 1000 <= fresh.high * 1.001


def test_joints_only_get_worse():
    for contact in CONTACTS.values():
        assert contact.aged_ohm.low >= contact.fresh_ohm.low
        assert contact.aged_ohm.high > contact.fresh_ohm.high
