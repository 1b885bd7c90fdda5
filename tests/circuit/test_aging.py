"""One joint grown old: against the whole solver with that joint's ohms, by hand, and what always holds."""

from __future__ import annotations

import random

import numpy as np
import pytest

from loomwright.circuit.aging import Seen, own_ohm, seen_ohm
from loomwright.circuit.breaks import openings
from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.ports import PortLoads, alone, reduce_to_ports
from loomwright.circuit.solve import solve


def random_net(seed: int) -> tuple[list[Resistor], list[Source], list[Load]]:
    """Return feeds and earths with a few rings, one battery, and loads of all three sorts."""
    chance = random.Random(seed)
    feeds, earths = [f"n{k}" for k in range(6)], [f"e{k}" for k in range(4)]
    wires = [
        Resistor(f"{nodes[k]}", nodes[chance.randrange(k)], nodes[k], chance.uniform(1e-3, 30e-3))
        for nodes in (feeds, earths)
        for k in range(1, len(nodes))
    ]
    wires += [Resistor(f"ring{k}", *chance.sample(feeds, 2), 0.01) for k in range(chance.randint(0, 2))]
    loads = [
        Load(
            f"load{k}",
            chance.choice(feeds[1:]),
            chance.choice(earths[1:]),
            chance.choice([0.0, 3.0]),
            chance.choice([0.0, 40.0]),
            0.1,
        )
        for k in range(4)
    ]
    return wires, [Source("B", "n0", "e0", 12.6, 0.005)], loads


@pytest.mark.parametrize("seed", range(30))
def test_a_joint_of_more_ohms_against_the_whole_solver(seed: int):
    wires, sources, loads = random_net(seed)
    pairs = [(load.plus, load.minus) for load in loads]
    net = openings(wires, sources, pairs, [0.0] * len(loads))
    ports = reduce_to_ports(wires, sources, pairs)
    columns = [np.array([getattr(load, name) for load in loads]) for name in ("amps", "watts", "siemens")]
    seen = Seen(ports.v0, np.diag(ports.z), *columns)
    assert seen.volts_with(np.zeros(4)) == pytest.approx(alone(ports, PortLoads(*columns)).volts)
    for k, wire in enumerate(wires):
        place = int(net.place[k])
        more, around = np.array(0.05), net.around_s[place, place] if place >= 0 else 0.0
        part = np.abs(net.share[place]) if place >= 0 else np.zeros(4)
        volts = seen.volts_with(seen_ohm(more, around) * part**2)
        aged = [Resistor(one.id, one.a, one.b, one.ohm + 0.05 * (one is wire)) for one in wires]
        for load, found in zip(loads, volts, strict=True):
            solution = solve(Network([*aged, *sources, load]))
            assert found == pytest.approx(solution.across(load.plus, load.minus), abs=1e-7)


@pytest.mark.parametrize("seed", range(12))
def test_the_ohms_at_which_a_limit_is_reached(seed: int):
    """With exactly these ohms more the load stands at its limit; a joint in a ring may never get there."""
    chance = np.random.default_rng(seed)
    seen = Seen(
        np.full(20, 12.0),
        chance.uniform(0.01, 0.1, 20),
        chance.choice([0.0, 4.0], 20),
        chance.choice([0.0, 30.0], 20),
        chance.choice([0.0, 0.2], 20),
    )
    limit = chance.uniform(10.4, 11.4, 20)
    left = seen.ohm_until(limit)
    finite = np.isfinite(left)
    assert seen.volts_with(np.where(finite, left, 0.0))[finite] == pytest.approx(limit[finite])
    assert np.array_equal(finite, seen.takes(limit) > 0.0)
    around = chance.uniform(0.0, 5.0, 20)
    own = own_ohm(left, around)
    reached = np.isfinite(own)
    assert seen_ohm(own[reached], around[reached]) == pytest.approx(left[reached])


def test_a_constant_power_has_an_end_before_its_limit():
    """v0² / 4P by any textbook: 12² / (4 · 30) = 1.2 Ω; it never comes down to 2 V, it falls away at 6 V."""
    seen = Seen(*(np.array([x]) for x in (12.0, 0.2, 0.0, 30.0, 0.0)))
    assert seen.ohm_until(np.array([2.0])) == pytest.approx([1.0])
    assert seen.volts_with(np.array([0.999]))[0] > 6.0
    assert seen.volts_with(np.array([1.001])).tolist() == [0.0]


def test_more_ohms_never_raise_the_volts_and_never_cool_the_joint():
    chance = np.random.default_rng(7)
    seen = Seen(*(chance.uniform(*band, 50) for band in ((11, 14), (0, 0.2), (0, 5), (0, 20), (0, 0.3))))
    steps = np.linspace(0.0, 0.2, 40)
    volts = np.array([seen.volts_with(np.full(50, step)) for step in steps])
    assert np.all(np.diff(volts, axis=0) <= 1e-12)
    amps = 7.0  # at constant current the heat in the joint is I²·R
    assert np.all(np.diff(amps**2 * steps) > 0.0)
