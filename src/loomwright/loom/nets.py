"""The paths of a van as one net, and the cheapest way to lay a wire in it.

A path is a polyline. On it lie its corners, the foot of every spot that is near it, and the points where
another path comes near: there a wire may enter or leave. A wire runs along paths, and off them straight
from point to point; a metre off the paths counts as more than one in them, so that wires gather in trunks.
Pinned to paths, it takes these in their order and no others.

Costs and distances are common practice; the search is Dijkstra's (Numerische Mathematik 1, 1959).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heappop, heappush
from itertools import pairwise

import numpy as np

from loomwright.source import Source

from .lines import Line, Point, apart, point_of

NET_SOURCE = Source(
    work="common practice",
    place="a loom is laid in trunks, left near its ends",
    checked="common practice",
)
#: A metre off the paths counts as so many along them.
OFF_PATH_COST = 1.5
#: The same where the plan says which paths: it stays in them as long as it can.
PINNED_COST = 20.0
#: From a path to a spot a wire hangs free no further; where no path is so near, the nearest one counts. [m]
REACH_M = 1.0
#: Paths that come so near each other join. [m]
JOIN_M = 0.35
#: Spots no further apart are joined straight if that is cheaper. [m]
STRAIGHT_M = 1.2
#: Points of a path nearer than this are one. [m]
_SAME_M = 0.02


@dataclass(frozen=True, slots=True)
class PathLine:
    """A path: its corners in order, and what a metre in it counts as, more than 1 where a wire is better not.

    `length_m` is its length by string; None: that of the polyline. [m]
    """

    points: Sequence[Point]
    length_m: float | None = None
    cost: float = 1.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Between two neighbouring points: along a path from `from_m` to `to_m`, or straight; then path is ""."""

    path: str
    a: Point
    b: Point
    metres: float
    from_m: float = 0.0
    to_m: float = 0.0

    def turned(self) -> Stretch:
        """Return it the other way round."""
        return Stretch(self.path, self.b, self.a, self.metres, self.to_m, self.from_m)


@dataclass(frozen=True, slots=True)
class Route:
    """A way to lay a wire: its stretches in order."""

    stretches: tuple[Stretch, ...]

    @property
    def metres(self) -> float:
        """Length without allowances. [m]"""
        return sum(one.metres for one in self.stretches)

    @property
    def free_m(self) -> float:
        """Of these, off all paths. [m]"""
        return sum(one.metres for one in self.stretches if not one.path)

    @property
    def paths(self) -> tuple[str, ...]:
        """The paths that it lies in, in order."""
        kept = [one.path for one in self.stretches if one.path]
        return tuple(path for k, path in enumerate(kept) if k == 0 or kept[k - 1] != path)


#: A way that is not at its end: what it costs so far, where it has come to, its stretches.
_Begun = tuple[float, Point, tuple[Stretch, ...]]


