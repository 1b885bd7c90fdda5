"""Parts devices that decide something from those that only lead on to loads.

A device counts if it may join two things that decide: points of sources, and what relays that count look at.
The others hang on one thing that decides, or on none; they fall into groups that share no metal, no relay and
no load, so that what one group does is nothing to another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from .joints import pieces
from .states import Closes, Contacts


@dataclass(slots=True)
class _Member:
    """What joins pieces of metal: a device, a diode, a battery in series; its contacts by position."""

    closes: list[list[tuple[int, int]]]
    watches: tuple[int, ...] = ()
    touches: set[int] = field(init=False)

    def __post_init__(self) -> None:
        self.touches = {end for pairs in self.closes for pair in pairs for end in pair}


class Parting:
    """The devices of a network, parted: `counting` count; `steering` may lead to any relay, too.

    Parameters
    ----------
    net : Contacts
    """

    def __init__(self, net: Contacts) -> None:
        self._net = net
        self._number = net.number
        self._members = dict(self._all_members())
        given = {when[0] for one in net.origins for when in (one.while_, one.unless) if when is not None}
        decides = {self._number[point] for one in net.origins for point in (one.plus, one.minus)}
        decides |= {number for id in given for number in self._members[id].watches}
        while True:
            joining, dangling = self._joining(decides)
            watched = {number for id in joining for number in self._members[id].watches}
            if watched <= decides:
                break
            decides |= watched
        self.counting = joining | given
        self._dangling = dangling
        watched = {number for one in self._members.values() for number in one.watches}
        self.steering, _ = self._joining(decides | watched)

    def _all_members(self) -> Iterator[tuple[str, _Member]]:
        for one in self._net.devices:
            closes = [self._numbered(pairs) for pairs in one.positions.values()]
            yield one.id, _Member(closes, tuple(self._number[point] for point in one.watches))
        for count, pair in enumerate(self._net.diodes):
            yield f"diode {count}", _Member([self._numbered((pair,))])
        for origin in self._net.origins:
            if origin.passes:
                yield f"passes {origin.id}", _Member([self._numbered(((origin.minus, origin.plus),))])

    def _numbered(self, pairs: Closes) -> list[tuple[int, int]]:
        ends = [(self._number[a], self._number[b]) for a, b in pairs]
        return [(a, b) for a, b in ends if a != b]

    def _joining(self, decides: set[int]) -> tuple[set[str], set[int]]:
        """Return the members that may join two pieces that decide, and the pieces that only hang on them."""
        metal = {end for one in self._members.values() for end in one.touches}
        left = self._without_dangling(metal, decides)
        joining = {id for id, one in self._members.items() if self._joins(one, left)}
        regions = self._regions(joining, left - decides)
        for region in regions:
            members = {id for id in joining if self._members[id].touches & region}
            around = {end for id in members for end in self._members[id].touches & decides}
            if len(around) <= 1:
                left -= region
        return {id for id in joining if self._joins(self._members[id], left)}, metal - left - decides

    @staticmethod
    def _joins(member: _Member, left: set[int]) -> bool:
        return any(a in left and b in left for pairs in member.closes for a, b in pairs)

    def _without_dangling(self, metal: set[int], decides: set[int]) -> set[int]:
        """Return the metal without what one device alone leads to, end by end, again and again."""
        left, moved = set(metal), True
        while moved:
            moved = False
            for piece in sorted(left - decides):
                by = [
                    one for one in self._members.values() if piece in one.touches and self._joins(one, left)
                ]
                at_once = max((self._met(one, piece, left) for one in by), default=0)
                if len(by) <= 1 and at_once <= 1:
                    left.discard(piece)
                    moved = True
        return left

    @staticmethod
    def _met(member: _Member, piece: int, left: set[int]) -> int:
        """Return how many other pieces a member joins to one at a time."""
        return max(
            len({a if b == piece else b for a, b in pairs if piece in (a, b) and {a, b} <= left})
            for pairs in member.closes
        )

    def _regions(self, joining: set[str], inner: set[int]) -> list[set[int]]:
        """Return the connected pieces of metal among those that do not decide."""
        links = [sorted(self._members[id].touches & inner) for id in joining]
        return _clusters(inner, ((one[0], other) for one in links if one for other in one[1:]))

    def groups(self, ids: list[str], tied: tuple[tuple[str, str], ...]) -> list[list[str]]:
        """Return devices that do not count in groups that share nothing."""
        inner = self._dangling
        ends = {id: (one.touches | set(one.watches)) & inner for id, one in self._members.items()}
        others = {id: touched for id, touched in ends.items() if id not in self.counting and touched}
        links = [(min(touched), other) for touched in others.values() for other in touched]
        pairs = ([self._number.get(point, -1) for point in pair] for pair in tied)
        links += [(a, b) for a, b in pairs if a in inner and b in inner]
        found = []
        for cluster in _clusters(inner, links):
            if members := [id for id in ids if ends[id] & cluster]:
                found.append(members)
        return found


def _clusters(members: Iterable[int], links: Iterable[tuple[int, int]]) -> list[set[int]]:
    """Return numbers in clusters that links join."""
    place = {one: at for at, one in enumerate(sorted(members))}
    number = pieces(len(place), ((place[a], place[b]) for a, b in links))
    found: dict[int, set[int]] = {}
    for one, at in place.items():
        found.setdefault(number[at], set()).add(one)
    return list(found.values())


__all__ = ["Parting"]
