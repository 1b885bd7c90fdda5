"""Wires that lead nowhere: what remains when everything of use is taken away."""

from __future__ import annotations

from loomwright.plan.kinds import states, terminals
from loomwright.plan.pieces import Wiring

from .states import contacts_of

#: Parts through which current only passes: a wire to one of them goes on, or leads nowhere.
_PASSED_THROUGH = (
    "busbar",
    "splice",
    "plug",
    "switch",
    "master_switch",
    "two_way",
    "intermediate",
    "selector",
    "change_over",
    "relay",
    "sensing_relay",
    "low_voltage_cut",
    "dimmer",
    "shunt",
    "diode",
    "diode_splitter",
    "priority_relay",
)
_COILS = ("85", "86", "coil_plus", "coil_minus", "minus")
_DIODES = {"diode": (("a", "k"),), "diode_splitter": (("in", "out_1"), ("in", "out_2"))}


def open_ends(wiring: Wiring) -> tuple[tuple[str, str], ...]:
    """Return (wire id, point) of every wire of the van whose end leads nowhere.

    A wire inside a composite is part of the box and is never named.
    """
    graph: dict[str, set[tuple[str, str]]] = {}

    def join(name: str, a: str, b: str) -> None:
        graph.setdefault(a, set()).add((name, b))
        graph.setdefault(b, set()).add((name, a))

    for flat in wiring.runs.values():
        for piece in flat.pieces:
            join(piece.id, piece.a, piece.b)
    for part_id, part in wiring.parts.items():
        every = [contact for state in (*states(part), None) for contact in contacts_of(part_id, part, state)]
        pairs = {(contact.a, contact.b) for contact in every}
        pairs |= {(f"{part_id}.{a}", f"{part_id}.{b}") for a, b in _DIODES.get(part.kind, ())}
        for a, b in sorted(pairs):
            join(f"{part_id}:", a, b)
    useful = _useful(wiring)
    leaves = [point for point, ends in graph.items() if len(ends) == 1 and point not in useful]
    found: list[tuple[str, str]] = []
    while leaves:
        point = leaves.pop()
        for name, other in list(graph.get(point, ())):
            graph[point].discard((name, other))
            graph[other].discard((name, point))
            if name in {piece.id for piece in wiring.by_point.get(point, ())} and "/" not in name:
                found.append((name, point))
            if len(graph[other]) == 1 and other not in useful:
                leaves.append(other)
    return tuple(sorted(set(found)))


def _useful(wiring: Wiring) -> set[str]:
    """Return the points where a wire may end: terminals of things that do something, studs, the body."""
    found = set(wiring.plan.studs)
    for part_id, part in wiring.parts.items():
        names = terminals(part)
        if part.kind in _PASSED_THROUGH:
            names = tuple(name for name in names if name in _COILS)
        found.update(f"{part_id}.{name}" for name in names)
        if part.off_while is not None:
            scope = f"{part_id.rpartition('/')[0]}/" if "/" in part_id else ""
            found.add(f"{scope}{part.off_while}")
    for piece in wiring.pieces():
        found.update(point for point in (piece.a, piece.b) if "@" in point)
    inner = {piece.a for piece in wiring.pieces() if "/" in piece.id}
    return found | inner | {piece.b for piece in wiring.pieces() if "/" in piece.id}
