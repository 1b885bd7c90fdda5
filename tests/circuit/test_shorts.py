"""Shorts of random networks against a solver that is given the short as one more resistor."""

from __future__ import annotations

import math
import random

import pytest

from loomwright.circuit.network import Network, Resistor, Source
from loomwright.circuit.shorts import shorts
from loomwright.circuit.solve import solve

#: What stands for no resistance in the network solved for comparison. [Ω]
BOLTED_OHM = 1e-8


def random_network(seed: int) -> tuple[list[Resistor], list[Source], list[str]]:
    """A tree of wires with some rings, one to three batteries between it and a body."""
    draw = random.Random(seed)
    count = draw.randint(4, 25)
    nodes = [f"n{k}" for k in range(count)]
    wires = [
        Resistor(f"w{k}", nodes[draw.randrange(k)], nodes[k], draw.uniform(1e-3, 0.2))
        for k in range(1, count)
    ]
    wires += [
        Resistor(f"ring{k}", *draw.sample(nodes, 2), draw.uniform(1e-3, 0.2))
        for k in range(draw.randint(0, 3))
    ]
    wires.append(Resistor("earth", "body", "minus", draw.uniform(1e-3, 0.01)))
    posts = draw.sample(nodes, draw.randint(1, 3))
    sources = [
        Source(f"battery{k}", post, "minus", draw.uniform(12.0, 13.0), draw.uniform(2e-3, 2e-2))
        for k, post in enumerate(posts)
    ]
    return wires, sources, nodes


@pytest.mark.parametrize("seed", range(60))
def test_a_short_is_what_a_bolt_between_the_two_points_carries(seed):
    wires, sources, nodes = random_network(seed)
    draw = random.Random(seed)
    at = draw.choice(nodes)
    found = shorts(wires, sources, [(at, "body")])
    bolt = Resistor("bolt", at, "body", BOLTED_OHM)
    solved = solve(Network([*wires, *sources, bolt]))
    assert float(found.amps[0]) == pytest.approx(solved.amps["bolt"], rel=1e-4)
    for wire in wires:
        if at in (wire.a, wire.b):
            brought = solved.amps[wire.id] if wire.b == at else -solved.amps[wire.id]
            assert found.into(0, wire.id) == pytest.approx(brought, rel=1e-3, abs=1e-3)


def test_two_points_of_one_metal_are_no_short():
    wires = [Resistor("w", "plus", "lamp", 0.01)]
    found = shorts(wires, [Source("battery", "plus", "minus", 12.8, 0.005)], [("lamp", "plus")])
    assert float(found.amps[0]) == 0.0


def test_a_point_that_nothing_reaches_has_no_current():
    wires = [Resistor("w", "plus", "lamp", 0.01), Resistor("stray", "far", "farther", 0.01)]
    found = shorts(wires, [Source("battery", "plus", "minus", 12.8, 0.005)], [("far", "minus")])
    assert math.isnan(float(found.amps[0]))
    assert found.into(0, "stray") == 0.0
