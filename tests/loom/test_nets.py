"""Ways through the paths of a van, against NetworkX and by hand."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import networkx
import pytest

from loomwright.loom.nets import OFF_PATH_COST, PathLine, PathNet, Route

#: A sill along the left side, a post up from its end, a rail back under the roof; a floor across.
PATHS = {
    "sill": PathLine([(0.0, -0.8, 0.0), (3.0, -0.8, 0.0)]),
    "post": PathLine([(3.0, -0.8, 0.0), (3.0, -0.8, 1.7)]),
    "rail": PathLine([(3.0, -0.8, 1.7), (0.0, -0.8, 1.7)]),
    "floor": PathLine([(1.5, -0.8, 0.0), (1.5, 0.8, 0.0)]),
}
SPOTS = {
    "box": (0.2, -0.6, 0.0),
    "lamp": (1.0, -0.5, 1.7),
    "tank": (1.5, 0.6, 0.3),
}


def cost(net: PathNet, route: Route) -> float:
    return sum(
        one.metres * (net.paths[one.path].cost if one.path else OFF_PATH_COST) for one in route.stretches
    )


def test_a_wire_goes_along_the_paths_that_lead_there():
    route = PathNet(PATHS, SPOTS).route("box", "lamp")
    assert route is not None
    assert route.paths == ("sill", "post", "rail")
    assert route.metres == pytest.approx(0.2 + 2.8 + 1.7 + 2.0 + 0.3)


def test_it_leaves_a_path_where_another_begins_in_its_middle():
    route = PathNet(PATHS, SPOTS).route("box", "tank")
    assert route is not None
    assert route.paths == ("sill", "floor")
    assert route.metres == pytest.approx(0.2 + 1.3 + 1.4 + 0.3)


def test_neighbours_are_joined_straight():
    net = PathNet(PATHS, {"a": (1.0, 0.0, 1.0), "b": (1.5, 0.0, 1.0)})
    route = net.route("a", "b")
    assert route is not None
    assert (route.paths, route.metres) == ((), 0.5)


def test_without_a_path_there_is_no_way():
    net = PathNet(PATHS, SPOTS)
    assert net.route("box", "lamp", without=["post"]) is None
    assert PathNet({}, SPOTS).route("box", "lamp") is None


def test_what_is_dear_is_gone_round():
    paths = PATHS | {"ceiling": PathLine([(0.2, -0.7, 0.0), (0.2, -0.7, 1.7), (1.0, -0.7, 1.7)])}
    short = PathNet(paths, SPOTS).route("box", "lamp")
    assert short is not None
    assert short.paths == ("ceiling",)
    dear = PathLine(paths["ceiling"].points, cost=4.0)
    hot = PathNet(paths | {"ceiling": dear}, SPOTS).route("box", "lamp")
    assert hot is not None
    assert "ceiling" not in hot.paths


def test_a_length_by_string_counts():
    route = PathNet(PATHS | {"post": PathLine(PATHS["post"].points, 2.2)}, SPOTS).route("box", "lamp")
    assert route is not None
    assert route.metres == pytest.approx(7.0 + 0.5)


def test_pinned_it_takes_these_paths_in_this_order_and_no_others():
    net = PathNet(PATHS, SPOTS)
    free = net.route("box", "tank")
    pinned = net.pinned("box", "tank", ["sill", "floor"])
    assert free is not None
    assert pinned.metres == pytest.approx(free.metres)
    up_and_round = net.pinned("box", "lamp", ["sill", "post", "rail"])
    assert up_and_round.paths == ("sill", "post", "rail")
    assert set(net.pinned("box", "lamp", ["sill"]).paths) <= {"sill"}


@pytest.mark.parametrize("seed", range(40))
def test_the_cheapest_way_is_that_of_networkx(seed: int):
    rng = random.Random(seed)

    def point() -> tuple[float, float, float]:
        return (rng.uniform(0, 3), rng.uniform(-0.9, 0.9), rng.uniform(0, 1.8))

    paths = {
        f"p{k}": PathLine([point() for _ in range(rng.randint(2, 5))], cost=rng.choice([1.0, 1.0, 2.0]))
        for k in range(6)
    }
    net = PathNet(paths, {f"s{k}": point() for k in range(6)})
    graph = networkx.Graph()
    names = list(net.spots)
    for here, steps in enumerate(net._steps):
        for there, dear, _ in steps:
            known = graph.get_edge_data(here, there, {"weight": math.inf})["weight"]
            graph.add_edge(here, there, weight=min(dear, known))
    for a, b in pairwise(names):
        others = [k for k, name in enumerate(names) if name not in (a, b)]
        part = graph.subgraph(set(graph) - set(others))
        start, end = names.index(a), names.index(b)
        wanted = math.inf
        if networkx.has_path(part, start, end):
            wanted = networkx.dijkstra_path_length(part, start, end)
        straight = math.dist(net.spots[a], net.spots[b])
        if straight <= 1.2:
            wanted = min(wanted, OFF_PATH_COST * straight)
        route = net.route(a, b)
        assert (math.inf if route is None else cost(net, route)) == pytest.approx(wanted)


@pytest.mark.parametrize("seed", range(20))
def test_a_way_hangs_together(seed: int):
    rng = random.Random(seed)
    spots = {f"s{k}": (rng.uniform(0, 3), rng.uniform(-0.8, 0.8), rng.uniform(0, 1.7)) for k in range(4)}
    net = PathNet(PATHS, spots)
    for route in (net.route("s0", "s1"), net.pinned("s2", "s3", ["sill", "post"])):
        assert route is not None
        for one, other in pairwise(route.stretches):
            assert one.b == pytest.approx(other.a)
