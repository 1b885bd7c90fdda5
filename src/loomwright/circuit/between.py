"""Which devices, such as fuses, lie between a point and each source: all ways, one after the other.

Everything that has no device in it is taken together as one piece of metal; what is left is a small graph of
such pieces with devices between them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping

from loomwright.circuit.joints import pieces

#: So many ways from a point to one source are followed; rings of more are no van's.
MOST_WAYS = 24
Way = tuple[str, ...]


class Between:
    """Devices between the points of a network.

    Parameters
    ----------
    joined : iterable of (str, str)
        Pairs of points with nothing between them that opens.
    devices : mapping of str to (str, str)
        By id, the two points that each stands between.
    sources : mapping of str to str
        By id, the point that each feeds.

    Examples
    --------
    >>> joined = [("battery", "post"), ("bar", "way")]
    >>> devices = {"main": ("post", "bar"), "F1": ("way", "lamp")}
    >>> Between(joined, devices, {"leisure": "battery"}).ways("lamp")
    {'leisure': (('F1', 'main'),)}
    """

    def __init__(
        self,
        joined: Iterable[tuple[str, str]],
        devices: Mapping[str, tuple[str, str]],
        sources: Mapping[str, str],
    ) -> None:
        number: dict[str, int] = {}

        def at(point: str) -> int:
            return number.setdefault(point, len(number))

        pairs = [(at(a), at(b)) for a, b in joined]
        stands = {id: (at(a), at(b)) for id, (a, b) in devices.items()}
        fed = {id: at(point) for id, point in sources.items()}
        piece = pieces(len(number), pairs)
        self._piece = {point: piece[k] for point, k in number.items()}
        self._fed: dict[int, list[str]] = defaultdict(list)
        for id, point in fed.items():
            self._fed[piece[point]].append(id)
        self._next: dict[int, list[tuple[int, str]]] = defaultdict(list)
        for id, (a, b) in stands.items():
            one, other = piece[a], piece[b]
            if one != other:
                self._next[one].append((other, id))
                self._next[other].append((one, id))
        self._prune()
        self._known: dict[int, dict[str, tuple[Way, ...]]] = {}

    def _prune(self) -> None:
        """Forget the steps into pieces that lead nowhere else and hold no source."""
        ends = {at for at, steps in self._next.items() if len(steps) <= 1 and at not in self._fed}
        for at, steps in self._next.items():
            self._next[at] = [step for step in steps if step[0] not in ends]

    def ways(self, point: str) -> dict[str, tuple[Way, ...]]:
        """Return the devices on each way from a point to each source that reaches it, nearest first."""
        start = self._piece.get(point)
        if start is None:
            return {}
        if start not in self._known:
            found: dict[str, dict[Way, None]] = {}
            for id, way in self._walk(start, (), {start}):
                ways = found.setdefault(id, {})
                if len(ways) < MOST_WAYS:
                    ways[way] = None
            self._known[start] = {id: tuple(ways) for id, ways in found.items()}
        return self._known[start]

    def same(self, point: str, other: str) -> bool:
        """Say whether nothing that opens lies between two points."""
        return self._piece.get(point, -1) == self._piece.get(other, -2)

    def _walk(self, at: int, way: Way, seen: Collection[int]) -> Iterator[tuple[str, Way]]:
        for id in self._fed.get(at, ()):
            yield id, way
        for other, device in self._next.get(at, ()):
            if other not in seen:
                yield from self._walk(other, (*way, device), {*seen, other})


__all__ = ["Between", "Way"]
