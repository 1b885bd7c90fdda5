"""Ways of wires become trees: against NetworkX, and on a ring that must be cut open."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import networkx as nx
import pytest

from loomwright.loom.tree import Leg, LoomTree, Way, trees_of


def ways_in(chance: Random) -> tuple[list[Way], nx.Graph]:
    """Return shortest ways of some wires in a random connected net, and the net."""
    net = nx.gnm_random_graph(14, 20, seed=chance.randrange(10**6))
    for a, b in net.edges:
        net.edges[a, b]["metres"] = chance.uniform(0.3, 2.0)
    ways = []
    for n in range(12):
        start, end = chance.sample(sorted(net.nodes), 2)
        if nx.has_path(net, start, end):
            spots = nx.shortest_path(net, start, end, weight="metres")
            legs = tuple(
                Leg(f"p{a}", f"p{b}", net.edges[a, b]["metres"], f"path{min(a, b)}-{max(a, b)}")
                for a, b in pairwise(spots)
            )
            ways.append(Way(f"W{n}", 3.0, legs))
    return ways, net


def graph_of(tree: LoomTree) -> nx.Graph:
    graph = nx.Graph()
    for one in tree.sections:
        graph.add_edge(one.a, one.b, metres=one.metres, wire_m=one.metres * len(one.wires))
    return graph


@pytest.mark.parametrize("seed", range(25))
def test_trees_are_trees_and_keep_every_metre(seed: int):
    """Every loom is a tree of NetworkX; what its sections hold adds up to the ways that went in."""
    ways, _ = ways_in(Random(seed))
    trees = trees_of(ways)
    held = {way.wire: 0.0 for way in ways}
    for tree in trees:
        graph = graph_of(tree)
        assert nx.is_tree(graph)
        for one in tree.sections:
            for wire in one.wires:
                held[wire] += one.metres
        far = max(
            sum(graph.edges[a, b]["wire_m"] for a, b in pairwise(path))
            for start, paths in nx.all_pairs_shortest_path(graph)
            for path in paths.values()
        )
        trunk = pairwise(tree.trunk)
        assert sum(graph.edges[a, b]["wire_m"] for a, b in trunk) == pytest.approx(far)
    assert held == pytest.approx({way.wire: sum(leg.metres for leg in way.legs) for way in ways})


@pytest.mark.parametrize("seed", range(25))
def test_wires_of_one_loom_share_stretches(seed: int):
    """Wires are in one loom exactly if a chain of shared legs joins them: components of NetworkX."""
    ways, _ = ways_in(Random(seed))
    graph = nx.Graph()
    for way in ways:
        graph.add_node(way.wire)
        for leg in way.legs:
            graph.add_edge(way.wire, (frozenset((leg.a, leg.b)), leg.path))
    wanted = {
        frozenset(name for name in part if isinstance(name, str)) for part in nx.connected_components(graph)
    }
    assert {frozenset(tree.wires) for tree in trees_of(ways)} == wanted


def test_a_ring_is_cut_open_where_least_lies():
    """Two ways around: three wires by the sill, one over the roof, which then ends beside the pump."""
    sill, roof = Leg("box", "post", 2.0, "sill"), Leg("box", "rib", 2.0, "roof")
    down = Leg("rib", "post", 1.0, "drop")
    on = Leg("post", "pump", 1.0, "sill")
    ways = [Way(f"W{n}", 3.0, (sill, on)) for n in range(3)] + [Way("W9", 3.0, (roof, down, on))]
    (tree,) = trees_of(ways)
    ((loose, beside),) = tree.cuts
    assert beside in ("post", "rib", "box")
    section = next(one for one in tree.sections if loose in (one.a, one.b))
    assert section.wires == ("W9",)
    ends = [one for one in tree.ends if one.wire == "W9"]
    assert [one.goes_on for one in ends].count("") == 2
    assert {one.goes_on for one in ends if one.goes_on} == {loose, beside}


def test_spots_nearer_than_a_peg_are_one_but_not_a_chain_of_them():
    near = tuple(Leg(f"p{n}", f"p{n + 1}", 0.06, "sill") for n in range(20))
    (tree,) = trees_of([Way("W1", 3.0, near), Way("W2", 3.0, near[:9])])
    assert tree.trunk_m > 0.5


def test_a_way_that_goes_back_on_itself_lies_there_once():
    there = Leg("a", "b", 1.0, "sill")
    back = Leg("b", "a", 1.0, "sill")
    (tree,) = trees_of([Way("W1", 3.0, (there, back, Leg("a", "c", 2.0, "sill")))])
    assert tree.trunk_m == pytest.approx(2.0)


@pytest.mark.parametrize("seed", range(12))
def test_parts_of_a_loom_hold_all_of_it(seed: int):
    """Cut at any peg of its trunk: both parts are trees, every section is in one, what passes goes on."""
    ways, _ = ways_in(Random(seed))
    for tree in trees_of(ways):
        for spot in tree.trunk[1:-1]:
            parts = tree.parted(spot)
            assert all(nx.is_tree(graph_of(one)) for one in parts)
            assert sorted(one.a + one.b for part in parts for one in part.sections) == sorted(
                one.a + one.b for one in tree.sections
            )
            own = [one for part in parts for one in part.ends if one.goes_on != spot or one in tree.ends]
            assert sorted(map(repr, own)) == sorted(map(repr, tree.ends))
            for part in parts:
                for one in part.sections:
                    for wire in one.wires:
                        assert sum(end.wire == wire for end in part.ends) in (2, 4, 6)
