"""The looms of a van as they are made on the bench: trees of the 12/24 V wires, and what lies in none.

A wire whose route lies in known paths takes its stretches from there. One whose run names paths without
coordinates is laid from path to path by their names; how long these are is worked out from the lengths of
the wires that lie in them, as a guess that says so. Mains cables and the maker's own are never in a loom.

Source of the guess: algebraic reconstruction with factors (Gordon, Bender, Herman, J. theor. Biol. 29, 1970).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from loomwright.loom.lengths import END_SLACK_M, PATH_FACTOR
from loomwright.loom.tree import Leg, LoomTree, Way, trees_of
from loomwright.plan.pieces import Piece
from loomwright.plan.values import Quantity

from .record import Assessment, WireFigure
from .routes import via_of
from .sizes import place_of

#: Of a run in several pieces, the one with at least so much of its length lies in its paths.
_MOST = 0.66
#: The least that a path can be long, where it is a guess. [m]
_LEAST_M = 0.1
_ROUNDS = 60
#: A wire that is so much shorter than its paths leaves them early. [m]
_EARLY_M = 0.3


@dataclass(frozen=True, slots=True)
class BenchLoom:
    """One loom: its number, where it lies, its tree; `known` is False where lengths in it are guesses."""

    id: str
    name: str
    tree: LoomTree

    @property
    def known(self) -> bool:
        """All of its lengths come from coordinates or from strings."""
        return all(one.known for one in self.tree.sections)


@dataclass(frozen=True, slots=True)
class Single:
    """A wire that is made on its own: its length to cut, and the paths that the plan names for it. [m]"""

    wire: str
    metres: float
    by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NoWay:
    """A wire that can't be drawn, and why."""

    wire: str
    why: str