@dataclass(frozen=True)
class PathNet:
    """The paths of a van with everything that lies near them.

    Parameters
    ----------
    paths : mapping of str to PathLine
    spots : mapping of str to Point
        Where wires begin and end. [m]
    """

    paths: Mapping[str, PathLine]
    spots: Mapping[str, Point] = field(default_factory=dict)

    def route(self, start: str, end: str, without: Collection[str] = ()) -> Route | None:
        """Return the cheapest way between two spots; None if no path leads there and they are far apart.

        Parameters
        ----------
        start, end : str
            Names of spots.
        without : collection of str
            Paths that it must not lie in.

        Raises
        ------
        KeyError
            There is no such spot.
        """
        straight = Stretch("", self.spots[start], self.spots[end], apart(self.spots[start], self.spots[end]))
        if straight.metres == 0.0:
            return Route(())
        limit = OFF_PATH_COST * straight.metres if straight.metres <= STRAIGHT_M else np.inf
        found = self._cheapest(self._spot_at[start], {self._spot_at[end]}, frozenset(without), limit)
        if found is not None:
            return Route(found)
        return Route((straight,)) if straight.metres <= STRAIGHT_M else None

    def gap(self, start: str, end: str) -> tuple[str, str, float] | None:
        """Return the two paths that would have to be joined for a wire, and how far apart they are.

        The nearest of those that lead on from each end. None if a way leads there, or there is no path. [m]
        """
        one, other = (self._reached(self._spot_at[spot]) for spot in (start, end))
        if not one or not other or not one.isdisjoint(other):
            return None
        pairs = ((a, b, self._apart(a, b)) for a in sorted(one) for b in sorted(other))
        return min(pairs, key=lambda pair: pair[2])

    def _reached(self, begin: int) -> set[str]:
        """Return the paths that a wire from a point can get into."""
        seen, queue, found = {begin}, [begin], set()
        while queue:
            for there, _, stretch in self._steps[queue.pop()]:
                found |= {stretch.path} if stretch.path else set()
                if there not in seen and there >= len(self.spots):
                    seen.add(there)
                    queue.append(there)
        return found

    def _apart(self, path: str, other: str) -> float:
        a, b = (np.array([point for _, point in self._marks[id]]) for id in (path, other))
        return float(np.linalg.norm(a[:, None] - b, axis=2).min())

    def pinned(self, start: str, end: str, paths: Sequence[str]) -> Route:
        """Return the cheapest way that lies in these paths, in this order, and in no others.

        Parameters
        ----------
        start, end : str
            Names of spots.
        paths : sequence of str
            Ids of paths; one may come twice.

        Raises
        ------
        KeyError
            There is no such spot or path.
        """
        ways: list[_Begun] = [(0.0, self.spots[start], ())]
        for id in paths:
            ways = list(self._through(ways, id))
        goal = self.spots[end]
        _, at, made = min(ways, key=lambda one: one[0] + PINNED_COST * apart(one[1], goal))
        return Route((*made, *_off(at, goal)))

    def _through(self, ways: Sequence[_Begun], path: str) -> Iterator[_Begun]:
        """Give the cheapest way to each point of a path, entered from where it is nearest to ways so far."""
        marks = self._marks[path]
        costs = np.array([cost for cost, _, _ in ways])
        before = np.array([at for _, at, _ in ways])
        points = np.array([point for _, point in marks])
        along = np.array([at for at, _ in marks])
        enter = costs[:, None] + PINNED_COST * np.linalg.norm(before[:, None] - points, axis=2)
        came, into = enter.argmin(axis=0), enter.min(axis=0)
        whole = into[:, None] + np.abs(along[:, None] - along) * self.paths[path].cost
        for k, (_, point) in enumerate(marks):
            j = int(whole[:, k].argmin())
            _, at, made = ways[came[j]]
            yield whole[j, k], point, (*made, *_off(at, marks[j][1]), *self._along(path, j, k))

    def _along(self, path: str, j: int, k: int) -> Iterator[Stretch]:
        steps = self._steps_of[path]
        yield from steps[j:k] if j <= k else (one.turned() for one in reversed(steps[k:j]))

    # --- the points of the net ----------------------------------------------------------------------

    @cached_property
    def _lines(self) -> dict[str, Line]:
        return {id: Line(path.points, path.length_m) for id, path in self.paths.items() if path.points}

    @cached_property
    def _marks(self) -> dict[str, list[tuple[float, Point]]]:
        """By path, its points in order: how far along it they lie, and where. [m]"""
        corners = np.concatenate([np.empty((0, 3)), *(line.points for line in self._lines.values())])
        owner = np.repeat(np.arange(len(self._lines)), [len(line.points) for line in self._lines.values()])
        feet = [line.feet(corners) for line in self._lines.values()]
        spots = np.array(list(self.spots.values())).reshape(-1, 3)
        found: dict[str, list[tuple[float, Point]]] = {}
        for n, (id, line) in enumerate(self._lines.items()):
            along, off, at = feet[n]
            marks = [(float(to), point_of(point)) for to, point in zip(line.at, line.points, strict=True)]
            for other in range(len(feet)):
                theirs = np.flatnonzero(owner == other)
                ours = feet[other][1][owner == n]
                j = theirs[off[theirs].argmin()]
                if other != n and min(off[j], ours.min()) <= JOIN_M and off[j] <= ours.min():
                    marks.append((float(along[j]), point_of(at[j])))  # else one of our corners is nearest
            near = [k for k, name in enumerate(self.spots) if id in self._near[name]]
            if near:
                to, _, on = line.feet(spots[near])
                marks += [(float(x), point_of(point)) for x, point in zip(to, on, strict=True)]
            found[id] = _apart_enough(sorted(marks))
        return found

    @cached_property
    def _near(self) -> dict[str, dict[str, float]]:
        """By spot, the paths that a wire may reach from it, with their distance. [m]"""
        points = np.array(list(self.spots.values())).reshape(-1, 3)
        far = {id: line.feet(points)[1] for id, line in self._lines.items()}
        found: dict[str, dict[str, float]] = {}
        for k, name in enumerate(self.spots):
            off = {id: float(metres[k]) for id, metres in far.items()}
            limit = max(REACH_M, min(off.values(), default=0.0))
            found[name] = {id: metres for id, metres in off.items() if metres <= limit}
        return found

    @cached_property
    def _steps_of(self) -> dict[str, list[Stretch]]:
        """By path, the stretches between its neighbouring points."""
        return {
            id: [Stretch(id, a, b, to - at, at, to) for (at, a), (to, b) in pairwise(marks)]
            for id, marks in self._marks.items()
        }

    # --- the search ---------------------------------------------------------------------------------

    @cached_property
    def _spot_at(self) -> dict[str, int]:
        return {name: k for k, name in enumerate(self.spots)}

    @cached_property
    def _steps(self) -> list[list[tuple[int, float, Stretch]]]:
        """By number of a point (spots first), where a step leads, what it costs, and the stretch."""
        number = {(id, k): 0 for id, marks in self._marks.items() for k in range(len(marks))}
        number = {key: len(self.spots) + n for n, key in enumerate(number)}
        steps: list[list[tuple[int, float, Stretch]]] = [[] for _ in range(len(self.spots) + len(number))]

        def join(one: int, other: int, cost: float, stretch: Stretch) -> None:
            steps[one].append((other, cost, stretch))
            steps[other].append((one, cost, stretch.turned()))

        for id, stretches in self._steps_of.items():
            for k, stretch in enumerate(stretches):
                join(number[id, k], number[id, k + 1], stretch.metres * self.paths[id].cost, stretch)
        for name, near in self._near.items():
            point = self.spots[name]
            for id in near:
                k = min(range(len(self._marks[id])), key=lambda k: apart(self._marks[id][k][1], point))
                off = Stretch("", point, self._marks[id][k][1], apart(point, self._marks[id][k][1]))
                join(self._spot_at[name], number[id, k], OFF_PATH_COST * off.metres, off)
        every = list(number)
        points = np.array([self._marks[id][k][1] for id, k in every]).reshape(-1, 3)
        far = np.linalg.norm(points[:, None] - points, axis=2)
        for one, other in zip(*np.nonzero(far <= JOIN_M), strict=True):
            (id, k), (other_id, j) = every[one], every[other]
            if id < other_id:
                a, b = self._marks[id][k][1], self._marks[other_id][j][1]
                metres = float(far[one, other])
                join(number[id, k], number[other_id, j], OFF_PATH_COST * metres, Stretch("", a, b, metres))
        return steps

    def _cheapest(
        self, begin: int, goals: Collection[int], without: frozenset[str], limit: float
    ) -> tuple[Stretch, ...] | None:
        """Return the stretches of the cheapest way to one of some points that costs less than a limit."""
        least = {begin: 0.0}
        came: dict[int, tuple[int, Stretch]] = {}
        queue = [(0.0, begin)]
        spots = len(self.spots)
        while queue:
            cost, here = heappop(queue)
            if cost > least[here] or cost >= limit:
                continue
            if here in goals:
                return tuple(_back(came, here))[::-1]
            for there, dearer, stretch in self._steps[here]:
                if (there < spots and there not in goals) or stretch.path in without:
                    continue
                if cost + dearer < least.get(there, np.inf):
                    least[there], came[there] = cost + dearer, (here, stretch)
                    heappush(queue, (cost + dearer, there))
        return None


def _apart_enough(marks: Sequence[tuple[float, Point]]) -> list[tuple[float, Point]]:
    """Return points along a path without those that lie as good as on the one before."""
    kept: list[tuple[float, Point]] = []
    for at, point in marks:
        if not kept or at - kept[-1][0] > _SAME_M:
            kept.append((at, point))
    return kept


def _off(a: Point, b: Point) -> tuple[Stretch, ...]:
    """Return the straight stretch between two points, none if they are one."""
    metres = apart(a, b)
    return (Stretch("", a, b, metres),) if metres > 0.0 else ()


def _back(came: Mapping[int, tuple[int, Stretch]], here: int) -> Iterator[Stretch]:
    while here in came:
        here, stretch = came[here]
        if stretch.metres > 0.0:
            yield stretch


__all__ = [
    "JOIN_M",
    "NET_SOURCE",
    "OFF_PATH_COST",
    "PINNED_COST",
    "REACH_M",
    "STRAIGHT_M",
    "PathLine",
    "PathNet",
    "Route",
    "Stretch",
]
