"""Ways from sources to points: the fewest open contacts, diodes one way, what is passed in its order."""

import itertools
import random

import networkx as nx
import pytest

from loomwright.assessment.modes import ModeFigure
from loomwright.assessment.ways import Way, Ways
from loomwright.circuit.states import Contacts, Device, Live, Origin

BATTERY = Origin("battery", "plus", "minus")


def ways(net: Contacts, **positions: str) -> Ways:
    stands = {one.id: one.stands for one in net.devices} | positions
    return Ways(net, ModeFigure("now", {}, stands, {}, {}, (), Live({}, {}, frozenset())))


def switch(id: str, a: str, b: str) -> Device:
    return Device(id, {"off": (), "on": ((a, b),)}, "on")


SERIES = Contacts(
    (("plus", "a"), ("c", "lamp")), (switch("S1", "a", "b"), switch("S2", "b", "c")), (BATTERY,)
)


def test_a_live_way_names_what_it_passes_from_the_source_on():
    assert ways(SERIES).to("lamp") == ("battery", Way(("S1", "S2"), ()))


def test_what_is_open_stands_in_the_way():
    assert ways(SERIES, S2="off").to("lamp") == ("battery", Way(("S1",), ("S2",)))


def test_the_way_with_fewest_open_contacts_is_told_even_if_it_is_longer():
    chain = [switch(f"K{n}", f"p{n}", f"p{n + 1}") for n in range(4)]
    net = Contacts((("plus", "p0"), ("p4", "lamp")), (*chain, switch("S", "plus", "lamp")), (BATTERY,))
    assert ways(net, S="off").to("lamp") == ("battery", Way(("K0", "K1", "K2", "K3"), ()))


def test_of_live_ways_the_one_with_fewest_contacts_is_told():
    round_it = [switch(f"K{n}", f"p{n}", f"p{n + 1}") for n in range(3)]
    net = Contacts((("plus", "p0"), ("p3", "lamp")), (*round_it, switch("S", "p0", "p3")), (BATTERY,))
    assert ways(net).to("lamp") == ("battery", Way(("S",), ()))


def test_only_the_sources_that_count_are_asked():
    both = Contacts((("plus", "lamp"),), (switch("S", "other", "lamp"),), (BATTERY,))
    assert ways(both, S="off").to("lamp", {"second": "other"}) == ("second", Way((), ("S",)))


def test_a_diode_is_passed_one_way_only():
    forward = Contacts((("plus", "a"), ("k", "lamp")), (), (BATTERY,), (("a", "k"),))
    assert ways(forward).to("lamp") == ("battery", Way((), ()))
    backward = Contacts((("plus", "k"), ("a", "lamp")), (), (BATTERY,), (("a", "k"),))
    assert ways(backward).to("lamp") is None


def test_nowhere_is_nowhere():
    assert ways(SERIES).to("other") is None


@pytest.mark.parametrize("seed", range(60))
def test_fewest_open_contacts_against_dijkstra_of_networkx(seed: int):
    """Random nets of up to 12 contacts; weights: 1 for an open contact, 0 for a closed one or a joint."""
    rng = random.Random(seed)
    points = [f"p{n}" for n in range(8)]
    pairs = list(itertools.combinations(points, 2))
    joints = tuple(rng.sample(pairs, 2))
    contacts = rng.sample(pairs, rng.randint(3, 12))
    devices = tuple(switch(f"S{n}", *pair) for n, pair in enumerate(contacts))
    stands = {one.id: rng.choice(("off", "on")) for one in devices}
    net = Contacts(joints, devices, (Origin("battery", "p0", "minus"),))
    graph = nx.Graph()
    graph.add_nodes_from(points)
    for one in devices:
        (pair,) = one.positions["on"]
        graph.add_edge(*pair, weight=int(stands[one.id] == "off"))
    graph.add_weighted_edges_from((a, b, 0) for a, b in joints)
    lengths = nx.single_source_dijkstra_path_length(graph, "p0")
    for point in points:
        found = ways(net, **stands).to(point)
        assert (found is None) == (point not in lengths)
        if found is not None:
            assert len(found[1].open) == lengths[point]
