"""Contacts that settle: reach against NetworkX, the end against every state that there is.

Peer: NetworkX (a general-purpose graph library), descendants of a directed graph.
"""

from __future__ import annotations

from itertools import product
from random import Random

import networkx as nx
import pytest

from loomwright.circuit.states import Contacts, Device, Live, Origin, Turns


def coil(plus: str, minus: str) -> Turns:
    """Return what a relay does: it pulls in while its coil is fed."""
    return lambda live, _: "on" if live.feeds(plus, minus) else "off"


def random_contacts(seed: int) -> Contacts:
    """Return a small net of up to 12 contacts: switches, change-over relays, diodes, two sources."""
    chance = Random(seed)
    points = [f"p{n}" for n in range(chance.randint(6, 12))]
    pair = lambda: tuple(chance.sample(points, 2))  # noqa: E731
    devices = []
    for n in range(chance.randint(1, 4)):
        devices.append(Device(f"S{n}", {"off": (), "on": (pair(),)}, chance.choice(["off", "on"])))
    for n in range(chance.randint(1, 4)):
        a, on, off = chance.sample(points, 3)
        turns = coil(*chance.sample(points, 2))
        devices.append(Device(f"K{n}", {"off": ((a, off),), "on": ((a, on),)}, "off", turns))
    origins = [Origin(f"battery_{n}", *pair(), passes=n == 0) for n in range(2)]
    joints = tuple(pair() for _ in range(chance.randint(2, 6)))
    return Contacts(joints, devices, origins, tuple(pair() for _ in range(chance.randint(0, 2))))


def graph_of(net: Contacts, positions: dict[str, str]) -> nx.DiGraph:
    graph = nx.DiGraph()
    closed = [pair for one in net.devices for pair in one.positions[positions[one.id]]]
    for a, b in (*net.joints, *closed):
        graph.add_edges_from(((a, b), (b, a)))
    graph.add_edges_from(net.diodes)
    graph.add_edges_from((one.minus, one.plus) for one in net.origins if one.passes)
    graph.add_nodes_from(point for one in net.origins for point in (one.plus, one.minus))
    return graph


def brute_live(net: Contacts, positions: dict[str, str]) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
    graph = graph_of(net, positions)
    plus: dict[str, set[str]] = {point: set() for point in graph}
    minus: dict[str, set[str]] = {point: set() for point in graph}
    for one in net.origins:
        for point in {one.plus, *nx.descendants(graph, one.plus)}:
            plus[point].add(one.id)
        for point in {one.minus, *nx.ancestors(graph, one.minus)}:
            minus[point].add(one.id)
    return plus, minus


@pytest.mark.parametrize("seed", range(80))
def test_reach_in_every_position_is_that_of_the_graph(seed):
    net = random_contacts(seed)
    for chosen in product(*(one.positions for one in net.devices)):
        positions = dict(zip((one.id for one in net.devices), chosen, strict=True))
        live, (plus, minus) = net.live(positions), brute_live(net, positions)
        for point in plus:
            assert live.at(point) == plus[point], (positions, point)
            assert live.back_at(point) == minus[point], (positions, point)


def stable_states(net: Contacts) -> list[dict[str, str]]:
    """Return every state in which no relay would move, switches as they stand at first."""
    found = []
    for chosen in product(*(one.positions if one.turns else (one.stands,) for one in net.devices)):
        positions = dict(zip((one.id for one in net.devices), chosen, strict=True))
        live = net.live(positions)
        if all(
            one.turns is None or one.turns(live, positions[one.id]) == positions[one.id]
            for one in net.devices
        ):
            found.append(positions)
    return found


@pytest.mark.parametrize("seed", range(200))
def test_what_settles_is_a_stable_state_and_what_has_none_chatters(seed):
    net = random_contacts(seed)
    settled, stable = net.settle(), stable_states(net)
    if settled.chatters:
        assert dict(settled.positions) not in stable
        assert all(next(one for one in net.devices if one.id == id).turns for id in settled.chatters)
    else:
        assert dict(settled.positions) in stable
    if not stable:
        assert settled.chatters


def test_both_kinds_of_end_occur():
    ends = [bool(random_contacts(seed).settle().chatters) for seed in range(200)]
    assert 5 < sum(ends) < 150


def test_a_race_of_two_relays_is_no_chatter():
    """Each relay opens the other's coil: together they swing for ever, in turn one of them wins."""
    first = Device("K1", {"off": (("plus", "b"),), "on": ()}, "off", coil("a", "minus"))
    second = Device("K2", {"off": (("plus", "a"),), "on": ()}, "off", coil("b", "minus"))
    settled = Contacts((), (first, second), (Origin("battery", "plus", "minus"),)).settle()
    assert settled.chatters == ()
    assert sorted(settled.positions.values()) == ["off", "on"]


def test_a_source_gives_only_in_its_position():
    def starts(live: Live, _: str) -> str:
        return "on" if live.is_charged("in") else "off"

    charger = Device("b2b", {"off": (), "on": ()}, "off", starts)
    origins = (
        Origin("starter", "in", "minus"),
        Origin("alternator", "dynamo", "minus", charges=True),
        Origin("b2b", "out", "minus", while_=("b2b", "on")),
    )
    engine = Device("engine", {"off": (), "on": (("dynamo", "in"),)}, "off")
    net = Contacts((), (charger, engine), origins)
    assert net.settle().live.at("out") == frozenset()
    assert net.settle({"engine": "on"}).live.at("out") == {"b2b"}
    with pytest.raises(KeyError, match="engine has no position"):
        net.settle({"engine": "running"})
