"""Volts and currents of small nets against sums that can be done by hand (Ohm's and Kirchhoff's laws)."""

from __future__ import annotations

import random

import pytest

from loomwright.mains.net import BODY, GROUND, PERSON, Fault, Feed, Link, Net, solve, solve_many
from loomwright.mains.touch import touch
from tests.mains.nets import (
    BOND_OHM,
    EARTH,
    GRID_OHM,
    LEAD_OHM,
    LINE,
    NEUTRAL,
    WIRE_OHM,
    inverter,
    random_net,
    two_legs,
    van,
)

TO_EARTH = Fault("fault", LINE, EARTH)
DIGITS = 1e-9


def same(value: float, digits: float = DIGITS) -> object:
    return pytest.approx(value, rel=digits, abs=digits)


def test_a_loop_through_the_protective_conductor():
    """TN: 230 V over grid, lead and wire, there and back; the kettle lies beside the fault."""
    net = van(lost=("kettle", "tyres"))
    loop = GRID_OHM + 2 * (LEAD_OHM + WIRE_OHM)
    state = solve(net, TO_EARTH)
    assert state.amps["fault"] == same(230.0 / loop)
    assert state.amps["rcd.line"] == same(230.0 / loop)
    assert state.amps["rcd.neutral"] == same(0.0)
    assert state.volts[BODY] == same(230.0 / loop * LEAD_OHM)


def test_a_loop_through_an_electrode():
    net = van(electrode_ohm=100.0, lost=("kettle", "tyres"))
    loop = GRID_OHM + 2 * (LEAD_OHM + WIRE_OHM) + 100.0
    state = solve(net, TO_EARTH)
    assert state.amps["fault"] == same(230.0 / loop)
    assert state.volts[BODY] == same(230.0 / loop * (100.0 + LEAD_OHM))


def test_a_person_takes_volts_down():
    """The body at 229 V behind 1000 Ω more: half is left for the person."""
    line, box = ("grid", "line"), ("box", "earth")
    net = Net(
        [Link("bond", ("grid", "neutral"), GROUND, 0.0), Link("leak", line, box, 1000.0)],
        [Feed("grid", line, ("grid", "neutral"), 230.0, 1e-6)],
    )
    assert touch(net, box) == (same(115.0, 1e-6), same(115.0, 1e-6))
    assert touch(net, line, ("grid", "neutral")).volts == same(230.0, 1e-6)
    assert solve(net, person=(box, GROUND)).amps[PERSON] == same(0.115, 1e-6)


def test_without_its_earth_the_body_stands_at_the_line():
    """Lost earth: an appliance's fault lifts the body to all of 230 V, and no current tells of it."""
    net = van(lost=("lead.earth", "kettle", "tyres"))
    state = solve(net, TO_EARTH)
    assert state.volts[BODY] == same(230.0)
    assert state.amps["fault"] == same(0.0)
    person = touch(net, BODY, fault=TO_EARTH)
    ohm = GRID_OHM + LEAD_OHM + 2 * WIRE_OHM + BOND_OHM
    assert person.milliamps == same(230_000.0 / (1000.0 + ohm))


def test_without_its_neutral_a_socket_has_the_line_on_both_pins():
    state = solve(van(lost=("lead.neutral",)))
    assert state.volts[NEUTRAL] == same(230.0)
    assert state.amps["kettle"] == same(0.0)


def test_a_reversed_supply_changes_the_pins():
    state = solve(van(reversed_supply=True, lost=("kettle",)))
    assert state.volts[LINE] == same(0.0)
    assert state.volts[NEUTRAL] == same(230.0)


def test_the_first_fault_of_a_floating_inverter_carries_nothing():
    state = solve(inverter(bonded=False), TO_EARTH)
    assert state.amps["fault"] == same(0.0)
    assert touch(inverter(bonded=False), BODY, fault=TO_EARTH).volts < 0.1
    assert touch(inverter(bonded=False), LINE, NEUTRAL).volts == pytest.approx(230.0, abs=0.1)


def test_the_fault_of_a_bonded_inverter_is_what_it_can_give():
    state = solve(inverter(bonded=True), TO_EARTH)
    assert state.limited == {"inverter"}
    assert state.amps["fault"] == pytest.approx(20.0, rel=1e-5)
    freely = solve(inverter(bonded=True, most_a=None), TO_EARTH)
    assert freely.amps["fault"] == same(230.0 / 0.3)


