"""How contacts stand: switches as they are set, relays as what is live makes them, until nothing changes.

A source reaches a point if current can flow from its plus to it, through joints, closed contacts, diodes the
right way round and batteries in series; a point reaches its minus likewise. Reach knows no ohms. Relays
and everything else that turns by itself look at what is live and take a position; all do so at once, again
and again, until none moves. If that never ends they take turns; if that never ends either, they chatter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from .joints import pieces

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


@dataclass(frozen=True, slots=True)
class Live:
    """What is live: by piece of metal, the sources whose plus reaches it, and those whose minus it reaches.

    Attributes
    ----------
    plus, minus : mapping of int to frozenset of str
        By the piece's number.
    charging : frozenset of str
        Those of the sources that charge.
    number : mapping of str to int
        Of each point that is joined to anything.
    pieces : sequence of int
        By such a number, the piece that it belongs to with the contacts as they stand.
    """

    plus: Mapping[int, frozenset[str]]
    minus: Mapping[int, frozenset[str]]
    charging: frozenset[str]
    number: Mapping[str, int] = field(default_factory=dict)
    pieces: Sequence[int] = ()

    def at(self, point: str) -> frozenset[str]:
        """Return the sources whose plus reaches a point."""
        return self._in(self.plus, point)

    def back_at(self, point: str) -> frozenset[str]:
        """Return the sources whose minus a point reaches."""
        return self._in(self.minus, point)

    def _in(self, pole: Mapping[int, frozenset[str]], point: str) -> frozenset[str]:
        number = self.number.get(point)
        return _NOTHING if number is None else pole.get(self.pieces[number], _NOTHING)

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
        """Return what is live with every device in a position.

        Closed contacts join pieces of metal. Along what leads one way only, diodes and batteries in series,
        what reaches one piece reaches the next, again and again until nothing changes.
        """
        closed = (pair for device, closes in self._closes for pair in closes[positions[device]])
        piece = pieces(self._count, closed)
        giving = [(bit, *ends, one) for bit, ends, one in self._origins if one.gives(positions)]
        onward = [(piece[a], piece[k]) for a, k in self._one_way]
        onward += [(piece[minus], piece[plus]) for _, plus, minus, one in giving if one.passes]
        plus = _spread(((piece[plus], bit) for bit, plus, _, _ in giving), onward)
        minus = _spread(((piece[minus], bit) for bit, _, minus, _ in giving), [(b, a) for a, b in onward])
        charging = frozenset(one.id for _, _, _, one in giving if one.charges)
        return Live(self._named(plus), self._named(minus), charging, self.number, piece)

    def _named(self, bits: Mapping[int, int]) -> dict[int, frozenset[str]]:
        """Return the sources that bits stand for, by piece."""
        for one in set(bits.values()) - self._sets.keys():
            self._sets[one] = frozenset(origin.id for bit, _, origin in self._origins if one & bit)
        return {piece: self._sets[one] for piece, one in bits.items()}

    # --- numbers for points: what is always joined has one ------------------------------------------

    @cached_property
    def _sets(self) -> dict[int, frozenset[str]]:
        """Sources by their bits, as they were met."""
        return {}

    @cached_property
    def number(self) -> dict[str, int]:
        """By point, the number of the piece of metal that it always belongs to."""
        points = dict.fromkeys(point for pair in (*self.joints, *self.diodes) for point in pair)
        for one in self.devices:
            points |= dict.fromkeys(end for pairs in one.positions.values() for pair in pairs for end in pair)
            points |= dict.fromkeys(one.watches)
        points |= dict.fromkeys(point for one in self.origins for point in (one.plus, one.minus))
        place = {point: at for at, point in enumerate(points)}
        found = pieces(len(place), ((place[a], place[b]) for a, b in self.joints))
        return {point: found[at] for point, at in place.items()}

    @cached_property
    def _count(self) -> int:
        return max(self.number.values(), default=-1) + 1

    @cached_property
    def _closes(self) -> list[tuple[str, dict[str, list[tuple[int, int]]]]]:
        """The devices that join anything, with the numbers that each position joins."""
        number = self.number
        found = [
            (one.id, {at: [(number[a], number[b]) for a, b in pairs] for at, pairs in one.positions.items()})
            for one in self.devices
        ]
        return [(id, closes) for id, closes in found if any(closes.values())]

    @cached_property
    def _one_way(self) -> list[tuple[int, int]]:
        return [(self.number[a], self.number[k]) for a, k in self.diodes]

    @cached_property
    def _origins(self) -> list[tuple[int, tuple[int, int], Origin]]:
        """The sources, each with a bit of its own and the numbers of its plus and minus."""
        ends = ((self.number[one.plus], self.number[one.minus]) for one in self.origins)
        return [(1 << k, pair, one) for k, (pair, one) in enumerate(zip(ends, self.origins, strict=True))]


_NOTHING: frozenset[str] = frozenset()


def _spread(starts: Iterable[tuple[int, int]], onward: Sequence[tuple[int, int]]) -> dict[int, int]:
    """Return by piece the bits of what begins there or comes from the pieces that lead to it."""
    found: dict[int, int] = {}
    for piece, bit in starts:
        found[piece] = found.get(piece, 0) | bit
    moved = True
    while moved:
        moved = False
        for one, other in onward:
            bits = found.get(one, 0)
            if bits & ~found.get(other, 0):
                found[other] = found.get(other, 0) | bits
                moved = True
    return found


__all__ = ["Closes", "Contacts", "Device", "Live", "Origin", "Settled", "Turns"]