@dataclass(frozen=True)
class Looms:
    """All that is made on the bench for one van.

    Parameters
    ----------
    job : Assessment
    """

    job: Assessment

    @cached_property
    def looms(self) -> tuple[BenchLoom, ...]:
        """The looms, the one with most metres of wire first."""
        trees = [tree for tree in trees_of(self._ways) if self._is_loom(tree)]
        trees.sort(key=lambda tree: -sum(one.metres * len(one.wires) for one in tree.sections))
        turned = [self._forward(tree) for tree in trees]
        return tuple(BenchLoom(f"L{n}", _name(tree), tree) for n, tree in enumerate(turned, 1))

    @cached_property
    def singles(self) -> tuple[Single, ...]:
        """Wires with a length that lie in no loom, the thickest first."""
        held = {wire for loom in self.looms for wire in loom.tree.wires}
        found = [
            Single(one.id, one.length_m, self._named.get(one.id, ()))
            for one in self._wires
            if one.id not in held and one.length_m
        ]
        return tuple(sorted(found, key=lambda one: -(self.job.wires[one.wire].area_mm2 or 0.0)))

    @cached_property
    def no_way(self) -> tuple[NoWay, ...]:
        """Wires of which neither the way nor the length is known."""
        held = {wire for loom in self.looms for wire in loom.tree.wires}
        laid = self.job.loom.laid
        return tuple(
            NoWay(
                one.id,
                laid[one.id].why if one.id in laid and laid[one.id].why else "nobody says how long it is",
            )
            for one in self._wires
            if one.id not in held and not one.length_m
        )

    @cached_property
    def mains(self) -> tuple[str, ...]:
        """The cables of the mains side, which lie apart from all looms."""
        return tuple(id for id, one in self.job.wires.items() if one.mains and "/" not in id)

    def tail_m(self, wire: str, tree: LoomTree) -> float | None:
        """Return what a wire has at each end beyond its loom: half of what its length leaves; None: unknown.

        Less than nothing: the length that the plan types is shorter than the way. [m]
        """
        length = self.job.wires[wire].length_m
        if length is None:
            return None
        return (length - sum(one.metres for one in tree.sections if wire in one.wires)) / 2

    # --- ways -----------------------------------------------------------------------------------------

    @cached_property
    def _wires(self) -> tuple[WireFigure, ...]:
        """The wires that a bench makes: no mains, nothing inside of units, no maker's, no joints of 0 m."""
        runs = self.job.wiring.runs
        return tuple(
            one
            for one in self.job.wires.values()
            if not (one.mains or one.inner or one.factory or one.length_m == 0.0 or runs[one.run].scope)
        )

    @cached_property
    def _ways(self) -> list[Way]:
        loom, found = self.job.loom, []
        for one in self._wires:
            laid = loom.laid.get(one.id)
            if (
                laid is not None
                and laid.route is not None
                and (laid.route.paths or one.id not in self._nameless)
            ):
                legs = tuple(
                    Leg(_spot(step.a), _spot(step.b), step.metres, step.path) for step in laid.route.stretches
                )
            elif one.id in self._nameless:
                legs = self._by_name(one.id)
            else:
                continue
            found.append(Way(one.id, loom.thick_mm(one.id), legs))
        return found

    def _is_loom(self, tree: LoomTree) -> bool:
        """Say whether it is worth a board: wires together in a path of the van."""
        return any(one.path and len(one.wires) > 1 for one in tree.sections)

    def _forward(self, tree: LoomTree) -> LoomTree:
        """Return a tree whose trunk begins in front, or where most of its wires begin."""
        first, last = tree.trunk[0], tree.trunk[-1]
        try:
            turn = float(first.split()[0]) > float(last.split()[0])
        except ValueError:
            starts = [one.spot for one in tree.ends if one.side == "a"]
            turn = starts.count(first) < starts.count(last)
        return tree.turned() if turn else tree

    # --- paths without coordinates ----------------------------------------------------------------------

    @cached_property
    def _named(self) -> dict[str, tuple[str, ...]]:
        """By wire, the paths that its run names, in order from its beginning."""
        found: dict[str, tuple[str, ...]] = {}
        plan = self.job.plan
        for flat in self.job.wiring.runs.values():
            pieces = [one for one in flat.pieces if one.id in self.job.wires]
            for key in dict.fromkeys((one.role, one.load) for one in pieces):
                chain = [one for one in pieces if (one.role, one.load) == key]
                via = tuple(id for id in via_of(self.job.wiring, flat, chain) if id in plan.paths)
                one = self._longest(chain)
                if via and one is not None:
                    found[one.id] = via
        return found

    def _longest(self, chain: Sequence[Piece]) -> Piece | None:
        long = {one.id: self.job.wires[one.id].length_m or 0.0 for one in chain}
        best = max(chain, key=lambda one: long[one.id])
        return best if len(chain) == 1 or long[best.id] >= _MOST * sum(long.values()) else None

    @cached_property
    def _nameless(self) -> dict[str, tuple[str, ...]]:
        """Of these the wires that must be laid by name: a path of theirs has no coordinates."""
        known = self.job.loom.net.paths
        return {wire: via for wire, via in self._named.items() if not all(id in known for id in via)}

    def _by_name(self, wire: str) -> tuple[Leg, ...]:
        """Return the legs of a wire that is laid by the names of its paths, at every spot of theirs."""
        legs = []
        for path, start, end in self._spans[wire]:
            metres, known = self._path_m[path]
            spots = sorted(
                {at for its in self._spans.values() for id, *pair in its if id == path for at in pair}
            )
            inside = [at for at in spots if min(start, end) <= at <= max(start, end)]
            for a, b in pairwise(inside if start < end else inside[::-1]):
                legs.append(
                    Leg(self._at(path, a, metres), self._at(path, b, metres), abs(b - a), path, known)
                )
        return tuple(legs)

    def _at(self, path: str, at: float, metres: float) -> str:
        """Return the name of a spot of a path; its ends are those of its neighbours as well."""
        if at <= 0.0 or at >= metres:
            return self._joined.of(f"{path} {'a' if at <= 0.0 else 'b'}")
        return f"{path} {at:.1f}"

    @cached_property
    def _spans(self) -> dict[str, list[tuple[str, float, float]]]:
        """By wire, each of its paths with the metres at which it enters and leaves. [m]

        One that is too short for its paths leaves the path early at whose end wires part.
        """
        found = {}
        for wire, steps in self._through.items():
            spans = []
            for path, enter, _ in steps:
                metres = self._path_m[path][0]
                spans.append((path, 0.0, metres) if enter == "a" else (path, metres, 0.0))
            left = sum(self._path_m[path][0] for path, _, _ in steps) - self._laid_m(wire)
            if left > _EARLY_M and not all(self._path_m[path][1] for path, _, _ in steps):
                apart = [
                    len(self._beside[path][end])
                    for path, end in ((steps[0][0], steps[0][1]), (steps[-1][0], steps[-1][2]))
                ]
                k = 0 if apart[0] > apart[1] else -1
                path, start, end = spans[k]
                step = min(round(left, 1), abs(end - start) - _LEAST_M) * (1 if end > start else -1)
                spans[k] = (path, start + step, end) if k == 0 else (path, start, end - step)
            found[wire] = [(path, round(start, 1), round(end, 1)) for path, start, end in spans]
        return found

    def _laid_m(self, wire: str) -> float:
        """Return how much of a wire lies in its paths: its length without slack. [m]"""
        return max((self.job.wires[wire].length_m or 0.0) / PATH_FACTOR - 2 * END_SLACK_M, _LEAST_M)

    @cached_property
    def _through(self) -> dict[str, list[tuple[str, str, str]]]:
        """By wire, for each of its paths the end where it enters and the one where it leaves."""
        found: dict[str, list[tuple[str, str, str]]] = {}
        wiring = self.job.wiring
        where = {one.id: [place_of(wiring, at) or at for at in (one.a, one.b)] for one in wiring.pieces()}
        for wire, via in self._nameless.items():
            stops = (f"@{where[wire][0]}", *via, f"@{where[wire][1]}")
            for before, path, after in zip(stops, via, stops[2:], strict=False):
                ends = self._beside.setdefault(path, {"a": set(), "b": set()})
                forward = len(ends["a"] & {before}) + len(ends["b"] & {after})
                backward = len(ends["a"] & {after}) + len(ends["b"] & {before})
                enter, leave = ("b", "a") if backward > forward else ("a", "b")
                ends[enter].add(before)
                ends[leave].add(after)
                found.setdefault(wire, []).append((path, enter, leave))
        return found

    @cached_property
    def _beside(self) -> dict[str, dict[str, set[str]]]:
        """By path and end, what lies there: places and other paths; filled while wires are led through."""
        return {}

    @cached_property
    def _joined(self) -> _Joined:
        joined = _Joined()
        for steps in self._through.values():
            for (path, _, leave), (then, enter, _) in pairwise(steps):
                joined.join(f"{path} {leave}", f"{then} {enter}")
        return joined

    @cached_property
    def _path_m(self) -> dict[str, tuple[float, bool]]:
        """By path how long it is, and whether that is known."""
        plan, net = self.job.plan, self.job.loom.net
        known: dict[str, float] = {}
        for id, path in plan.paths.items():
            if isinstance(path.length, Quantity):
                known[id] = path.length.mid
            elif id in net.paths and len(net.paths[id].points) > 1:
                known[id] = self.job.loom.length_m(id)
        whole = {
            via: [wire for wire, its in self._nameless.items() if its == via]
            for via in set(self._nameless.values())
        }
        sums = []
        for via in sorted(whole):
            lengths = [self.job.wires[wire].length_m for wire in whole[via]]
            long = [one for one in lengths if one]
            free = [id for id in via if id not in known]
            if long and free:
                laid = max(long) / PATH_FACTOR - 2 * END_SLACK_M
                sums.append((free, max(laid - sum(known[id] for id in via if id in known), _LEAST_M)))
        guess = _shared_out(sums)
        return {id: (known[id], True) if id in known else (guess.get(id, 1.0), False) for id in plan.paths}