def test_a_lost_neutral_of_two_legs_shares_240_v_by_resistance():
    assert solve(two_legs(lost_neutral=False)).volts["board", "neutral"] == pytest.approx(0.0, abs=1.0)
    state = solve(two_legs(lost_neutral=True))
    amps = 240.0 / (12.0 + 48.0 + 2 * 0.05 + 2 * 0.1)
    assert state.amps["lamp"] == same(-amps)
    assert state.volts["board", "neutral"] - state.volts["board", "line_2"] == same(48.0 * amps)


def test_a_floating_part_leaks_nothing_on_the_whole():
    state = solve(inverter(bonded=False, most_a=None))
    floating = [state.volts["inverter", core] for core in ("line", "neutral")]
    assert floating == [same(115.0), same(-115.0)]


FAULTS = [
    TO_EARTH,
    Fault("cross", LINE, NEUTRAL, 0.3),
    Fault("neutral", NEUTRAL, EARTH, 0.01),
    Fault("body", ("way", "line"), BODY),
    Fault("nothing", EARTH, BODY, 5.0),
]


@pytest.mark.parametrize(
    "net", [van(), van(electrode_ohm=50.0, reversed_supply=True), van(lost=("lead.earth", "tyres"))]
)
def test_many_faults_at_once_are_the_same_as_each_in_the_net(net):
    """Each fault as a further link, against a net that has it as one of its own."""
    for fault, state in zip(FAULTS, solve_many(net, FAULTS), strict=True):
        inside = solve(Net([*net.links, Link(*fault)], net.feeds))
        assert state.volts == {node: same(volts) for node, volts in inside.volts.items()}
        assert state.amps == {name: same(amps) for name, amps in inside.amps.items()}


def test_a_fault_and_a_person_at_once_are_the_same_as_in_the_net():
    for lost in ((), ("lead.earth", "tyres")):
        net, person = van(lost=lost), Link(PERSON, BODY, GROUND, 1000.0)
        inside = solve(Net([*net.links, Link(*TO_EARTH), person], net.feeds))
        state = solve(net, TO_EARTH, person=(BODY, GROUND))
        assert state.amps == {name: same(amps) for name, amps in inside.amps.items()}


@pytest.mark.parametrize(
    ("links", "feeds", "says"),
    [
        ([Link("a", LINE, EARTH, -1.0)], [], "a: -1 Ω; a link has 0 Ω or more"),
        ([Link("a", LINE, EARTH, float("inf"))], [], "leave out an open one"),
        ([Link("a", LINE, EARTH, 1.0), Link("a", LINE, BODY, 1.0)], [], "a: two links or feeds"),
        ([], [Feed("f", LINE, NEUTRAL, 230.0, 0.0)], "f: 0 Ω; a feed has some"),
        ([], [Feed("f", LINE, NEUTRAL, 230.0, 0.1, 0.0)], "f: gives 0 A at most"),
    ],
)
def test_figures_that_no_net_can_hold(links, feeds, says):
    with pytest.raises(ValueError, match=says):
        Net(links, feeds)


def test_a_fault_beside_a_joint_carries_nothing():
    """In 40 random nets, and with a person in the net as well; dust of the sums would be amperes."""
    chance, tried = random.Random(3), 0
    for net in (van(), *(random_net(chance) for _ in range(40))):
        for joint in (link for link in net.links if link.ohm == 0.0):
            fault, person = Fault("fault", joint.a, joint.b), (net.nodes[1], net.nodes[-1])
            assert solve(net, fault).amps["fault"] == 0.0
            both = solve(net, fault, person=person)
            assert both.amps[PERSON] == same(solve(net, person=person).amps[PERSON])
            tried += 1
    assert tried > 50


def test_a_fault_bears_a_name_of_its_own():
    with pytest.raises(ValueError, match="kettle: a link or feed of the net has this name"):
        solve(van(), Fault("kettle", LINE, EARTH))


def test_a_fault_at_a_node_that_is_not_there():
    with pytest.raises(ValueError, match=r"fault: no node lamp\.line in this net"):
        solve(van(), Fault("fault", ("lamp", "line"), BODY))
