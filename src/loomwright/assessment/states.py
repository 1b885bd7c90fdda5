"""Which contacts stand closed when each circuit is judged, and which contacts join two batteries.

A consumer that is asked for has every on/off contact in its way closed; change-overs and selectors stand as
they rest. A contact that would join the vehicle battery to the house battery is a *link*: it is kept open
for the consumers and closed for the charging path it makes.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from loomwright.plan.kinds import rest_state, states, terminals
from loomwright.plan.model import Part
from loomwright.plan.pieces import BODY, Wiring

#: Shells that carry no return current.
NO_BODY_RETURN = ("grp", "wood")
#: A contact on the way between two batteries is opened in this order of kinds.
_LINK_KINDS = (
    "sensing_relay",
    "relay",
    "change_over",
    "selector",
    "switch",
    "master_switch",
    "low_voltage_cut",
)
_BY_HAND = ("switch", "master_switch", "selector", "change_over")
_ASKED = {
    "switch": "on",
    "master_switch": "on",
    "two_way": "a",
    "intermediate": "straight",
    "sensing_relay": "closed",
    "low_voltage_cut": "closed",
}
_ALWAYS: dict[str, tuple[tuple[str, str], ...]] = {
    "dimmer": (("in", "out"),),
    "shunt": (("load", "battery"),),
}


@dataclass(frozen=True, slots=True)
class Contact:
    """One closed contact of a part, between two points."""

    part: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Link:
    """A contact that joins the vehicle's battery to a house battery when it closes, and the way it closes.

    `diode_v` is lost in a diode on the way. `charges` is False for one that a person closes (a jump link):
    it is kept open and makes no charging path.
    """

    part: str
    vehicle: str
    house: str
    points: tuple[str, ...]
    charges: bool
    diode_v: float = 0.0


@dataclass(frozen=True, slots=True)
class Standing:
    """How the contacts stand: closed ones for the consumers, and the links that are open."""

    closed: tuple[Contact, ...]
    links: tuple[Link, ...]


def asked_state(part: Part) -> str | None:
    """Return the state a part stands in when a consumer behind it is asked for; None: it has no states."""
    if part.kind == "relay":
        return "on" if (part.contact or "on_off") == "on_off" else rest_state(part)
    if part.kind in ("selector", "change_over"):
        return rest_state(part)
    return _ASKED.get(part.kind)


def contacts_of(part_id: str, part: Part, state: str | None) -> Iterator[Contact]:
    """Give the closed contacts of one part in a state."""
    if part.kind == "plug":
        for pin in terminals(part):
            yield Contact(part_id, f"{part_id}.{pin}<", f"{part_id}.{pin}>")
        return
    if part.kind == "control_panel":
        for name, output in (part.outputs or {}).items():
            rail = "plus" if output.switches == "plus" else "minus"
            yield Contact(part_id, f"{part_id}.{rail}", f"{part_id}.{name}")
        return
    pairs = _ALWAYS.get(part.kind)
    if pairs is None and state is not None:
        pairs = tuple(states(part).get(state, ()))
    for a, b in pairs or ():
        yield Contact(part_id, f"{part_id}.{a}", f"{part_id}.{b}")


def closed_contacts(wiring: Wiring, overrides: Mapping[str, str] | None = None) -> tuple[Contact, ...]:
    """Return all contacts closed when consumers are asked for; `overrides` puts parts in other states."""
    overrides = overrides or {}
    return tuple(
        contact
        for part_id, part in wiring.parts.items()
        for contact in contacts_of(part_id, part, overrides.get(part_id, asked_state(part)))
    )


def standing(wiring: Wiring, overrides: Mapping[str, str] | None = None) -> Standing:
    """Find the links and open them.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    overrides : mapping of str to str, optional
        Part to state, where a part does not stand as asked.

    Returns
    -------
    Standing
        Closed contacts without the links, and the links.
    """
    closed = list(closed_contacts(wiring, overrides))
    vehicles = [id for id, part in wiring.parts.items() if part.kind == "vehicle_battery"]
    houses = [id for id, part in wiring.parts.items() if part.kind == "battery"]
    links: list[Link] = []
    for vehicle in vehicles:
        for house in houses:
            while True:
                points = shortest(neighbours(wiring, closed), f"{vehicle}.plus", f"{house}.plus")
                part = _link_part(wiring, closed, points) if points else None
                if points is None or part is None:
                    break
                by_hand = wiring.parts[part].kind in _BY_HAND
                links.append(Link(part, vehicle, house, tuple(points), not by_hand))
                closed = [contact for contact in closed if contact.part != part]
    return Standing(tuple(closed), tuple(links))


def _link_part(wiring: Wiring, closed: Iterable[Contact], points: list[str]) -> str | None:
    steps = set(pairwise(points))
    on_way = [
        contact.part
        for contact in closed
        if (contact.a, contact.b) in steps or (contact.b, contact.a) in steps
    ]
    ranked = [part for kind in _LINK_KINDS for part in on_way if wiring.parts[part].kind == kind]
    return ranked[0] if ranked else None


def neighbours(
    wiring: Wiring, closed: Iterable[Contact], pulled: Collection[str] = ()
) -> dict[str, list[str]]:
    """Return which points are joined by wires, boxes and closed contacts (mains left out).

    `pulled` names wires and ways whose fuse is out.
    """
    graph: dict[str, list[str]] = {}

    def join(a: str, b: str) -> None:
        graph.setdefault(a, []).append(b)
        graph.setdefault(b, []).append(a)

    for flat in wiring.runs.values():
        if not flat.mains:
            for piece in flat.pieces:
                if piece.id not in pulled:
                    join(piece.a, piece.b)
    for part_id, part in wiring.parts.items():
        if part.kind == "fuse_box":
            for name in terminals(part):
                if name.isdigit() and f"{part_id}.{name}" not in pulled:
                    join(f"{part_id}.in", f"{part_id}.{name}")
    for contact in closed:
        join(contact.a, contact.b)
    _join_minuses(wiring, graph, join)
    return graph


def _join_minuses(wiring: Wiring, graph: dict[str, list[str]], join: Callable[[str, str], None]) -> None:
    """Join what the body and the parts themselves join: studs to the shell, the minuses of a converter."""
    if wiring.plan.vehicle.body not in NO_BODY_RETURN:
        for point in list(graph):
            if point in wiring.plan.studs or point.endswith(f"@{BODY}"):
                join(point, BODY)
        for part_id, part in wiring.parts.items():
            untyped = part.kind == "vehicle_battery" and f"{part_id}.minus" not in graph
            if untyped or part.case == "minus":
                join(f"{part_id}.minus", BODY)
    for part_id, part in wiring.parts.items():
        if part.kind == "converter" and part.isolated is not True:
            join(f"{part_id}.minus", f"{part_id}.out_minus")
        if part.kind == "alternator" and part.charges in wiring.parts:
            join(f"{part_id}.plus", f"{part.charges}.plus")


def shortest(graph: Mapping[str, list[str]], start: str, goal: str) -> list[str] | None:
    """Return the points of a shortest way from `start` to `goal`, None if there is none."""
    before: dict[str, str | None] = {start: None}
    queue = deque([start])
    while queue:
        point = queue.popleft()
        if point == goal:
            way = [point]
            while (previous := before[way[-1]]) is not None:
                way.append(previous)
            return way[::-1]
        for other in graph.get(point, ()):
            if other not in before:
                before[other] = point
                queue.append(other)
    return None


def reach(graph: Mapping[str, list[str]], start: str) -> set[str]:
    """Return all points joined to `start`."""
    seen, queue = {start}, deque([start])
    while queue:
        for other in graph.get(queue.popleft(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return seen