class _Joined:
    """Names of ends of paths that are one spot."""

    def __init__(self) -> None:
        self._to: dict[str, str] = {}

    def of(self, name: str) -> str:
        while name in self._to:
            name = self._to[name]
        return name

    def join(self, a: str, b: str) -> None:
        a, b = self.of(a), self.of(b)
        if a != b:
            self._to[b] = a


def _shared_out(sums: Sequence[tuple[Sequence[str], float]]) -> Mapping[str, float]:
    """Return lengths of paths that come to some sums, as even as can be. [m]"""
    found = {id: 1.0 for ids, _ in sums for id in ids}
    for _ in range(_ROUNDS):
        for ids, metres in sums:
            factor = metres / sum(found[id] for id in ids)
            for id in set(ids):
                found[id] *= math.sqrt(factor)
    return {id: max(round(metres, 1), _LEAST_M) for id, metres in found.items()}


def _spot(at: tuple[float, float, float]) -> str:
    return " ".join(f"{value + 0.0:.2f}" for value in at)


def _name(tree: LoomTree) -> str:
    """Return what a loom is called: the paths of its trunk, the first and the last."""
    chain = [tree.between(a, b).path for a, b in pairwise(tree.trunk)]
    paths = list(dict.fromkeys(path for path in chain if path))
    words = [path.replace("_", " ") for path in paths]
    return " to ".join(words[:: max(len(words) - 1, 1)]) if words else "off all paths"


__all__ = ["BenchLoom", "Looms", "NoWay", "Single"]
