"""Batteries that share, sag and open in turn: by hand, against ngspice, and by what must always hold.

ngspice solves the same bank and the same constant power by its own means; that it finds no working point
beyond the collapse point says where that lies.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.circuit.banks import equalising_a, opens_in_turn
from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.sag import falling_volts, most_watts, volts_under_power, watts_at, watts_at_current
from tests.reference.spice import spice_volts

OHMS = st.floats(1e-4, 0.2)
VOLTS = st.floats(9.0, 29.0)
SHARES = st.floats(0.01, 0.99)


def never(battery: str, amps: float) -> tuple[float, str]:
    return math.inf, ""


# One source


def test_planeshed_by_hand():
    """Two AGM of 4.5 mΩ with links of 0.47 mΩ, 3.66 mΩ of leads, 2 kW at 88 %: 11.6 V full, 10.6 V cold."""
    assert volts_under_power(12.8, 2.46e-3 + 3.66e-3, 2000.0 / 0.88) == pytest.approx(11.60, abs=0.005)
    assert volts_under_power(12.15, 3.60e-3 + 3.66e-3, 2000.0 / 0.88) == pytest.approx(10.59, abs=0.005)


@given(VOLTS, OHMS, SHARES)
@settings(max_examples=60, deadline=None)
def test_both_answers_take_the_power(open_v, ohm, share):
    watts = share * most_watts(open_v, ohm)
    for volts in (volts_under_power(open_v, ohm, watts), falling_volts(open_v, ohm, watts)):
        assert volts * (open_v - volts) / ohm == pytest.approx(watts, rel=1e-6)


@given(VOLTS, OHMS)
@settings(max_examples=30, deadline=None)
def test_they_meet_where_it_collapses(open_v, ohm):
    most = most_watts(open_v, ohm)
    assert volts_under_power(open_v, ohm, most * (1 - 1e-12)) == pytest.approx(open_v / 2.0, rel=1e-5)
    assert volts_under_power(open_v, ohm, most * 1.000001) is None
    assert watts_at(open_v, ohm, 0.3 * open_v) == most


@given(VOLTS, OHMS, SHARES, SHARES)
@settings(max_examples=60, deadline=None)
def test_more_resistance_never_raises_the_volts(open_v, ohm, share, more):
    watts = share * most_watts(open_v, ohm)
    then = volts_under_power(open_v, ohm * (1.0 + more), watts)
    assert then is None or then <= volts_under_power(open_v, ohm, watts)
    assert watts_at(open_v, ohm * (1.0 + more), 0.9 * open_v) < watts_at(open_v, ohm, 0.9 * open_v)


@given(VOLTS, OHMS, st.floats(0.55, 0.99))
@settings(max_examples=40, deadline=None)
def test_the_power_at_some_volts_leaves_those_volts(open_v, ohm, share):
    least = share * open_v
    watts = watts_at(open_v, ohm, least)
    assert volts_under_power(open_v, ohm, watts) == pytest.approx(least, rel=1e-6)
    assert watts_at_current(open_v, ohm, (open_v - least) / ohm) == pytest.approx(watts, rel=1e-6)


# A bank


def test_shares_by_hand():
    """r2 / (r1 + r2): 4.5 mΩ beside 4.5 mΩ behind two links of 0.473 mΩ gives 54.8 % and 45.2 %."""
    link = 0.35 * 0.780e-3 + 2 * 0.1e-3
    bank = [Source("a", "a+", "a-", 12.0, 4.5e-3), Source("b", "b+", "b-", 12.0, 4.5e-3)]
    links = [Resistor("plus", "a+", "b+", link), Resistor("minus", "a-", "b-", link)]
    gives = opens_in_turn(links, bank, [("a+", "a-", 100.0)], never).first_a
    assert gives["a"] == pytest.approx(100.0 * (4.5e-3 + 2 * link) / (9.0e-3 + 2 * link))
    assert gives["a"] == pytest.approx(54.8, abs=0.05)
    crossed = opens_in_turn(links, bank, [("a+", "b-", 100.0)], never).first_a
    assert crossed["a"] == pytest.approx(50.0)


LADDERS = st.integers(2, 5).flatmap(
    lambda n: st.tuples(*(st.lists(st.floats(1e-4, 0.02), min_size=k, max_size=k) for k in (n, n - 1, n - 1)))
)


def ladder(inner, plus, minus):
    """Batteries side by side with links between neighbours, both main leads on the first."""
    bank = [Source(f"b{k}", f"p{k}", f"m{k}", 12.8, ohm) for k, ohm in enumerate(inner)]
    links = [Resistor(f"l{k}", f"p{k}", f"p{k + 1}", ohm) for k, ohm in enumerate(plus)]
    links += [Resistor(f"n{k}", f"m{k}", f"m{k + 1}", ohm) for k, ohm in enumerate(minus)]
    return bank, links


@given(LADDERS, st.floats(1.0, 400.0))
@settings(max_examples=6, deadline=None)
def test_banks_share_as_in_ngspice(rungs, amps):
    bank, links = ladder(*rungs)
    gives = opens_in_turn(links, bank, [("p0", "m0", amps)], never).first_a
    assert sum(gives.values()) == pytest.approx(amps)
    volts = spice_volts(Network([*bank, *links, Load("load", "p0", "m0", amps=amps)]))
    for one in bank:
        theirs = (one.volts - (volts[one.plus] - volts[one.minus])) / one.ohm
        assert gives[one.id] == pytest.approx(theirs, rel=1e-5, abs=1e-5)


@given(st.integers(2, 6), st.floats(1e-3, 0.02), st.floats(1e-5, 0.005))
@settings(max_examples=30, deadline=None)
def test_leads_on_opposite_ends_share_better(count, inner, link):
    """Batteries and links all alike: the hardest worked of a bank with crossed leads has less to do."""
    bank, links = ladder([inner] * count, [link] * (count - 1), [link] * (count - 1))
    same = opens_in_turn(links, bank, [("p0", "m0", 100.0)], never).first_a
    crossed = opens_in_turn(links, bank, [("p0", f"m{count - 1}", 100.0)], never).first_a
    assert max(crossed.values()) < max(same.values())
    mirrored = [crossed[f"b{count - 1 - k}"] for k in range(count)]
    assert list(crossed.values()) == pytest.approx(mirrored)


def test_a_bank_sags_as_in_ngspice_and_collapses_where_it_finds_nothing():
    bank, links = ladder([4.5e-3, 4.5e-3], [0.47e-3], [0.47e-3])
    lead = Resistor("lead", "p0", "inverter", 3.66e-3)
    beside = 1.0 / (1.0 / 4.5e-3 + 1.0 / (4.5e-3 + 2 * 0.47e-3))
    ohm = beside + 3.66e-3
    most = most_watts(12.8, ohm)
    for share in (0.1, 0.5, 0.9, 0.999):
        network = Network([*bank, *links, lead, Load("load", "inverter", "m0", watts=share * most)])
        volts = spice_volts(network)
        ours = volts_under_power(12.8, ohm, share * most)
        assert ours == pytest.approx(volts["inverter"] - volts["m0"], abs=1e-5)
    beyond = spice_volts(Network([*bank, *links, lead, Load("load", "inverter", "m0", watts=1.01 * most)]))
    assert beyond is None or beyond["inverter"] - beyond["m0"] < 0.3 * 12.8  # it has slid to the floor


# What opens


def limits(**most):
    return lambda battery, amps: (0.0, "management") if amps > most[battery] else (math.inf, "")


def test_three_open_in_the_order_of_their_load():
    """60 A each of 180 A: one for 50 A opens, 90 A are too much for the next, 180 A for the last."""
    bank, links = ladder([0.006] * 3, [0.0] * 2, [0.0] * 2)
    found = opens_in_turn(links, bank, [("p0", "m0", 180.0)], limits(b0=80.0, b1=50.0, b2=100.0))
    assert [(one.battery, round(one.amps)) for one in found.opens] == [("b1", 60), ("b0", 90), ("b2", 180)]
    assert found.dark
    assert found.left_a == {}


def test_the_rest_holds():
    bank, links = ladder([0.006] * 3, [0.0] * 2, [0.0] * 2)
    found = opens_in_turn(links, bank, [("p0", "m0", 180.0)], limits(b0=95.0, b1=50.0, b2=95.0))
    assert [one.battery for one in found.opens] == ["b1"]
    assert not found.dark
    assert found.left_a == pytest.approx({"b0": 90.0, "b2": 90.0})


def test_one_of_a_string_takes_its_string_along():
    """Two strings of two in series: one battery opens, its fellow gives nothing, the other string has all."""
    bank = [Source(f"{s}{k}", f"{s}{k}+", f"{s}{k}-", 12.8, 0.005) for s in "ab" for k in (1, 2)]
    links = [Resistor(f"{s}", f"{s}1+", f"{s}2-", 0.0) for s in "ab"]
    links += [Resistor("top", "a2+", "b2+", 0.0), Resistor("foot", "a1-", "b1-", 0.0)]
    most = limits(a1=40.0, a2=100.0, b1=120.0, b2=120.0)
    found = opens_in_turn(links, bank, [("a2+", "a1-", 100.0)], most)
    assert found.first_a == pytest.approx(dict.fromkeys(("a1", "a2", "b1", "b2"), 50.0))
    assert [one.battery for one in found.opens] == ["a1"]
    assert found.left_a == pytest.approx({"a2": 0.0, "b1": 100.0, "b2": 100.0})


def test_the_soonest_opens_first():
    """A fuse that takes a second is left behind by a management that acts at once."""
    bank, links = ladder([0.004, 0.006], [0.0], [0.0])

    def opens(battery, amps):
        if battery == "b0":
            return (1.0, "100 A fuse") if amps > 100.0 else (math.inf, "")
        return (0.0, "management") if amps > 70.0 else (math.inf, "")

    found = opens_in_turn(links, bank, [("p0", "m0", 200.0)], opens)
    assert [(one.battery, one.what) for one in found.opens] == [("b1", "management"), ("b0", "100 A fuse")]


def test_first_current_between_two_that_are_joined():
    """2.7 V over 20 mΩ; ngspice says the same of two sources and a wire."""
    assert equalising_a(14.4, 11.7, 0.020) == pytest.approx(135.0)
    assert equalising_a(11.7, 14.4, 0.020) == 0.0
    full, empty = Source("full", "a", "m", 14.4, 0.006), Source("empty", "b", "m", 11.7, 0.005)
    volts = spice_volts(Network([full, empty, Resistor("wire", "a", "b", 0.009)]))
    assert (volts["a"] - volts["b"]) / 0.009 == pytest.approx(135.0)
