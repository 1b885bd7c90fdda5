"""Open places against the whole solver on the network without them, against NetworkX, and by hand."""

from __future__ import annotations

import random
from collections.abc import Sequence

import networkx as nx
import numpy as np
import pytest

from loomwright.circuit.breaks import LEAST_OHM, Openings, bridges, openings
from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.solve import solve

from .networks import random_network


def random_net(seed: int) -> tuple[list[Resistor], list[Source], list[Load]]:
    """Return a van's shape with loads that are conductances, some of them from feed to feed."""
    chance = random.Random(seed)
    elements = random_network(chance, valves=False).elements
    resistors = [
        Resistor(one.id, one.a, one.b, max(one.ohm, LEAST_OHM))
        for one in elements
        if isinstance(one, Resistor)
    ]
    sources = [one for one in elements if isinstance(one, Source)]
    loads = [
        Load(one.id, one.plus, one.minus, siemens=10.0 ** chance.uniform(-3.5, 0.5))
        for one in elements
        if isinstance(one, Load)
    ]
    feeds = sorted({one.plus for one in loads})
    loads += [
        Load(f"across{k}", *chance.sample(feeds, 2), siemens=0.3)
        for k in range(chance.randint(0, 2) if len(feeds) > 1 else 0)
    ]
    return resistors, sources, loads


def opened(net: tuple[list[Resistor], list[Source], list[Load]]) -> Openings:
    resistors, sources, loads = net
    return openings(
        resistors, sources, [(one.plus, one.minus) for one in loads], [one.siemens for one in loads]
    )


def by_solver(
    net: tuple[list[Resistor], list[Source], list[Load]], whole: Openings, gone: Sequence[int]
) -> tuple[list[float], dict[str, float]]:
    """Return volts at the loads and currents, solved anew without the resistors of some places."""
    resistors, sources, loads = net
    kept = [one for one, place in zip(resistors, whole.place, strict=True) if place not in gone]
    drawing = [load for load, reached in zip(loads, whole.reached, strict=True) if reached]
    solution = solve(Network([*kept, *sources, *drawing]))
    volts = [
        solution.amps[load.id] / load.siemens if reached else float("nan")
        for load, reached in zip(loads, whole.reached, strict=True)
    ]
    return volts, dict(solution.amps)


@pytest.mark.parametrize("seed", range(60))
def test_each_open_place_against_the_whole_solver_without_it(seed: int):
    net = random_net(seed)
    whole = opened(net)
    volts = whole.each()
    worst = 0.0
    for place in range(len(whole.bridge)):
        expected, amps = by_solver(net, whole, [place])
        assert volts[place] == pytest.approx(expected, abs=1e-5, nan_ok=True)
        found = whole.opened([place])
        assert found.volts == pytest.approx(expected, abs=1e-5, nan_ok=True)
        for resistor, a in zip(net[0], found.amps, strict=True):
            worst = max(worst, abs(a - amps.get(resistor.id, 0.0)) / (1.0 + abs(a)))
    assert worst < 1e-5


@pytest.mark.parametrize("seed", range(0, 60, 4))
def test_two_open_places_against_the_whole_solver(seed: int):
    net = random_net(seed)
    whole = opened(net)
    for beside in range(min(3, len(whole.bridge))):
        volts = whole.each(beside)
        for place in range(len(whole.bridge)):
            expected, _ = by_solver(net, whole, [beside, place])
            assert volts[place] == pytest.approx(expected, abs=1e-5, nan_ok=True)
            assert whole.opened([beside, place]).volts == pytest.approx(expected, abs=1e-5, nan_ok=True)


@pytest.mark.parametrize("seed", range(40))
def test_bridges_against_networkx(seed: int):
    chance = random.Random(seed)
    nodes = [str(k) for k in range(chance.randint(2, 30))]
    edges = [(chance.choice(nodes), chance.choice(nodes)) for _ in range(chance.randint(1, 40))]
    graph = nx.MultiGraph(edges)
    single = nx.Graph(graph)
    single.remove_edges_from([(a, a) for a in nodes if single.has_edge(a, a)])
    known = {frozenset(pair) for pair in nx.bridges(single)}
    expected = [frozenset(pair) in known and graph.number_of_edges(*pair) == 1 for pair in edges]
    assert bridges(edges) == expected


def test_a_lost_earth_by_hand():
    """Brake lamp 21 W, tail lamps 5 W, one earth for brake and tail on the left; the tail switch is off.

    By hand, Ohm and Kirchhoff: R = 12²/21 = 6.857 Ω and 12²/5 = 28.8 Ω. With the left earth gone the current
    goes through the brake lamp, backwards through the left tail lamp, and through the right one to its own
    earth: I = 12 / (6.857 + 28.8 + 28.8) = 0.1862 A; 1.28 V, 5.36 V and 5.36 V.
    """
    wires = [
        Resistor("brake", "plus", "brake", 1e-6),
        Resistor("switch", "plus", "tail", 1e-6),
        Resistor("left", "earth", "minus", 1e-6),
    ]
    lamps = [("brake", "earth"), ("tail", "earth"), ("tail", "minus")]
    net = openings(wires, [Source("B", "plus", "minus", 12.0)], lamps, [21 / 144, 5 / 144, 5 / 144])
    assert net.opened([net.place[1]]).volts == pytest.approx([12.0, 0.0, 0.0], abs=1e-4)
    lost = net.opened([net.place[1], net.place[2]])
    assert lost.volts == pytest.approx([1.277, -5.362, 5.362], abs=1e-3)
    # with the tail lamps on as well, the whole left side stands at plus and is dark
    both = net.opened([net.place[2]])
    assert both.volts == pytest.approx([0.0, 0.0, 12.0], abs=1e-4)
    assert both.gap_v == pytest.approx([12.0], abs=1e-4)


def test_a_starter_that_returns_through_a_strap_by_hand():
    """Engine earth lost: 12 V, 10 mΩ inside, starter 60 mΩ, a strap of 50 mΩ beside the earth of 0.5 mΩ.

    By hand: whole, the strap carries 0.5 / 50.5 of 12 / (10 + 60 + 0.495) mΩ = 1.685 A; alone it carries
    12 V / 120 mΩ = 100 A.
    """
    wires = [Resistor("feed", "plus", "motor", 0.0), Resistor("earth", "block", "minus", 5e-4)]
    wires.append(Resistor("strap", "block", "minus", 0.05))
    net = openings(wires, [Source("B", "plus", "minus", 12.0, 0.01)], [("motor", "block")], [1 / 0.06])
    assert not net.bridge[net.place[1]]
    assert net.opened([]).amps[2] == pytest.approx(1.685, abs=5e-3)
    assert net.opened([net.place[1]]).amps[2] == pytest.approx(100.0, rel=1e-4)


def test_a_place_with_nothing_behind_it_changes_nothing():
    wires = [Resistor("a", "plus", "x", 0.01), Resistor("stub", "x", "end", 0.01)]
    net = openings(wires, [Source("B", "plus", "minus", 12.0)], [("x", "minus")], [0.1])
    assert net.place.tolist()[1] == -1
    assert np.isclose(net.whole_v[0], 12.0, atol=0.02)
