"""How far the holes and pipes of a van are filled while its wires are laid, one after the other.

Counted are wires whose size the plan types: what is chosen later, or known to nobody, takes no room here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from loomwright.errors import OutOfTableError
from loomwright.loom.bundles import bundle_diameter_mm, hole_needed_mm, pipe_fill
from loomwright.loom.nets import Route
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity
from loomwright.tables.iso_6722 import outside_diameter_mm

from .sizes import area_of

#: A stretch of a path between two points of its net: path, from and to along it. [m]
_Step = tuple[str, float, float]


class Holes:
    """The paths with a hole, and what has been laid in each of their stretches.

    Parameters
    ----------
    wiring : Wiring
    paths : collection of str
        Those whose course is known.
    """

    def __init__(self, wiring: Wiring, paths: Collection[str]) -> None:
        of = {id: wiring.plan.paths[id] for id in paths}
        self.bore_mm: Mapping[str, float] = {
            id: 1e3 * path.hole.low for id, path in of.items() if isinstance(path.hole, Quantity)
        }
        self._pipes = frozenset(id for id, path in of.items() if path.conduit is True)
        self._wiring = wiring
        self._pieces = {piece.id: piece for piece in wiring.pieces()}
        self._inside: dict[_Step, dict[str, float]] = {}

    def take(self, wire: str, route: Route) -> None:
        """Lay a wire along a way."""
        for step in self._steps(route):
            self._inside.setdefault(step, {})[wire] = self._thick_mm(wire)

    def full_for(self, wire: str, route: Route) -> set[str]:
        """Return the paths on a way that have no room for a wire where it would lie in them."""
        own = self._thick_mm(wire)
        return {
            step[0]
            for step in self._steps(route)
            if own > 0.0 and not self._fits(step[0], {**self._inside.get(step, {}), wire: own})
        }

    def _steps(self, route: Route) -> Iterator[_Step]:
        for one in route.stretches:
            if one.path in self.bore_mm:
                yield one.path, min(one.from_m, one.to_m), max(one.from_m, one.to_m)

    def _fits(self, path: str, inside: Mapping[str, float]) -> bool:
        wires, bore = [mm for mm in inside.values() if mm > 0.0], self.bore_mm[path]
        if path in self._pipes:
            fill, most = pipe_fill(wires, bore)
            return fill <= most
        return hole_needed_mm(bundle_diameter_mm(wires)) <= bore

    def _thick_mm(self, wire: str) -> float:
        """Return the outside diameter of a wire; 0 if the plan types no size. [mm]"""
        piece = self._pieces[wire]
        area = area_of(self._wiring.runs[piece.run], piece)
        try:
            return outside_diameter_mm(area.mid) if isinstance(area, Quantity) else 0.0
        except OutOfTableError:
            return 0.0


__all__ = ["Holes"]
