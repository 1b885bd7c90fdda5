"""The cables of the mains sheet: level where they can be, a bend down a branch, two up to what they join."""

from __future__ import annotations

from loomwright.drawing.geometry import Point
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Link, Text

from .graph import Cable
from .paint import LINE, SMALL, Painter
from .place import INPUT_STEP, PITCH, branch_zone, branches, join_zone, line_of
from .signs import Spot
from .tree import Edge, Node


def paint_cables(painter: Painter, node: Node, targets: dict[str, Node]) -> None:
    """Draw the cables that leave a thing.

    Parameters
    ----------
    painter : Painter
    node : Node
        The thing.
    targets : dict
        By point at a left edge, the thing that is there.
    """
    above: dict[tuple[str, int], Cable] = {}
    order = painter.placed.order
    for edge in node.edges:
        start = painter.placed.left[node.unit.id] + painter.placed.width[node.unit.id]
        lines = [(edge.cable.a, line_of(core, order)) for core in edge.cable.cores]
        branched = any(line in above for line in lines)
        if branched:
            _branch(painter, above, edge.cable, start)
            start += 2.5
        above |= dict.fromkeys(lines, edge.cable)
        _cable(painter, node, edge, start, targets)


def _of(cable: Cable) -> Link:
    return Link("wire", cable.id)


def _branch_x(painter: Painter, core: str, start: float) -> float:
    """Return where a core of a branch goes down: earth first, so that lines behind it need not cross. [mm]"""
    order = list(reversed(painter.placed.order))
    return start + 3.0 + PITCH * (order.index(core) if core in order else len(order) - 1)


def _branch(painter: Painter, above: dict[tuple[str, int], Cable], cable: Cable, start: float) -> None:
    """Draw a cable's way down from the last row above that has its core and begins at the same point."""
    for core in cable.cores:
        before = above.get((cable.a, line_of(core, painter.placed.order)))
        if before is None:
            continue
        x = _branch_x(painter, core, start)
        top = painter.y(painter.placed.edge_y[before.id], core)
        painter.dot((x, top), _of(cable))
        painter.line(core, ((x, top), (x, painter.y(painter.placed.edge_y[cable.id], core))), _of(cable))


def _cable(painter: Painter, node: Node, edge: Edge, start: float, targets: dict[str, Node]) -> None:
    placed, cable = painter.placed, edge.cable
    y, branched = placed.edge_y[cable.id], branches(node)
    right = placed.left[node.unit.id] + placed.width[node.unit.id]
    zone = branch_zone(len(placed.order)) if branched else 0.0
    on_branch = start > right
    for core in cable.cores:
        begin = _branch_x(painter, core, right) if on_branch else right
        if edge.node is not None:
            at = painter.y(y, core)
            painter.line(core, ((begin, at), (placed.left[edge.node.unit.id], at)), _of(cable))
        elif cable.b in targets:
            painter.line(core, _joining(painter, cable, core, begin, targets[cable.b]), _of(cable))
    if not cable.inner:
        end = (
            placed.left[edge.node.unit.id] if edge.node is not None else _target_left(painter, cable, targets)
        )
        _label(painter, cable, (right + zone + 1.2, end - 1.2), y)


def _target_left(painter: Painter, cable: Cable, targets: dict[str, Node]) -> float:
    node = targets[cable.b]
    return painter.placed.left[node.unit.id] - join_zone(len(painter.placed.order)) * (
        painter.placed.slots[cable.id] + 1
    )


def entry_y(painter: Painter, node: Node, point: str) -> float:
    """Return the height of the first line of a point at the left edge of a thing. [mm]"""
    y = painter.placed.rows[node.unit.id][0]
    own = node.unit.ins
    return y + (
        INPUT_STEP if node.unit.sort == "change" and point != _main_input(painter, node, own) else 0.0
    )


def _main_input(painter: Painter, node: Node, points: tuple[str, ...]) -> str:
    """Return the input that the thing's own row leads to: not the one that another row joins."""
    return next((p for p in points if p not in painter.joined), points[0])


def _joining(painter: Painter, cable: Cable, core: str, begin: float, node: Node) -> tuple[Point, ...]:
    """Return a core that goes from its own row to that of a thing drawn there, and joins it."""
    placed, order = painter.placed, painter.placed.order
    here, there = placed.edge_y[cable.id], entry_y(painter, node, cable.b)
    left, low, high = placed.left[node.unit.id], painter.y(here, core), painter.y(there, core)
    lines = list(order) if here > there else list(reversed(order))
    place = lines.index(core) if core in lines else 0
    x = left - join_zone(len(order)) * (placed.slots[cable.id] + 1) + 1.5 + PITCH * place
    if cable.b in painter.fed:
        painter.dot((x, high), _of(cable))
        return ((begin, low), (x, low), (x, high))
    return ((begin, low), (x, low), (x, high), (left, high))


def _label(painter: Painter, cable: Cable, x: tuple[float, float], y: float) -> None:
    """Set id, size and length of a cable, above its first line and below its last."""
    left, room, of = x[0], x[1] - x[0], _of(cable)
    if room < 6.0:
        return
    name = shorten(cable.name, room, 2.9, 600)
    painter.items.append(Text((left, y - 1.7), name, 2.9, 600, of=of))
    for id in (cable.name, cable.run):
        painter.spots.setdefault(id, Spot((left, y - 1.7), text_width_mm(name, 2.9, 600)))
    last = max(painter.y(y, core) for core in cable.cores)
    for n, word in enumerate(cable.words):
        at = (left, last + 3.4 + LINE * n)
        painter.items.append(Text(at, shorten(word, room, SMALL), SMALL, ink="grey", of=of))


__all__ = ["entry_y", "paint_cables"]
