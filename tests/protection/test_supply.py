"""What arrives through fuses, against the maximum flow of a general-purpose graph library (NetworkX)."""

from __future__ import annotations

import math
import random

import networkx as nx
import pytest

from loomwright.protection.supply import Passages, Supply


def largest_flow(
    joins: list[tuple[str, str, float]], sources: dict[str, float], at: str, avoid: str
) -> float:
    """Return what NetworkX finds; an edge without a capacity lets everything through."""
    most: dict[tuple[str, str], float] = {}
    for a, b, amps in joins:
        for pair in ((a, b), (b, a)):
            most[pair] = most.get(pair, 0.0) + amps
    graph = nx.DiGraph()
    graph.add_node(at)
    for (a, b), amps in most.items():
        if avoid not in (a, b):
            graph.add_edge(a, b, **({} if math.isinf(amps) else {"capacity": amps}))
    for point, amps in sources.items():
        graph.add_edge("sources", point, capacity=amps)
    return nx.maximum_flow_value(graph, "sources", at)


@pytest.mark.parametrize("seed", range(120))
def test_it_is_the_largest_flow(seed):
    draw = random.Random(seed)
    points = [f"p{k}" for k in range(draw.randint(3, 18))]
    joins = [
        (points[draw.randrange(k)], points[k], draw.choice([math.inf, 5.0, 15.0, 60.0]))
        for k in range(1, len(points))
    ]
    joins += [(*draw.sample(points, 2), draw.choice([math.inf, 10.0])) for _ in range(draw.randint(0, 3))]
    passages = Passages()
    for a, b, amps in joins:
        passages.join(a, b, amps)
    sources = {point: draw.choice([8.0, 25.0, 2000.0]) for point in draw.sample(points, 2)}
    supply = Supply(passages, sources)
    at, avoid = draw.choice(points), draw.choice(["", *points])
    if avoid == at or avoid in sources:
        avoid = ""
    assert supply.arrives(at, avoid=avoid) == pytest.approx(largest_flow(joins, sources, at, avoid))


def test_a_diode_lets_current_one_way_only():
    passages = Passages()
    passages.join("battery", "in")
    passages.let_through("in", "out")
    passages.join("out", "lamp")
    assert Supply(passages, {"battery": 100.0}).arrives("lamp") == 100.0
    assert Supply(passages, {"lamp": 100.0}).arrives("battery") == 0.0
