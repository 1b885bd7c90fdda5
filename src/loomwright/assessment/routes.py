"""The way of every wire through the paths of a van, and which wires lie together. No figure is needed for it.

A wire whose run names paths (`via`) is pinned to them; they are shared out over its pieces so that it gets
shortest. Any other takes the cheapest way. Paths through a gas locker or along an airbag are no way; hot,
moving, wet and outside ones count dearer. Lengths that a plan types stay; what is found here stands beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations_with_replacement

from loomwright.loom.lengths import cut_length
from loomwright.loom.lines import Line, Point
from loomwright.loom.nets import PINNED_COST, PathLine, PathNet, Route
from loomwright.plan.model import Leg
from loomwright.plan.pieces import BODY, JOINT, FlatRun, Piece, Wiring
from loomwright.plan.values import Quantity
from loomwright.source import Source

from .filling import Holes
from .sizes import stops_of, where_of, zones_of

#: No wire may lie there.
FORBIDDEN = frozenset({"gas_locker", "airbag"})
ZONES_SOURCE = Source(
    work="common practice",
    place="hot, wet, moving, outside paths gone round",
    checked="common practice",
)
#: What a metre of path counts as where wires had better not lie.
DEARER: Mapping[str, float] = {
    "flue": 4.0, "outside": 3.0, "hot": 2.0, "engine_bay": 2.0, "moving": 2.0, "wet": 1.5, "underfloor": 1.5,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Laid:
    """The way of one piece of wire.

    Attributes
    ----------
    wire : str
    route : Route or None
        None if no way is known: `why` says so.
    metres : float or None
        To cut: along the route with allowances. [m]
    pinned : bool
        The plan names its paths.
    past : tuple of str
        Paths on a cheaper way whose holes are full without it.
    """

    wire: str
    route: Route | None
    metres: float | None
    pinned: bool
    why: str = ""
    past: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Together:
    """A stretch of one path in which the same wires lie.

    `from_m` and `to_m` are measured along the path, `points` its corners. [m]
    """

    path: str
    from_m: float
    to_m: float
    points: tuple[Point, ...]
    wires: tuple[str, ...]

    @property
    def metres(self) -> float:
        """Its length. [m]"""
        return self.to_m - self.from_m


class Routes:
    """The ways of the wires of one van, worked out when a length, sheet, list or rule asks.

    Parameters
    ----------
    wiring : Wiring
    """

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self._known: dict[tuple[str, str, tuple[str, ...]], Route] = {}

    @cached_property
    def lines(self) -> dict[str, tuple[Point, ...]]:
        """The corners of the paths whose course the plan tells."""
        plan = self.wiring.plan
        return {id: points for id in plan.paths if (points := tuple(stops_of(plan, id)))}

    @cached_property
    def net(self) -> PathNet:
        """The paths of the van whose points are known and where wires may lie, and the ends of its wires."""
        lines = {id: self._line(id) for id in self.lines if not self._is_barred(id)}
        return PathNet(lines, {_name(at): at for at in self._ends.values() if at is not None})

    @cached_property
    def _barred(self) -> dict[str, PathLine]:
        """The paths in which no wire may lie."""
        return {id: self._line(id) for id in self.lines if self._is_barred(id)}

    def _is_barred(self, id: str) -> bool:
        return bool(zones_of(self.wiring.plan, self.wiring.plan.paths[id]) & FORBIDDEN)

    def _line(self, id: str) -> PathLine:
        path = self.wiring.plan.paths[id]
        measured = path.length.mid if isinstance(path.length, Quantity) else None
        zones = zones_of(self.wiring.plan, path)
        return PathLine(self.lines[id], measured, max([DEARER.get(one, 1.0) for one in zones], default=1.0))

    @cached_property
    def laid(self) -> dict[str, Laid]:
        """The way of each wire, by its id."""
        found: dict[str, Laid] = {}
        for flat in self.wiring.runs.values():
            if not flat.inner:
                chains = [
                    [one for one in flat.pieces if not _is_joint(flat, one) and (one.role, one.load) == key]
                    for key in dict.fromkeys((one.role, one.load) for one in flat.pieces)
                ]
                for chain in filter(None, chains):
                    found |= {one.wire: one for one in self._chain(flat, chain)}
        return found | self._past_full_holes(found)

    def _past_full_holes(self, laid: Mapping[str, Laid]) -> dict[str, Laid]:
        """Return the wires that nobody leads and that find holes full, by their next cheapest way.

        One after the other in the plan's order, after all that are led; what has no other way stays.
        """
        holes = Holes(self.wiring, self.lines)
        if not holes.bore_mm:
            return {}
        for one in laid.values():
            if one.pinned and one.route is not None:
                holes.take(one.wire, one.route)
        found: dict[str, Laid] = {}
        pieces = {piece.id: piece for piece in self.wiring.pieces()}
        for one in laid.values():
            past: set[str] = set()
            if one.pinned or one.route is None:
                continue
            route: Route | None = one.route
            while route is not None and (full := holes.full_for(one.wire, route)):
                past |= full
                route = self.net.route(*self.between(pieces[one.wire]), without=past)
            if route is not None and past:
                found[one.wire] = replace(_cut(one.wire, route, pinned=False), past=tuple(sorted(past)))
            holes.take(one.wire, route if route is not None else one.route)
        return found

    @cached_property
    def together(self) -> tuple[Together, ...]:
        """What lies together, path by path."""
        by_step: dict[tuple[str, float, float], dict[str, None]] = {}
        ends: dict[tuple[str, float, float], tuple[Point, Point]] = {}
        for one in self.laid.values():
            for step in one.route.stretches if one.route is not None else ():
                forward = step if step.from_m <= step.to_m else step.turned()
                if step.path:
                    key = (step.path, forward.from_m, forward.to_m)
                    by_step.setdefault(key, {})[one.wire] = None
                    ends[key] = forward.a, forward.b
        return tuple(self._merged(by_step, ends))

    @cached_property
    def places(self) -> dict[str, Point]:
        """The places whose coordinates are known. [m]"""
        points = {id: stops_of(self.wiring.plan, id) for id in self.wiring.plan.places}
        return {id: stops[0] for id, stops in points.items() if stops}

    def length_m(self, path: str) -> float:
        """Return how long a path of the net is. [m]"""
        line = self.net.paths[path]
        return float(Line(line.points, line.length_m).at[-1])

    # --- ways ------------------------------------------------------------------------------------------

    @cached_property
    def _ends(self) -> dict[str, Point | None]:
        """By point of a wire, where it is: a joint at the first of its loads, the body beside its wire."""
        points = {point for piece in self.wiring.pieces() for point in (piece.a, piece.b)}
        found = {point: where_of(self.wiring, point) for point in sorted(points)}
        for flat in self.wiring.runs.values():
            joints = [point for point in (flat.id + JOINT, f"{flat.id}{JOINT}minus") if point in found]
            at = next((found[load] for load in flat.loads if found.get(load) is not None), None)
            found |= dict.fromkeys(joints, at)
        for piece in self.wiring.pieces():
            if piece.b.endswith(f"@{BODY}"):
                found[piece.b] = found[piece.a]
        return found

    def _chain(self, flat: FlatRun, chain: Sequence[Piece]) -> Iterator[Laid]:
        """Give the ways of pieces that follow one another."""
        via = [id for id in via_of(self.wiring, flat, chain) if id in self.net.paths]
        unknown = [one for one in chain if None in (self._ends[one.a], self._ends[one.b])]
        if via and not unknown:
            shared = self._shared(chain, via)
            yield from (self._pinned(one, paths) for one, paths in zip(chain, shared, strict=True))
            return
        for one in chain:
            yield self._free(one) if one not in unknown else Laid(one.id, None, None, False, self._why(one))

    def _shared(self, chain: Sequence[Piece], via: Sequence[str]) -> list[Sequence[str]]:
        """Return which of the paths each piece takes, in their order, so that the run lies in them most.

        What leads down a path to a switch and up again is named once: neighbours may share a path.
        """
        best: tuple[float, list[Sequence[str]]] | None = None
        for cut in combinations_with_replacement(range(len(via) + 1), len(chain) - 1):
            spans = zip((0, *cut), (*cut, len(via)), strict=True)
            split = [self._best(one, via, span) for one, span in zip(chain, spans, strict=True)]
            cost = sum(cost for cost, _ in split)
            if best is None or cost < best[0]:
                best = cost, [paths for _, paths in split]
        return best[1] if best is not None else []

    def _best(self, piece: Piece, via: Sequence[str], span: tuple[int, int]) -> tuple[float, Sequence[str]]:
        """Return the cheapest of the spans of paths that a piece may take, with the ones beside it."""
        a, b = span
        found = []
        for paths in {tuple(via[x:y]) for x in (a, max(a - 1, 0)) for y in (b, b + 1)}:
            route = self._in_paths(piece, paths)
            found.append((route.metres + PINNED_COST * route.free_m, paths))
        return min(found)

    def _in_paths(self, piece: Piece, paths: tuple[str, ...]) -> Route:
        key = (*self.between(piece), paths)
        if key not in self._known:
            self._known[key] = self.net.pinned(*key)
        return self._known[key]

    def between(self, piece: Piece) -> tuple[str, str]:
        """Return the spots of the net between which a piece lies whose ends are known."""
        a, b = (_name(at) for point in (piece.a, piece.b) if (at := self._ends[point]) is not None)
        return a, b

    def _pinned(self, piece: Piece, paths: Sequence[str]) -> Laid:
        return _cut(piece.id, self._in_paths(piece, tuple(paths)), pinned=True)

    def _free(self, piece: Piece) -> Laid:
        ends = self.between(piece)
        key = (*ends, ())
        if key not in self._known:
            route = self.net.route(*ends)
            if route is None:
                return Laid(piece.id, None, None, False, self._why_no_way(ends))
            self._known[key] = route
        return _cut(piece.id, self._known[key], pinned=False)

    def _why_no_way(self, ends: tuple[str, str]) -> str:
        """Say what keeps a wire from getting there, and the least that would let it."""
        says = "no path leads from one end to the other"
        if self._barred:
            route = PathNet({**self.net.paths, **self._barred}, self.net.spots).route(*ends)
            through = [id for id in route.paths if id in self._barred] if route is not None else []
            if through:
                return f"{says} but through {' and '.join(through)}, where no wire may lie: draw one past it"
        gap = self.net.gap(*ends)
        if gap is None:
            return f"{says}: draw one past both"
        return f"{says}: join {gap[0]} and {gap[1]}, which come no nearer than {gap[2]:.1f} m"

    def _why(self, piece: Piece) -> str:
        lost = [
            text
            for text, point in ((piece.a_text, piece.a), (piece.b_text, piece.b))
            if self._ends[point] is None
        ]
        return f"nobody says where {' and '.join(one or 'an end' for one in lost)} is"

    # --- together --------------------------------------------------------------------------------------

    def _merged(
        self,
        by_step: Mapping[tuple[str, float, float], Mapping[str, None]],
        ends: Mapping[tuple[str, float, float], tuple[Point, Point]],
    ) -> Iterator[Together]:
        """Give neighbouring steps with the same wires and in one line as one stretch."""
        for path in self.net.paths:
            steps = sorted(key for key in by_step if key[0] == path)
            k = 0
            while k < len(steps):
                wires, last = tuple(by_step[steps[k]]), k
                while (
                    last + 1 < len(steps)
                    and steps[last + 1][1] == steps[last][2]
                    and set(by_step[steps[last + 1]]) == set(wires)
                ):
                    last += 1
                start, end = steps[k], steps[last]
                points = (ends[start][0], *(ends[one][1] for one in steps[k : last + 1]))
                yield Together(path, start[1], end[2], points, wires)
                k = last + 1


def _is_joint(flat: FlatRun, piece: Piece) -> bool:
    """True if a piece is no wire to lay but a joint: of 0 m, or a leg without a length."""
    run, leg = flat.run, flat.run.legs.get(piece.load or "", Leg())
    back = (leg if piece.load else run).return_ if piece.is_return else None
    own = back.length if back is not None else None
    length = own or (leg.length if piece.load else run.length)
    if piece.load and length is None:
        return True
    return isinstance(length, Quantity) and length.high == 0.0


def via_of(wiring: Wiring, flat: FlatRun, chain: Sequence[Piece]) -> Sequence[str]:
    """Return the paths that the plan names for pieces; a return by wire comes back along its feed's."""
    run, first = flat.run, chain[0]
    leg = run.legs.get(first.load or "")
    if not first.is_return:
        return run.via if first.load is None else (leg.via or () if leg is not None else ())
    back = leg.return_ if leg is not None else run.return_
    if back is not None and back.via:
        return back.via
    end = chain[-1].b
    is_short = end in wiring.plan.studs or end.endswith(f"@{BODY}") or first.load is not None
    return () if is_short else run.via[::-1]


def _cut(wire: str, route: Route, *, pinned: bool) -> Laid:
    return Laid(wire, route, cut_length(route.metres), pinned)


def _name(at: Point) -> str:
    return f"{at[0]:.3f} {at[1]:.3f} {at[2]:.3f}"


__all__ = ["DEARER", "FORBIDDEN", "Laid", "Routes", "Together", "via_of"]
