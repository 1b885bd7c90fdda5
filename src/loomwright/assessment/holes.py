"""The holes of a van: bore, bundle, grommet, and what the edge and the gap are treated with.

A path with `hole` has one; a path that is outside or wet passes the shell somewhere, so it stands here too,
with its bore unknown. Before drilling, look behind the sheet. Common practice all through.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.loom.bundles import bundle_diameter_mm, hole_needed_mm
from loomwright.plan.model import Path
from loomwright.plan.values import Quantity
from loomwright.source import Source
from loomwright.tables.grommets import grommet_mm

from .record import Assessment
from .sizes import zones_of

EDGE_SOURCE = Source(
    work="common practice",
    place="cut edges of sheet steel deburred, primed and painted, gaps to the outside sealed",
    checked="common practice",
)
#: A path in such a zone passes the shell, and water comes to its hole.
THROUGH_SHELL = frozenset({"outside", "wet", "underfloor", "engine_bay"})
#: Such a path has a hole even where the plan names none.
SURELY = frozenset({"outside", "wet"})
METAL = ("steel", "mixed", "aluminium")


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole.

    Attributes
    ----------
    path : str
    bore_mm : float or None
        None: the plan does not say. [mm]
    bundle_mm, needed_mm : float or None
        Thickest bundle in it, and the least bore for that; None if no wire is known to pass. [mm]
    grommet_mm : float or None
        Bore of the grommet or gland that the bundle asks for. [mm]
    wires : tuple of str
    fits : bool or None
        None where a figure is missing.
    edge, seal : str
        What to do with the cut edge and with the gap, in words.
    note : str
        Of the path.
    """

    path: str
    bore_mm: float | None
    bundle_mm: float | None
    needed_mm: float | None
    grommet_mm: float | None
    wires: tuple[str, ...]
    fits: bool | None
    edge: str
    seal: str
    note: str


def hole_list(job: Assessment) -> tuple[Hole, ...]:
    """Return the holes of the paths of a plan, in its order."""
    found = []
    for id, path in job.plan.paths.items():
        zones = zones_of(job.plan, path)
        if isinstance(path.hole, Quantity) or zones & SURELY:
            found.append(_hole(job, id, path, wet=bool(zones & THROUGH_SHELL)))
    return tuple(found)


def _hole(job: Assessment, id: str, path: Path, *, wet: bool) -> Hole:
    bore = 1e3 * path.hole.low if isinstance(path.hole, Quantity) else None
    wires, thick = _thickest(job, id)
    needed = hole_needed_mm(thick) if thick else None
    fits = None if bore is None or needed is None else bore >= needed
    metal = job.plan.vehicle.body in METAL
    primer = "deburr, primer and paint on the cut edge"
    edge = primer if wet and metal else "deburr the edge" if wet else f"{primer} if it is sheet metal"
    seal = "sealed gland or grommet, drip loop outside" if wet else "grommet"
    return Hole(
        id,
        bore,
        thick or None,
        needed,
        None if needed is None else grommet_mm(needed),
        wires,
        fits,
        edge,
        seal,
        path.note or "",
    )


def _thickest(job: Assessment, id: str) -> tuple[tuple[str, ...], float]:
    """Return the wires of the thickest bundle in a path and its thickness; else those said to lie there."""
    sections = [one for one in job.loom.sections if one.path == id]
    if sections:
        most = max(sections, key=lambda one: one.thick_mm)
        return most.wires, most.thick_mm
    runs = {key for key, flat in job.wiring.runs.items() if id in flat.run.via}
    named = [wire.id for wire in job.wires.values() if wire.run in runs and wire.role == "feed"]
    return tuple(named), bundle_diameter_mm(job.loom.thick_mm(wire) for wire in named)


__all__ = ["EDGE_SOURCE", "Hole", "hole_list"]
