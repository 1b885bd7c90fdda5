"""Things in rows and columns: each row ends in a thing or joins one, each column is one step from what feeds.

A thing is drawn behind the first cable that reaches it, inlets before what makes mains; further cables to it
join it from a row of their own. What goes on elsewhere ends in an arrow, and begins there with one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from .graph import Cable, Graph, Unit


@dataclass(slots=True, eq=False)
class Edge:
    """A cable from a thing; `node` is what stands behind it, None if it joins a thing drawn elsewhere."""

    cable: Cable
    node: Node | None


@dataclass(slots=True, eq=False)
class Node:
    """A thing with the cables that leave it; `depth` is its column."""

    unit: Unit
    depth: int
    edges: list[Edge] = field(default_factory=list)
    cut: bool = False

    def nodes(self) -> Iterator[Node]:
        """Give the thing and all behind it."""
        yield self
        for edge in self.edges:
            if edge.node is not None:
                yield from edge.node.nodes()

    def rows(self) -> list[Node | Edge]:
        """Return what ends its rows, from above."""
        if not self.edges:
            return [self]
        found: list[Node | Edge] = []
        for edge in self.edges:
            found += [edge] if edge.node is None else edge.node.rows()
        return found


def with_arrows(graph: Graph, kept: set[str]) -> Graph:
    """Return the part of a graph with some of its things; cables that lead out or in end in arrows.

    So do cables that do not lead from the right of a thing to the left of another: both ends are named.
    """
    units = {id: unit for id, unit in graph.units.items() if id in kept}
    outs, ins = graph.unit_out, graph.unit_in
    cables = []
    for cable in graph.cables:
        start, end = outs.get(cable.a) in kept, ins.get(cable.b) in kept
        if not (start or end or (cable.a not in outs and cable.b not in ins)):
            continue
        if not start:
            point = f"comes|{cable.id}"
            units[point] = Unit(point, "comes", _part(graph, outs, cable.a), (), (point,))
            cable = replace(cable, a=point)
        if not end:
            point = f"goes|{cable.id}"
            units[point] = Unit(point, "goes", _part(graph, ins, cable.b), (point,))
            cable = replace(cable, b=point)
        cables.append(cable)
    return Graph(units, tuple(cables))


def _part(graph: Graph, sides: dict[str, str], point: str) -> str:
    """Return the part that a point belongs to; the point itself where it is at no edge of a thing."""
    return graph.units[sides[point]].part if point in sides else point


def settled(roots: list[Node], graph: Graph) -> list[Node]:
    """Return the rows with an arrow in place of each cable that can't join what it leads to.

    It can if the thing is on the same sheet, further to the right, and begins in a row above.
    """
    nodes = {node.unit.id: node for root in roots for node in root.nodes()}
    rows = [row for root in roots for row in root.rows()]
    first = {id: rows.index(node.rows()[0]) for id, node in nodes.items()}
    ins = graph.unit_in

    def done(node: Node) -> Node:
        edges = []
        for edge in node.edges:
            target = nodes.get(ins.get(edge.cable.b, ""))
            if edge.node is not None:
                edges.append(Edge(edge.cable, done(edge.node)))
            elif (
                target is not None and target.depth > node.depth and first[target.unit.id] < rows.index(edge)
            ):
                edges.append(edge)
            else:
                point = f"goes|{edge.cable.id}"
                unit = Unit(point, "goes", _part(graph, ins, edge.cable.b), (point,))
                edges.append(Edge(replace(edge.cable, b=point), Node(unit, node.depth + 1)))
        return Node(node.unit, node.depth, edges, node.cut)

    return [done(root) for root in roots]


def forest(graph: Graph) -> list[Node]:
    """Return what begins rows, inlets first, with all that hangs on it."""
    ins, after = graph.unit_in, _after(graph)
    fed = {ins[cable.b] for cables in after.values() for cable in cables}
    depths = _depths(graph, after)
    first = [id for id, unit in graph.units.items() if unit.sort == "post"]
    order = [*first, *(id for id in graph.units if id not in fed and id not in first), *graph.units]
    seen: set[str] = set()
    joined: set[str] = set()

    def grown(id: str) -> Node:
        seen.add(id)
        node = Node(graph.units[id], depths[id])
        for cable in after[id]:
            behind = ins[cable.b]
            if behind in seen:
                joined.add(behind)
            node.edges.append(Edge(cable, None if behind in seen else grown(behind)))
        return node

    roots = [grown(id) for id in order if id not in seen]
    for root in roots:
        for node in root.nodes():
            node.edges.sort(key=lambda edge: _joins(edge, joined))
    return roots


def _after(graph: Graph) -> dict[str, list[Cable]]:
    """Return by thing the cables that leave it, in the order of its points."""
    ins, outs = graph.unit_in, graph.unit_out
    found: dict[str, list[Cable]] = {id: [] for id in graph.units}
    for cable in graph.cables:
        if cable.a in outs and cable.b in ins:
            found[outs[cable.a]].append(cable)
    for id, unit in graph.units.items():
        found[id].sort(key=lambda cable: (unit.outs.index(cable.a), not cable.inner))
    return found


def _joins(edge: Edge, joined: set[str]) -> bool:
    """Return whether another row joins something behind a cable: it is drawn last, next to that row."""
    return edge.node is None or any(node.unit.id in joined for node in edge.node.nodes())


def _depths(graph: Graph, after: dict[str, list[Cable]]) -> dict[str, int]:
    """Return by thing how many cables lead to it, the longest way; rings are cut."""
    ins = graph.unit_in
    before: dict[str, list[str]] = {id: [] for id in graph.units}
    for id, cables in after.items():
        for cable in cables:
            before[ins[cable.b]].append(id)
    found: dict[str, int] = {}

    def depth(id: str, open_: frozenset[str]) -> int:
        if id not in found:
            found[id] = max(
                (depth(one, open_ | {id}) + 1 for one in before[id] if one not in open_), default=0
            )
        return found[id]

    for id in graph.units:
        depth(id, frozenset())
    for id, unit in graph.units.items():  # what makes mains stands right before what it feeds
        if not before[id] and unit.sort != "post" and after[id]:
            found[id] = max(0, min(found[ins[cable.b]] for cable in after[id]) - 1)
    return found


def cut_rows(roots: list[Node], kept: set[int]) -> list[Node]:
    """Return copies of what begins rows with some rows only, by their numbers from above."""
    numbers = iter(range(10**6))

    def copied(node: Node) -> Node | None:
        if not node.edges:
            return Node(node.unit, node.depth) if next(numbers) in kept else None
        edges = []
        for edge in node.edges:
            if edge.node is None:
                if next(numbers) in kept:
                    edges.append(edge)
            elif (behind := copied(edge.node)) is not None:
                edges.append(Edge(edge.cable, behind))
        cut = len(edges) < len(node.edges)
        return Node(node.unit, node.depth, edges, cut) if edges else None

    return [done for done in map(copied, roots) if done is not None]


__all__ = ["Edge", "Node", "cut_rows", "forest", "settled", "with_arrows"]
