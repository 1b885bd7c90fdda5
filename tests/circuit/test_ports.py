"""Networks reduced to the ports of their loads, small enough to be checked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import PortLoads, alone, pairs, port_volts, reduce_to_ports, together

BATTERY = Source("B", "p", "n", 12.0, 0.01)
#: A feed with a joint in it, two branches, and an earth that both share.
WIRES = [
    Resistor("feed", "p", "bar", 0.02),
    Resistor("joint", "bar", "box", 0.0),
    Resistor("lamp wire", "box", "lamp", 0.10),
    Resistor("pump wire", "box", "pump", 0.05),
    Resistor("earth", "e", "n", 0.03),
]
ENDS = [("lamp", "e"), ("pump", "e")]


def loads(amps=(0, 0), watts=(0, 0), siemens=(0, 0)):
    return PortLoads(*(np.array(figures, dtype=float) for figures in (amps, watts, siemens)))


def test_transfer_resistances_and_shares_by_hand():
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    assert ports.v0 == pytest.approx([12.0, 12.0])
    assert ports.z == pytest.approx(np.array([[0.16, 0.06], [0.06, 0.11]]))
    assert ports.share == pytest.approx(np.array([[1, 1], [1, 1], [1, 0], [0, 1], [1, 1]]))
    assert ports.source_share == pytest.approx(np.array([[1, 1]]))
    assert ports.b0 == pytest.approx(np.zeros(5))
    assert ports.live.all()


def test_sources_against_each_other_flow_with_nothing_drawn():
    """13 V and 12 V, 10 mΩ each, joined by 20 mΩ: 1 V / 40 mΩ = 25 A."""
    link = Resistor("link", "q", "p", 0.02)
    ports = reduce_to_ports([link], [BATTERY, Source("C", "q", "n", 13.0, 0.01)], [("p", "n")])
    assert ports.b0 == pytest.approx([25.0])
    assert ports.source_b0 == pytest.approx([-25.0, 25.0])
    assert ports.v0 == pytest.approx([12.25])
    assert ports.source_share == pytest.approx(np.array([[0.75], [0.25]]))


def test_what_no_source_reaches_is_nan():
    cut = [Resistor("cut", "x", "y", 0.1)]
    ports = reduce_to_ports([*WIRES, *cut], [BATTERY], [*ENDS, ("y", "e"), ("x", "y"), ("nowhere", "e")])
    assert ports.reached.tolist() == [True, True, False, False, False]
    assert np.isnan(ports.v0[2:]).all()
    assert np.isnan(ports.z[2:]).all()
    assert np.isnan(ports.z[:, 2:]).all()
    assert np.isnan(ports.share[:, 2:]).all()
    assert np.isfinite(ports.z[:2, :2]).all()


def test_a_port_with_both_ends_on_earth_or_turned_round_is_reached_but_not_live():
    ports = reduce_to_ports(WIRES, [BATTERY], [("e", "n"), ("e", "lamp")])
    assert ports.reached.all()
    assert not ports.live.any()
    assert np.isnan(alone(ports, loads(amps=(1, 1))).volts).all()


def test_clashing_ideal_sources_are_named_and_nothing_is_reached():
    ideal = [Source("A", "p", "n", 12.0), Source("C", "p", "n", 13.0), Source("D", "q", "n", 13.0)]
    ports = reduce_to_ports(WIRES, ideal, ENDS)
    assert ports.clash == ("A", "C")
    assert not ports.reached.any()
    assert ports.z.shape == (2, 2)
    assert np.isnan(ports.z).all()


def test_no_sources_and_no_ports():
    assert not reduce_to_ports(WIRES, [], ENDS).reached.any()
    assert reduce_to_ports(WIRES, [BATTERY], []).z.shape == (0, 0)
    assert reduce_to_ports([], [], ENDS).share.shape == (0, 2)


def test_each_alone():
    """Lamp 6 A on 0.16 Ω: 0.96 V. Pump 100 W on 0.11 Ω: the higher root of v² - 12 v + 11 = 0 is 11 V."""
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    running = alone(ports, loads(amps=(6, 0), watts=(0, 100)))
    assert running.volts == pytest.approx([11.04, 11.0])
    assert running.amps == pytest.approx([6.0, 100 / 11])
    bulb = alone(ports, loads(siemens=(0.5, 0), amps=(0, 2)))
    assert bulb.volts == pytest.approx([12.0 / 1.08, 11.78])


@pytest.mark.parametrize(("part", "collapses"), [(0.98, False), (1.02, True)])
def test_a_load_beyond_its_network_collapses(part, collapses):
    """P > V² / 4R: 12² / 0.64 = 225 W at the lamp."""
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    load = loads(watts=(225.0 * part, 0))
    running = alone(ports, load)
    assert running.collapsed.tolist() == [collapses, False]
    assert np.isnan(running.volts[0]) == collapses
    case = together(ports, load, np.array([[True, False], [False, False]]))
    assert case.collapsed.tolist() == [[collapses, False], [False, False]]
    assert np.isnan(case.volts[0]).all() == collapses
    assert case.volts[1] == pytest.approx([12.0, 12.0])


def test_a_start_dips_the_other_by_the_shared_part():
    """Pump starts at 20 A from standstill: the lamp falls by 20 A on the 60 mΩ that both share."""
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    load, starts = loads(amps=(6, 5)), np.array([6.0, 20.0])
    dips = alone(ports, load).volts - pairs(ports, load, starts).volts
    assert dips[1, 0] == pytest.approx(20.0 * 0.06)
    assert pairs(ports, load, starts).volts[1, 1] == pytest.approx(12.0 - 20.0 * 0.11)  # alone, starting


def test_a_start_that_its_network_cannot_give_collapses():
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    stalled = pairs(ports, loads(amps=(6, 5)), np.array([6.0, 120.0]))
    assert stalled.collapsed.tolist() == [[False, False], [True, True]]
    assert np.isnan(stalled.volts[1]).all()


def test_many_cases_equal_each_case():
    """Substitution for the easy ones and Newton's method for the hard ones give the same."""
    ports = reduce_to_ports(WIRES, [BATTERY], ENDS)
    watts = np.array([[20.0, 20.0], [50.0, 20.0], [150.0, 80.0], [222.0, 0.0], [0.0, 0.0]])
    amps, siemens = np.array([1.0, 0.5]), np.array([0.02, 9.0])
    on = np.ones(watts.shape, dtype=bool)
    volts = port_volts(ports.v0, ports.z, amps, watts, siemens, on)
    assert np.isnan(volts).any(axis=1).tolist() == [False, False, True, True, False]
    drawn = amps + watts / volts + siemens * volts
    assert volts[[0, 1, 4]] == pytest.approx((ports.v0 - drawn @ ports.z)[[0, 1, 4]])
