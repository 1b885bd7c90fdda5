"""The loom of a van: the way of every wire through its paths, and what lies together where.

Lengths that a plan types stay; what is found here stands beside.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from loomwright.errors import OutOfTableError
from loomwright.loom.bundles import bend_radius_mm, bundle_diameter_mm, hole_needed_mm
from loomwright.loom.lines import Point
from loomwright.loom.nets import PathNet
from loomwright.plan.values import Quantity
from loomwright.tables.iso_6722 import outside_diameter_mm

from .record import WireFigure
from .routes import Laid, Routes, Together


@dataclass(frozen=True, slots=True)
class Section(Together):
    """A stretch of one path in which the same wires lie; `thick_mm` over all of them. [mm]"""

    thick_mm: float

    @property
    def bend_mm(self) -> float:
        """The inside radius that no bend of it may go below. [mm]"""
        return bend_radius_mm(self.thick_mm, len(self.wires))


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
    routes : Routes
    wires : mapping of str to WireFigure
        Their sizes.
    """

    def __init__(self, routes: Routes, wires: Mapping[str, WireFigure]) -> None:
        self.routes, self.wiring, self.wires = routes, routes.wiring, wires

    @property
    def net(self) -> PathNet:
        """The paths of the van whose points are known, and the ends of its wires."""
        return self.routes.net

    @property
    def laid(self) -> dict[str, Laid]:
        """The way of each wire, by its id."""
        return self.routes.laid

    @property
    def places(self) -> dict[str, Point]:
        """The places whose coordinates are known. [m]"""
        return self.routes.places

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """What lies together, path by path."""
        return tuple(
            Section(
                one.path,
                one.from_m,
                one.to_m,
                one.points,
                one.wires,
                bundle_diameter_mm(self.thick_mm(wire) for wire in one.wires),
            )
            for one in self.routes.together
        )

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
                "past": list(one.past),
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
                "bend_mm": one.bend_mm,
            }
            for one in self.sections
        ]
        holes = [
            {"path": one.path, "bore_mm": one.bore_mm, "needed_mm": one.needed_mm, "wires": list(one.wires)}
            for one in self.holes
        ]
        return {"wires": ways, "sections": sections, "holes": holes}

    def length_m(self, path: str) -> float:
        """Return how long a path of the net is. [m]"""
        return self.routes.length_m(path)

    def thick_mm(self, wire: str) -> float:
        """Return the outside diameter of a wire; 0 if its size is not known. [mm]"""
        area = self.wires[wire].area_mm2
        try:
            return 0.0 if area is None else outside_diameter_mm(area)
        except OutOfTableError:
            return 0.0


__all__ = ["HoleFill", "Laid", "Loom", "Section"]
