"""What holds for every network, tried on random ones."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.ports import PortLoads, alone, pairs, reduce_to_ports, together
from loomwright.circuit.solve import solve
from tests.circuit.laws import assert_laws, power_balance
from tests.circuit.networks import random_network

FIGURES = ("amps", "watts", "siemens")
SEEDS = st.integers(0, 10**6)


def parts(network: Network) -> tuple[list[Resistor], list[Source], list[Load]]:
    """Return the elements of a linear network by kind."""
    elements = network.elements
    return (
        [element for element in elements if isinstance(element, Resistor)],
        [element for element in elements if isinstance(element, Source)],
        [element for element in elements if isinstance(element, Load)],
    )


@settings(max_examples=400)
@given(SEEDS)
def test_every_element_keeps_its_law_and_no_current_is_lost(seed):
    network = random_network(random.Random(seed))
    solution = solve(network)
    assume(not solution.collapsed)
    assert_laws(network, solution)


@settings(max_examples=150)
@given(SEEDS)
def test_energy_in_is_energy_out_and_losses(seed):
    network = random_network(random.Random(seed))
    solution = solve(network)
    assume(not solution.collapsed)
    gives, takes = power_balance(network, solution)
    assert gives == pytest.approx(takes, abs=1e-5, rel=1e-7)


@settings(max_examples=150)
@given(SEEDS)
def test_a_collapse_names_a_source_its_loads_and_a_share_that_holds(seed):
    network = random_network(random.Random(seed), demand=3.0)
    solution = solve(network)
    for collapse in solution.collapsed:
        assert collapse.loads
        assert collapse.source in solution.amps
        assert 0.0 <= collapse.share < 1.0
    assert not solution.undecided
    assert not solution.clash


@settings(max_examples=150)
@given(SEEDS, st.floats(0.0, 0.9))
def test_more_copper_never_drops_more(seed, keeps):
    """One source and constant-current loads: with less resistance anywhere no load alone drops more.

    Of several together the sum of current times drop never grows; a single one of them may drop more, where
    the better wire of a ring or of a shared earth draws its neighbour's current onto its path.
    """
    chance = random.Random(seed)
    wires, _, loads = parts(random_network(chance, valves=False))
    source = Source("B", "n0", "e0", 12.6, 0.005)
    thin = chance.choice(wires)
    thicker = [replace(wire, ohm=wire.ohm * keeps) if wire is thin else wire for wire in wires]
    ends, amps = [(load.plus, load.minus) for load in loads], np.array([load.amps + 0.1 for load in loads])
    before, after = (reduce_to_ports(copper, [source], ends) for copper in (wires, thicker))
    had, has = (np.where(ports.reached[:, None] & ports.reached, ports.z, 0.0) for ports in (before, after))
    assert np.all(np.diag(has) <= np.diag(had) + 1e-8)
    assert amps @ has @ amps <= amps @ had @ amps * (1.0 + 1e-8)


@settings(max_examples=150)
@given(SEEDS)
def test_transfer_resistances_are_those_of_what_carries_the_current(seed):
    """Reciprocity and Tellegen's theorem, on networks with every kind of ring and joint."""
    wires, sources, loads = parts(random_network(random.Random(seed), valves=False))
    ports = reduce_to_ports(wires, sources, [(load.plus, load.minus) for load in loads])
    assert ports.reached.all()
    ohm = np.array([wire.ohm for wire in wires])
    inside = np.array([source.ohm for source in sources])
    carried = ports.share.T * ohm @ ports.share + ports.source_share.T * inside @ ports.source_share
    assert ports.z == pytest.approx(carried, abs=1e-9)
    assert np.array_equal(ports.z, ports.z.T)


@settings(max_examples=150)
@given(SEEDS)
def test_ports_and_whole_solution_agree(seed):
    """All together, each alone, and each starting while another runs: three ways against `solve`."""
    wires, sources, loads = parts(random_network(random.Random(seed), valves=False))
    ports = reduce_to_ports(wires, sources, [(load.plus, load.minus) for load in loads])
    port_loads = PortLoads(*(np.array([getattr(load, name) for load in loads]) for name in FIGURES))
    starts = np.array([2.0 * load.amps + 3.0 for load in loads])

    def volts(running: list[Load]) -> np.ndarray:
        solution = solve(Network([*wires, *sources, *running]))
        if not solution.works or solution.unfed_loads:
            return np.full(len(loads), np.nan)
        return np.array([solution.across(load.plus, load.minus) for load in loads])

    every = together(ports, port_loads, np.ones((1, len(loads)), dtype=bool))
    assert every.volts[0] == pytest.approx(volts(loads), abs=1e-8, nan_ok=True)
    single = alone(ports, port_loads)
    both = pairs(ports, port_loads, starts)
    for i, load in enumerate(loads):
        assert single.volts[i] == pytest.approx(volts([load])[i], abs=1e-8, nan_ok=True)
        for j in range(min(3, len(loads))):
            start = Load(f"start{j}", loads[j].plus, loads[j].minus, amps=starts[j])
            expected = volts([start] if i == j else [load, start])[i]
            assert both.volts[j, i] == pytest.approx(expected, abs=1e-8, nan_ok=True)


@settings(max_examples=60)
@given(SEEDS)
def test_the_order_of_elements_changes_nothing(seed):
    network = random_network(random.Random(seed))
    other = Network(list(reversed(network.elements)))
    one, two = solve(network), solve(other, references=set(solve(network).reference.values()))
    assert one.works == two.works
    assert two.volts == pytest.approx(one.volts, abs=1e-7, nan_ok=True)
