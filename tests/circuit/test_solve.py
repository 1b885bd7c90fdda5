"""Small networks whose answer can be written down, and networks that have none."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.circuit.network import Converter, Diode, Limited, Load, Network, Resistor, Source
from loomwright.circuit.solve import solve
from tests.circuit.laws import assert_laws

BATTERY = Source("B", "p", "n", 12.0, 0.1)


def answer(*elements, **wishes):
    """Solve the elements and check that what works keeps every law."""
    network = Network(elements)
    solution = solve(network, **wishes)
    if solution.works:
        assert_laws(network, solution)
    return solution


def test_constant_current_power_and_conductance():
    """12 V behind 0.1 Ω; by hand: 12 - 0.1 i, and for the power the higher root of v² - 12 v + 0.1 P = 0."""
    assert answer(BATTERY, Load("L", "p", "n", amps=20)).volts["p"] == pytest.approx(10.0)
    assert answer(BATTERY, Load("L", "p", "n", watts=110)).volts["p"] == pytest.approx(11.0)
    assert answer(BATTERY, Load("L", "p", "n", siemens=2)).volts["p"] == pytest.approx(10.0)
    all_three = Load("L", "p", "n", amps=1.0, watts=22.0, siemens=7.0 / 11.0)  # 1 A + 2 A + 7 A at 11 V
    assert answer(BATTERY, all_three).amps == pytest.approx({"B": 10.0, "L": 10.0})


@pytest.mark.parametrize("part", [0.5, 0.9, 0.98, 0.999, 0.99999])
def test_one_load_below_the_limit_of_its_battery_is_held(part):
    """P < V² / 4R."""
    solution = answer(BATTERY, Load("L", "p", "n", watts=360.0 * part))
    assert solution.volts["p"] == pytest.approx(6.0 * (1.0 + math.sqrt(1.0 - part)))


@pytest.mark.parametrize("over", [1.00001, 1.02, 1.5, 40.0])
def test_one_load_above_the_limit_of_its_battery_collapses(over):
    """P > V² / 4R; the share it could hold is known too."""
    solution = answer(BATTERY, Load("L", "p", "n", watts=360.0 * over))
    [collapse] = solution.collapsed
    assert (collapse.loads, collapse.source) == (("L",), "B")
    assert collapse.share == pytest.approx(1.0 / over, abs=2e-6)
    assert not solution.works
    assert math.isnan(solution.volts["p"])
    assert math.isnan(solution.amps["L"])


def test_constant_current_beyond_the_short_circuit_current_collapses():
    [collapse] = answer(BATTERY, Load("L", "p", "n", amps=150.0)).collapsed
    assert collapse.share == pytest.approx(120.0 / 150.0, abs=2e-6)


def test_a_collapse_names_the_load_on_the_thin_wire_only():
    thin = [Resistor("W1", "p", "far", 1.0), Load("heater", "far", "n", watts=60.0)]
    stout = [Resistor("W2", "p", "near", 0.01), Load("lamp", "near", "n", watts=20.0)]
    [collapse] = answer(BATTERY, *thin, *stout).collapsed
    assert collapse.loads == ("heater",)


def test_a_collapse_of_one_island_leaves_the_others_alone():
    other = [Source("C", "q", "m", 24.0, 0.1), Load("K", "q", "m", amps=10.0)]
    solution = answer(BATTERY, Load("L", "p", "n", watts=999.0), *other)
    assert solution.volts["q"] == pytest.approx(23.0)
    assert math.isnan(solution.volts["p"])


def test_what_no_source_reaches_draws_nothing_and_is_named():
    cut = answer(BATTERY, Resistor("W", "q", "l", 0.1), Load("L", "l", "n", watts=5.0))
    assert (cut.unfed_nodes, cut.unfed_loads, cut.amps["L"]) == (["q", "l"], ["L"], 0.0)
    dead = answer(Load("L", "p", "n", amps=1.0), Load("M", "p", "n", siemens=1.0))
    assert (dead.unfed_nodes, dead.unfed_loads) == (["p", "n"], ["L", "M"])
    assert set(dead.volts.values()) == {0.0}


def test_an_open_earth_lifts_the_earth_side_to_the_feed():
    """What a meter shows behind a lamp without earth."""
    solution = answer(BATTERY, Load("L", "p", "lost", watts=5.0))
    assert solution.unfed_loads == ["L"]
    assert solution.volts["lost"] == pytest.approx(12.0)


def test_wrong_polarity_is_named():
    solution = answer(BATTERY, Load("L", "n", "p", amps=3.0), Load("bulb", "n", "p", siemens=0.5))
    assert solution.unfed_loads == solution.reversed_loads == ["L"]
    assert solution.amps["bulb"] == pytest.approx(-12.0 * 0.5 / 1.05)


def test_loads_in_series():
    bulbs = answer(BATTERY, Load("one", "p", "m", siemens=0.5), Load("two", "m", "n", siemens=0.5))
    assert bulbs.across("m", "n") == pytest.approx(bulbs.across("p", "m"))
    assert not bulbs.unfed_loads
    fans = answer(BATTERY, Load("one", "p", "m", watts=5.0), Load("two", "m", "n", amps=1.0))
    assert fans.unfed_loads == ["one", "two"]


def test_nothing_at_all():
    assert answer().works
    assert answer().volts == {}


def test_zero_ohm_joins_exactly_and_rings_share_evenly():
    ring = [Resistor("a", "p", "x", 0.0), Resistor("b", "p", "x", 0.0), Resistor("c", "x", "p", 0.0)]
    solution = answer(BATTERY, *ring, Resistor("d", "x", "y", 0.0), Load("L", "y", "n", amps=6.0))
    assert solution.amps == pytest.approx({"B": 6, "a": 2, "b": 2, "c": -2, "d": 6, "L": 6})
    assert solution.volts["y"] == solution.volts["p"]


def test_ideal_sources_against_each_other_are_named():
    apart = [Source("A", "p", "n", 12.0), Source("C", "p", "m", 13.0), Resistor("W", "m", "n", 0.0)]
    solution = answer(*apart, Load("L", "p", "n", watts=3.0), BATTERY)
    assert solution.clash == [("A", "C")]
    assert math.isnan(solution.amps["L"])
    short = answer(Source("A", "p", "n", 12.0), Resistor("S", "p", "n", 0.0))
    assert short.clash == [("A",)]
    diode = answer(Source("A", "p", "n", 12.0), Diode("D", "p", "n", 0.7, 0.0))
    assert diode.clash == [("A", "D")]


def test_equal_ideal_sources_share():
    solution = answer(
        Source("A", "p", "n", 12.0), Source("C", "p", "n", 12.0), Load("L", "p", "n", watts=24.0)
    )
    assert solution.amps == pytest.approx({"A": 1.0, "C": 1.0, "L": 2.0})


def test_batteries_side_by_side_share_by_their_resistance():
    """Two emfs against each other: (13 - 12) / (0.1 + 0.1) = 5 A go round."""
    solution = answer(BATTERY, Source("C", "p", "n", 13.0, 0.1))
    assert solution.amps == pytest.approx({"B": -5.0, "C": 5.0})


def test_a_diode_conducts_or_blocks():
    bar = [Diode("D", "p", "bar", 0.5, 0.02), Load("L", "bar", "n", amps=5.0)]
    solution = answer(BATTERY, *bar, Diode("back", "n", "bar"))
    assert solution.volts["bar"] == pytest.approx(12.0 - 0.5 - 0.5 - 0.1)
    assert solution.state == {"D": "conducts", "back": "blocks"}


def test_two_diodes_feed_a_bar_from_the_higher_until_it_sags():
    low = [Source("C", "q", "n", 11.5, 0.1), Diode("E", "q", "bar", 0.5, 0.0)]
    feeds = [BATTERY, Diode("D", "p", "bar", 0.5, 0.0), *low]
    assert answer(*feeds, Load("L", "bar", "n", amps=4.0)).amps["E"] == 0.0
    both = answer(*feeds, Load("L", "bar", "n", amps=10.0))
    assert both.amps["D"] - both.amps["E"] == pytest.approx(5.0)  # half a volt on two times 0.1 Ω
    assert both.state == {"D": "conducts", "E": "conducts"}


def test_a_node_behind_a_waiting_diode_is_live_and_one_before_it_is_not():
    solution = answer(BATTERY, Diode("D", "p", "tail"), Diode("E", "head", "p"))
    assert solution.unfed_nodes == ["head"]


def test_a_charger_holds_its_volts_then_its_current():
    charger = Limited("C", "p", "n", 14.4, 20.0, 0.01)
    small = answer(charger, Load("L", "p", "n", amps=10.0))
    assert (small.volts["p"], small.state["C"]) == (pytest.approx(14.3), "voltage")
    battery = answer(charger, BATTERY, Load("L", "p", "n", amps=5.0))
    assert (battery.amps["C"], battery.amps["B"], battery.state["C"]) == (
        20.0,
        pytest.approx(-15.0),
        "current",
    )
    assert answer(charger, Source("H", "p", "n", 15.0, 0.1)).state["C"] == "off"


def test_a_charger_alone_collapses_beyond_its_limit():
    solution = answer(Limited("C", "p", "n", 14.4, 20.0), Load("L", "p", "n", watts=500.0))
    [collapse] = solution.collapsed
    assert (collapse.loads, collapse.source) == (("L",), "C")
    assert collapse.share == pytest.approx(14.4 * 20.0 / 500.0, abs=1e-5)


def test_ideal_chargers_side_by_side():
    load = Load("L", "p", "n", amps=25.0)
    solution = answer(Limited("C", "p", "n", 14.4, 20.0), Limited("D", "p", "n", 13.8, 20.0), load)
    assert (solution.volts["p"], solution.amps["C"], solution.amps["D"]) == (13.8, 20.0, pytest.approx(5.0))
    equal = answer(Limited("C", "p", "n", 14.4, 40.0), Limited("D", "p", "n", 14.4, 5.0), load)
    assert (equal.volts["p"], equal.amps["C"], equal.amps["D"]) == (
        14.4,
        pytest.approx(20.0),
        pytest.approx(5.0),
    )


def test_a_converter_draws_power_over_efficiency():
    converter = Converter("K", "p", "n", "o", "g", 24.0, 5.0, 0.9, 0.1)
    solution = answer(BATTERY, converter, Load("L", "o", "g", watts=90.0))
    v = solution.across("p", "n")
    assert solution.input_amps["K"] == pytest.approx(0.1 + 100.0 / v)
    assert v == pytest.approx(12.0 - 0.1 * (0.1 + 100.0 / v))
    assert solution.reference["o"] == "g"  # no metal between the sides
    assert math.isnan(solution.across("o", "n"))


def test_a_converter_folds_back_into_a_battery_and_never_takes_current():
    converter = Converter("K", "p", "n", "o", "n", 14.4, 10.0, 0.9)
    solution = answer(BATTERY, converter, Source("H", "o", "n", 12.0, 0.05))
    assert (solution.state["K"], solution.amps["K"]) == ("current", 10.0)
    assert solution.input_amps["K"] * solution.volts["p"] == pytest.approx(12.5 * 10.0 / 0.9)
    assert answer(BATTERY, converter, Source("H", "o", "n", 15.0, 0.05)).state["K"] == "off"


def test_a_converter_collapses_on_either_side():
    converter = Converter("K", "p", "n", "o", "n", 24.0, 5.0, 0.9)
    [folded] = answer(BATTERY, converter, Load("L", "o", "n", watts=130.0)).collapsed
    assert (folded.loads, folded.source) == (("L",), "K")
    assert folded.share == pytest.approx(120.0 / 130.0, abs=1e-5)
    strong = Converter("K", "p", "n", "o", "n", 24.0, 50.0, 0.9)
    [starved] = answer(BATTERY, strong, Load("L", "o", "n", watts=400.0)).collapsed
    assert (starved.loads, starved.source) == (("K",), "B")
    assert starved.share == pytest.approx(0.9 * 360.0 / 400.0, abs=1e-5)


def test_a_converter_does_not_feed_itself():
    converter = Converter("K", "p", "n", "p", "n", 12.0, 5.0, 0.9)
    solution = answer(converter, Load("L", "p", "n", watts=5.0))
    assert (solution.state["K"], solution.unfed_loads) == ("off", ["L"])


def test_converters_in_a_chain_feed_each_other():
    first = Converter("K", "p", "n", "m", "n", 24.0, 5.0, 0.9)
    second = Converter("M", "m", "n", "o", "n", 5.0, 5.0, 0.8)
    solution = answer(BATTERY, second, first, Load("L", "o", "n", amps=4.0))
    assert solution.input_amps["M"] == pytest.approx(20.0 / 0.8 / 24.0)
    assert solution.input_amps["K"] * solution.volts["p"] == pytest.approx(20.0 / 0.8 / 0.9)


def test_references_can_be_named():
    solution = answer(BATTERY, Load("L", "p", "n", amps=10.0), references=["p"])
    assert (solution.volts["n"], solution.reference["n"]) == (pytest.approx(-11.0), "p")


FIGURE = st.one_of(st.sampled_from([0.0, 1e-300, 1e-12, 1e12, 1e300]), st.floats(0.0, 1e4))
NODE = st.sampled_from("abcde")
ELEMENTS = st.lists(
    st.one_of(
        st.tuples(st.just(Resistor), NODE, NODE, FIGURE),
        st.tuples(st.just(Source), NODE, NODE, FIGURE, FIGURE),
        st.tuples(st.just(Load), NODE, NODE, FIGURE, FIGURE, FIGURE),
        st.tuples(st.just(Diode), NODE, NODE, FIGURE, FIGURE),
        st.tuples(st.just(Limited), NODE, NODE, FIGURE, FIGURE, FIGURE),
        st.tuples(st.just(Converter), NODE, NODE, NODE, NODE, FIGURE, FIGURE, st.floats(0.01, 1), FIGURE),
    ),
    max_size=12,
)


@given(ELEMENTS)
def test_no_network_whatever_crashes_it(rows):
    """Any figures on any nodes: an answer of finite numbers, or one that says why not."""
    elements = [kind(f"{kind.__name__}{k}", *figures) for k, (kind, *figures) in enumerate(rows)]
    solution = solve(Network(elements))
    if solution.works:
        assert all(math.isfinite(volts) for volts in solution.volts.values())
