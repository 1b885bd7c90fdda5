"""How contacts stand: switches as they are set, relays as what is live makes them, until nothing changes.

A source reaches a point if current can flow from its plus to it, through joints, closed contacts, diodes the
right way round and batteries in series; a point reaches its minus likewise. Reach knows no ohms. Relays
and everything else that turns by itself look at what is live and take a position; all do so at once, again
and again, until none moves. If that never ends they take turns; if that never ends either, they chatter.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

#: Contacts closed in a position: pairs of points.
Closes = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Origin:
    """Something that gives current: a battery, an alternator, a charger, the output of a converter.

    Attributes
    ----------
    id, plus, minus : str
        Its name and its two points.
    while_ : tuple of str, or None
        It gives only while this device stands in this position: (device, position).
    unless : tuple of str, or None
        It gives nothing while this device stands in this position.
    charges : bool
        It lifts the volts of what it reaches above those of a resting battery.
    passes : bool
        Current of others passes it from minus to plus, as it does batteries in series.
    """

    id: str
    plus: str
    minus: str
    while_: tuple[str, str] | None = None
    unless: tuple[str, str] | None = None
    charges: bool = False
    passes: bool = False

    def gives(self, positions: Mapping[str, str]) -> bool:
        """Say whether it gives while all devices stand in these positions."""
        if self.while_ is not None and positions[self.while_[0]] != self.while_[1]:
            return False
        return self.unless is None or positions[self.unless[0]] != self.unless[1]


@dataclass(frozen=True)
class Live:
    """What is live: by node, the sources whose plus reaches it, and those whose minus it reaches.

    `node` gives the node of a point that is joined to others; any other point is a node of its own.
    """

    plus: Mapping[str, frozenset[str]]
    minus: Mapping[str, frozenset[str]]
    charging: frozenset[str]
    node: Mapping[str, str] = field(default_factory=dict)

    def at(self, point: str) -> frozenset[str]:
        """Return the sources whose plus reaches a point."""
        return self.plus.get(self.node.get(point, point), frozenset())

    def back_at(self, point: str) -> frozenset[str]:
        """Return the sources whose minus a point reaches."""
        return self.minus.get(self.node.get(point, point), frozenset())

    def feeds(self, plus: str, minus: str) -> frozenset[str]:
        """Return the sources that drive a current in at one point and back from another."""
        return self.at(plus) & self.back_at(minus)

    def is_charged(self, point: str) -> bool:
        """Say whether a charging source reaches a point."""
        return not self.charging.isdisjoint(self.at(point))


Turns = Callable[[Live, str], str]


@dataclass(frozen=True, slots=True)
class Device:
    """Something with positions: a switch, a relay, a charger with a start criterion.

    Attributes
    ----------
    id : str
        Its name.
    positions : mapping of str to pairs of points
        The contacts that each position closes.
    stands : str
        The position at first.
    turns : callable or None
        Gives the position it takes, from what is live and the one it has; None: a hand sets it.
    watches : tuple of str
        The points that `turns` looks at.
    held : tuple of str, or None
        It stays as it is while this device stands in this position: its delay runs.
    """

    id: str
    positions: Mapping[str, Closes]
    stands: str
    turns: Turns | None = None
    watches: tuple[str, ...] = ()
    held: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Settled:
    """Contacts at rest: the position of each device, what is live, and who chatters, if any do."""

    positions: Mapping[str, str]
    live: Live
    chatters: tuple[str, ...] = ()


@dataclass(frozen=True)
class Contacts:
    """A network of joints, diodes, devices and sources.

    Attributes
    ----------
    joints : sequence of pairs of points
        What is always joined: wires, boxes, studs, whole fuses.
    diodes : sequence of pairs of points
        Anode and cathode.
    devices : sequence of Device
    origins : sequence of Origin
    """

    joints: Sequence[tuple[str, str]]
    devices: Sequence[Device]
    origins: Sequence[Origin]
    diodes: Sequence[tuple[str, str]] = field(default=())

    def settle(self, sets: Mapping[str, str] | None = None) -> Settled:
        """Return how all contacts stand in the end.

        Parameters
        ----------
        sets : mapping of str to str, optional
            Device to position, for those that a hand sets or that begin elsewhere than at first.

        Raises
        ------
        KeyError
            There is no such device or position.

        Examples
        --------
        A relay whose coil hangs behind its own resting contact never settles.

        >>> buzzer = Device("K1", {"off": (("batt", "coil"),), "on": ()}, "off",
        ...     lambda live, _: "on" if live.feeds("coil", "minus") else "off")
        >>> Contacts((), (buzzer,), (Origin("battery", "batt", "minus"),)).settle().chatters
        ('K1',)
        """
        begin = {one.id: one.stands for one in self.devices}
        for id, position in (sets or {}).items():
            if position not in self._by_id[id].positions:
                raise KeyError(f"{id} has no position {position}")
            begin[id] = position
        together = self._turned(dict(begin), self._all_at_once)
        return together if not together.chatters else self._turned(dict(begin), self._one_after_another)

    @cached_property
    def _by_id(self) -> dict[str, Device]:
        return {one.id: one for one in self.devices}

    def _turned(self, positions: dict[str, str], step: Callable[[dict[str, str]], dict[str, str]]) -> Settled:
        """Turn what turns by itself until nothing moves, or until a state comes back."""
        seen: list[dict[str, str]] = []
        while positions not in seen:
            seen.append(positions)
            after = step(positions)
            if after == positions:
                return Settled(positions, self.live(positions))
            positions = after
        loop = seen[seen.index(positions) :]
        chatters = tuple(id for id in positions if len({state[id] for state in loop}) > 1)
        return Settled(positions, self.live(positions), chatters)

    def _all_at_once(self, positions: dict[str, str]) -> dict[str, str]:
        live = self.live(positions)
        return {id: self._turn(id, live, positions) for id in positions}

    def _one_after_another(self, positions: dict[str, str]) -> dict[str, str]:
        after = dict(positions)
        for id in positions:
            if self._by_id[id].turns is not None:
                after[id] = self._turn(id, self.live(after), after)
        return after

    def _turn(self, id: str, live: Live, positions: Mapping[str, str]) -> str:
        one, now = self._by_id[id], positions[id]
        held = one.held is not None and positions[one.held[0]] == one.held[1]
        return now if one.turns is None or held else one.turns(live, now)

    def live(self, positions: Mapping[str, str]) -> Live:
        """Return what is live with every device in a position."""
        onward: dict[str, list[str]] = {}
        back: dict[str, list[str]] = {}

        def lead(a: str, b: str) -> None:
            onward.setdefault(a, []).append(b)
            back.setdefault(b, []).append(a)

        for device, closes in self._closes.items():
            for a, b in closes[positions[device]]:
                lead(a, b)
                lead(b, a)
        for a, k in self.diodes:
            lead(self._of(a), self._of(k))
        giving = [one for one in self.origins if one.gives(positions)]
        for one in giving:
            if one.passes:
                lead(self._of(one.minus), self._of(one.plus))
        plus = self._spread(onward, {one.id: one.plus for one in giving})
        minus = self._spread(back, {one.id: one.minus for one in giving})
        return Live(plus, minus, frozenset(one.id for one in giving if one.charges), self._node)

    def _spread(self, leads: Mapping[str, list[str]], starts: Mapping[str, str]) -> dict[str, frozenset[str]]:
        """Return by node whose start reaches it; starts that are one node are followed once."""
        from_node: dict[str, list[str]] = {}
        for id, start in starts.items():
            from_node.setdefault(self._of(start), []).append(id)
        found: dict[str, list[str]] = {}
        for start, ids in from_node.items():
            for node in _reach(leads, start):
                found.setdefault(node, []).extend(ids)
        return {node: frozenset(ids) for node, ids in found.items()}

    # --- what is always joined is one node ---------------------------------------------------------

    @cached_property
    def _node(self) -> dict[str, str]:
        """By point, the first point of those that it is always joined to."""
        leads: dict[str, list[str]] = {}
        for a, b in self.joints:
            leads.setdefault(a, []).append(b)
            leads.setdefault(b, []).append(a)
        found: dict[str, str] = {}
        for point in leads:
            if point not in found:
                found |= dict.fromkeys(_reach(leads, point), point)
        return found

    @cached_property
    def _closes(self) -> dict[str, dict[str, Closes]]:
        """By device and position, the nodes that it joins."""
        return {
            one.id: {
                at: tuple((self._of(a), self._of(b)) for a, b in pairs) for at, pairs in one.positions.items()
            }
            for one in self.devices
        }

    def _of(self, point: str) -> str:
        return self._node.get(point, point)


def _reach(leads: Mapping[str, Iterable[str]], start: str) -> set[str]:
    seen, queue = {start}, deque([start])
    while queue:
        for other in leads.get(queue.popleft(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return seen


__all__ = ["Closes", "Contacts", "Device", "Live", "Origin", "Settled", "Turns"]
