"""What hangs together in metal, and through which devices; which batteries stand in parallel.

No current is worked out here. A battery is a step from the metal of its minus to that of its plus; a load is
fed where such steps lead from its minus to its plus.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping

from loomwright.circuit.joints import pieces
from loomwright.plan.kinds import states
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring

from .diodes import diodes_of
from .network import vehicle_minus
from .sources import is_battery
from .states import Contact, contacts_of, neighbours

Graph = Mapping[str, list[str]]
Pair = tuple[str, str]
Doors = Mapping[str, list[Pair]]


def always_closed(wiring: Wiring, *, cut_outs: bool = False) -> list[Contact]:
    """Return the contacts that are closed in every state of their part, diodes with them.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    cut_outs : bool
        True to count what opens at low volts as closed.
    """
    found = [way for way, _ in diodes_of(wiring)]
    for part_id, part in wiring.parts.items():
        if part.kind in ("plug", "shunt"):
            found += contacts_of(part_id, part, None)
        elif part.kind == "low_voltage_cut" and cut_outs:
            found += contacts_of(part_id, part, "closed")
        elif part.kind != "control_panel" and (known := [set(closed) for closed in states(part).values()]):
            ways = set.intersection(*known)
            found += [Contact(part_id, f"{part_id}.{a}", f"{part_id}.{b}") for a, b in sorted(ways)]
    return found


def movable(wiring: Wiring) -> list[Contact]:
    """Return every contact that some device can close and open, by whatever it is worked."""
    held = set(always_closed(wiring))
    found: dict[Contact, None] = {}
    for part_id, part in wiring.parts.items():
        known = (None,) if part.kind == "control_panel" else tuple(states(part))
        for state in known:
            found |= dict.fromkeys(contacts_in(part_id, part, state))
    return [contact for contact in found if contact not in held]


def contacts_in(part_id: str, part: Part, state: str | None) -> Iterator[Contact]:
    """Give the closed contacts of one part in a state; a dimmer that is off has none."""
    if part.kind == "dimmer" and state == "off":
        return
    yield from contacts_of(part_id, part, state)


class Joined:
    """The metal of a van with some contacts closed."""

    def __init__(self, wiring: Wiring, closed: Iterable[Contact]) -> None:
        self.wiring = wiring
        self.graph = neighbours(wiring, closed)
        self.group = groups(self.graph)
        self.sources = list(sources_by_themselves(wiring))

    def feeds(self, plus: str, minus: str, more: Iterable[Contact] = ()) -> bool:
        """True if a battery feeds what hangs between two points, with more contacts closed."""
        group = self.with_closed(more)
        if plus not in group or minus not in group:
            return False
        rises: dict[int, list[int]] = {}
        for source_plus, source_minus in self.sources:
            if source_plus in group and source_minus in group:
                rises.setdefault(group[source_minus], []).append(group[source_plus])
        seen, queue = set[int](), deque([group[minus]])
        while queue:
            for above in rises.get(queue.popleft(), ()):
                if above not in seen:
                    seen.add(above)
                    queue.append(above)
        return group[plus] in seen

    def with_closed(self, more: Iterable[Contact]) -> Mapping[str, int]:
        """Return the pieces of metal, point by point, with more contacts closed."""
        group, pairs = dict(self.group), []
        for contact in more:
            pairs.append(tuple(group.setdefault(end, len(group)) for end in (contact.a, contact.b)))
        if not pairs:
            return self.group
        number = pieces(len(group), ((a, b) for a, b in pairs))
        return {point: number[here] for point, here in group.items()}


def groups(graph: Graph) -> dict[str, int]:
    """Number the pieces of metal, point by point."""
    group: dict[str, int] = {}
    for root in graph:
        if root in group:
            continue
        number, queue = len(group), [root]
        group[root] = number
        while queue:
            for other in graph[queue.pop()]:
                if other not in group:
                    group[other] = number
                    queue.append(other)
    return group


def sources_by_themselves(wiring: Wiring) -> Iterator[Pair]:
    """Give plus and minus of what feeds by itself, as long as nobody opens anything."""
    minus = vehicle_minus(wiring)
    for part_id, part in wiring.parts.items():
        if is_battery(wiring, part_id):
            yield f"{part_id}.plus", f"{part_id}.minus"
        elif part.kind == "vehicle_feed" and part.live == "always" and minus is not None:
            yield f"{part_id}.plus", minus


def doors_of(movable: Iterable[Contact]) -> Doors:
    """Return contacts that devices close and open by their points: the other point, and the device."""
    doors: dict[str, list[Pair]] = {}
    for contact in movable:
        doors.setdefault(contact.a, []).append((contact.b, contact.part))
        doors.setdefault(contact.b, []).append((contact.a, contact.part))
    return doors


def openers(graph: Graph, doors: Doors, starts: set[str], goal: str) -> tuple[str, ...]:
    """Return the parts whose contacts a way from one of the starts to the goal passes, as few as can be.

    Parameters
    ----------
    graph : mapping of str to list of str
        Which points are joined for good.
    doors : mapping
        As `doors_of` gives them.
    starts : set of str
        Points of the batteries.
    goal : str
        A point of the load.
    """
    passed: dict[str, tuple[str, ...]] = {}
    queue: deque[tuple[str, tuple[str, ...]]] = deque([(goal, ())])
    while queue:
        point, parts = queue.popleft()
        if point in passed:
            continue
        passed[point] = parts
        if point in starts:
            return tuple(dict.fromkeys(reversed(parts)))
        queue.extendleft((other, parts) for other in graph.get(point, ()) if other not in passed)
        queue.extend((other, (*parts, part)) for other, part in doors.get(point, ()) if other not in passed)
    return ()


def banks(wiring: Wiring, closed: Iterable[Contact]) -> list[tuple[str, ...]]:
    """Return the batteries that stand in parallel: two or more with one plus and one minus between them.

    Where plus and minus are one piece of metal there is a short, and no bank.
    """
    group = groups(neighbours(wiring, closed))
    found: dict[tuple[int, int], list[str]] = {}
    for part_id in wiring.parts:
        plus, minus = f"{part_id}.plus", f"{part_id}.minus"
        if is_battery(wiring, part_id) and plus in group and minus in group:
            found.setdefault((group[plus], group[minus]), []).append(part_id)
    return [tuple(bank) for (plus, minus), bank in found.items() if len(bank) > 1 and plus != minus]
