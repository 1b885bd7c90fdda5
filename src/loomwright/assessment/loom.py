"""The loom of a van: the way of every wire through its paths, and what lies together where.

A wire whose run names paths (`via`) is pinned to them; they are shared out over its pieces so that it gets
shortest. Any other takes the cheapest way. Paths through a gas locker or along an airbag are no way; hot,
moving, wet and outside ones count dearer. Lengths that a plan types stay; what is found here stands beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations_with_replacement

from loomwright.errors import OutOfTableError
from loomwright.loom.bundles import bundle_diameter_mm, hole_needed_mm
from loomwright.loom.lengths import END_SLACK_M, PATH_FACTOR
from loomwright.loom.lines import Line, Point
from loomwright.loom.nets import PINNED_COST, PathLine, PathNet, Route
from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring
from loomwright.plan.values import Quantity
from loomwright.source import Source
from loomwright.tables.iso_6722 import outside_diameter_mm

from .record import WireFigure
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
    """

    wire: str
    route: Route | None
    metres: float | None
    pinned: bool
    why: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of one path in which the same wires lie.

    `from_m` and `to_m` are measured along the path, `points` its corners; `thick_mm` over all of its wires.
    [m, mm]
    """

    path: str
    from_m: float
    to_m: float
    points: tuple[Point, ...]
    wires: tuple[str, ...]
    thick_mm: float

    @property
    def metres(self) -> float:
        """Its length. [m]"""
        return self.to_m - self.from_m


@dataclass(frozen=True, slots=True)
class HoleFill:
    """The smallest hole of a path, against the thickest bundle in it. [mm]"""

    path: str
    bore_mm: float
    needed_mm: float
    wires: tuple[str, ...]


class Loom:
    """The loom of one van, worked out when a sheet, list or rule asks.

    Parameters
    ----------
    wiring : Wiring
    wires : mapping of str to WireFigure
        Their sizes.
    """

    def __init__(self, wiring: Wiring, wires: Mapping[str, WireFigure]) -> None:
        self.wiring, self.wires = wiring, wires
        self._known: dict[tuple[str, str, tuple[str, ...]], Route] = {}

    @cached_property
    def net(self) -> PathNet:
        """The paths of the van whose points are known, and the ends of its wires."""
        plan = self.wiring.plan
        lines: dict[str, PathLine] = {}
        for id, path in plan.paths.items():
            points = stops_of(plan, id)
            zones = zones_of(plan, path)
            if points and not zones & FORBIDDEN:
                measured = path.length.mid if isinstance(path.length, Quantity) else None
                cost = max([DEARER.get(zone, 1.0) for zone in zones], default=1.0)
                lines[id] = PathLine(points, measured, cost)
        return PathNet(lines, {_name(at): at for at in self._ends.values() if at is not None})

    @cached_property
    def laid(self) -> dict[str, Laid]:
        """The way of each wire, by its id."""
        found: dict[str, Laid] = {}
        for flat in self.wiring.runs.values():
            if not flat.inner:
                chains = [
                    [one for one in flat.pieces if self._is_laid(one) and (one.role, one.load) == key]
                    for key in dict.fromkeys((one.role, one.load) for one in flat.pieces)
                ]
                for chain in filter(None, chains):
                    found |= {one.wire: one for one in self._chain(flat, chain)}
        return found

    @cached_property
    def sections(self) -> tuple[Section, ...]:
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
    def holes(self) -> tuple[HoleFill, ...]:
        """The hole of each path that has one, where wires pass it."""
        found = []
        for id, path in self.wiring.plan.paths.items():
            thickest = max(
                (one for one in self.sections if one.path == id), key=lambda one: one.thick_mm, default=None
            )
            if isinstance(path.hole, Quantity) and thickest is not None:
                needed = hole_needed_mm(thickest.thick_mm)
                found.append(HoleFill(id, 1e3 * path.hole.low, needed, thickest.wires))
        return tuple(found)

    def as_dict(self) -> dict[str, object]:
        """Return the loom as it stands in JSON: ways of wires, what lies together, holes."""
        ways = [
            {
                "id": one.wire,
                "paths": list(one.route.paths) if one.route is not None else None,
                "length_m": one.metres,
                "pinned": one.pinned,
                "why_not": one.why,
            }
            for one in self.laid.values()
        ]
        sections = [
            {
                "path": one.path,
                "from_m": one.from_m,
                "to_m": one.to_m,
                "length_m": one.metres,
                "wires": list(one.wires),
                "thick_mm": one.thick_mm,
            }
            for one in self.sections
        ]
        holes = [
            {"path": one.path, "bore_mm": one.bore_mm, "needed_mm": one.needed_mm, "wires": list(one.wires)}
            for one in self.holes
        ]
        return {"wires": ways, "sections": sections, "holes": holes}

    @cached_property
    def places(self) -> dict[str, Point]:
        """The places whose coordinates are known. [m]"""
        points = {id: stops_of(self.wiring.plan, id) for id in self.wiring.plan.places}
        return {id: stops[0] for id, stops in points.items() if stops}

    def length_m(self, path: str) -> float:
        """Return how long a path of the net is. [m]"""
        line = self.net.paths[path]
        return float(Line(line.points, line.length_m).at[-1])

    def thick_mm(self, wire: str) -> float:
        """Return the outside diameter of a wire; 0 if its size is not known. [mm]"""
        area = self.wires[wire].area_mm2
        try:
            return 0.0 if area is None else outside_diameter_mm(area)
        except OutOfTableError:
            return 0.0

    def _is_laid(self, piece: Piece) -> bool:
        """Say whether a piece is a wire to lay, not a joint of no length."""
        return piece.id in self.wires and self.wires[piece.id].length_m != 0.0

    # --- ways ------------------------------------------------------------------------------------------

    @cached_property
    def _ends(self) -> dict[str, Point | None]:
        """By point of a wire, where it is."""
        points = {point for piece in self.wiring.pieces() for point in (piece.a, piece.b)}
        return {point: where_of(self.wiring, point) for point in sorted(points)}

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
        route = self.net.route(*self.between(piece))
        if route is None:
            return Laid(piece.id, None, None, False, "no path leads from one end to the other")
        return _cut(piece.id, route, pinned=False)

    def _why(self, piece: Piece) -> str:
        lost = [
            text
            for text, point in ((piece.a_text, piece.a), (piece.b_text, piece.b))
            if self._ends[point] is None
        ]
        return f"nobody says where {' and '.join(one or 'an end' for one in lost)} is"

    # --- bundles ---------------------------------------------------------------------------------------

    def _merged(
        self,
        by_step: Mapping[tuple[str, float, float], Mapping[str, None]],
        ends: Mapping[tuple[str, float, float], tuple[Point, Point]],
    ) -> Iterator[Section]:
        """Give neighbouring steps with the same wires and in one line as one section."""
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
                thick = bundle_diameter_mm(self.thick_mm(wire) for wire in wires)
                start, end = steps[k], steps[last]
                points = (ends[start][0], *(ends[one][1] for one in steps[k : last + 1]))
                yield Section(path, start[1], end[2], points, wires, thick)
                k = last + 1


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
    return Laid(wire, route, PATH_FACTOR * route.metres + 2 * END_SLACK_M, pinned)


def _name(at: Point) -> str:
    return f"{at[0]:.3f} {at[1]:.3f} {at[2]:.3f}"


__all__ = ["DEARER", "FORBIDDEN", "HoleFill", "Laid", "Loom", "Section"]
