"""How much current the sources of a van can send to one point for good, through the fuses on the way.

Wires, bars and contacts let everything through, a fuse no more than its rating; a diode only one way. What
arrives is then the largest flow through a network of such passages, and by the theorem of Ford and Fulkerson
it is found by adding ways until none is left. Most points hang on the rest by one way: there it is the
smaller of what that way lets through and what arrives where it hangs.

Source: L. R. Ford and D. R. Fulkerson, Maximal flow through a network, 1956 (from memory).
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Mapping

#: A flow below this is dust. [A]
_DUST_A = 1e-9
_SOURCES = "\0sources"


class Passages:
    """Passages between named points, each with the largest lasting current that it lets through."""

    def __init__(self) -> None:
        self.most: dict[str, dict[str, float]] = {}

    def join(self, a: str, b: str, amps: float = math.inf) -> None:
        """Join two points both ways; several passages between the same points add up. [A]"""
        for start, end in ((a, b), (b, a)):
            ways = self.most.setdefault(start, {})
            ways[end] = ways.get(end, 0.0) + amps

    def let_through(self, a: str, b: str) -> None:
        """Join two points for current from `a` to `b` alone."""
        self.most.setdefault(a, {})[b] = math.inf
        self.most.setdefault(b, {}).setdefault(a, 0.0)


class Supply:
    """What sources can send through passages.

    Examples
    --------
    >>> bar = Passages()
    >>> bar.join("battery", "bar", 60.0); bar.join("charger", "bar"); bar.join("bar", "lamp", 5.0)
    >>> supply = Supply(bar, {"battery": 2000.0, "charger": 25.0})
    >>> supply.arrives("bar"), supply.arrives("lamp")
    (85.0, 5.0)
    """

    def __init__(self, passages: Passages, sources: Mapping[str, float]) -> None:
        """`sources`: the largest output of each, by the point of its plus. [A]"""
        self.most, self.sources = passages.most, sources
        self.hung = self._take_off()
        self.core = {point: [o for o in ways if o not in self.hung] for point, ways in self.most.items()
                     if point not in self.hung}  # fmt: skip
        self.known: dict[str, tuple[float, frozenset[str]]] = {}

    def _take_off(self) -> dict[str, str]:
        """Return what each point hangs on that leads to the sources by one way only."""
        near = {point: set(ways) - {point} for point, ways in self.most.items()}
        leaves = [point for point, others in near.items() if len(others) <= 1 and point not in self.sources]
        hung: dict[str, str] = {}
        while leaves:
            point = leaves.pop()
            for parent in near.pop(point):
                hung[point] = parent
                near[parent].discard(point)
                if len(near[parent]) == 1 and parent not in self.sources:
                    leaves.append(parent)
        return hung

    def arrives(self, at: str, *, avoid: str = "") -> float:
        """Return the largest lasting current that can come to a point, not by way of `avoid`. [A]"""
        return self._answer(at, avoid)[0]

    def senders(self, at: str, *, avoid: str = "") -> frozenset[str]:
        """Return the points of the sources that reach a point, not by way of `avoid`."""
        return self._answer(at, avoid)[1]

    def _answer(self, at: str, avoid: str) -> tuple[float, frozenset[str]]:
        most = math.inf
        while at in self.hung:
            parent = self.hung[at]
            most = min(most, self.most[parent].get(at, 0.0))
            at = parent
            if at == avoid or most <= 0.0:
                return 0.0, frozenset()
        if avoid in self.core:
            amps, senders = self._solve(at, avoid)
        else:
            if at not in self.known:
                self.known[at] = self._solve(at, "")
            amps, senders = self.known[at]
        return min(most, amps), senders

    def _solve(self, at: str, avoid: str) -> tuple[float, frozenset[str]]:
        senders = frozenset(self._reach(at, avoid) & set(self.sources))
        if not senders:
            return 0.0, senders
        if at not in self.core:
            return self.sources[at], senders
        left: dict[str, dict[str, float]] = {_SOURCES: {point: self.sources[point] for point in senders}}
        total = 0.0
        while (way := self._way(left, at, avoid)) is not None:
            most = min(self._left(left, a, b) for a, b in way)
            total += most
            if math.isinf(total):
                break
            for a, b in way:
                left.setdefault(a, {})[b] = self._left(left, a, b) - most
                if a != _SOURCES:
                    left.setdefault(b, {})[a] = self._left(left, b, a) + most
        return total, senders

    def _reach(self, at: str, avoid: str) -> set[str]:
        """Return the points of the core from which current can come to a point."""
        seen, queue = {at, avoid}, deque([at])
        while queue:
            point = queue.popleft()
            for other in self.core.get(point, ()):
                if other not in seen and self.most[other].get(point, 0.0) > 0.0:
                    seen.add(other)
                    queue.append(other)
        return seen - {avoid}

    def _way(self, left: dict[str, dict[str, float]], at: str, avoid: str) -> list[tuple[str, str]] | None:
        """Return a shortest way with room from the sources to a point."""
        before: dict[str, str] = {}
        queue = deque([_SOURCES])
        while queue:
            point = queue.popleft()
            if point == at:
                way = []
                while point != _SOURCES:
                    way.append((before[point], point))
                    point = before[point]
                return way[::-1]
            for other in self._next(left, point):
                if other not in before and other != avoid and self._left(left, point, other) > _DUST_A:
                    before[other] = point
                    queue.append(other)
        return None

    def _next(self, left: dict[str, dict[str, float]], point: str) -> Iterable[str]:
        return left[_SOURCES] if point == _SOURCES else self.core.get(point, ())

    def _left(self, left: dict[str, dict[str, float]], a: str, b: str) -> float:
        return left.get(a, {}).get(b, self.most.get(a, {}).get(b, 0.0))
