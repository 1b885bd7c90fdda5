"""What is put around a stretch of a loom: nothing, tape, a tube and its size, a sleeve where it moves.

By where it lies; common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.loom.bundles import tube_for_mm

from .record import Assessment
from .sizes import zones_of

#: Tape every so many metres where there is no tube. Common practice. [m]
TAPE_M = 0.3


@dataclass(frozen=True, slots=True)
class Cover:
    """What is put around a stretch: tube, sleeve, pipe, tape or none; in words; tape every so far. [m]

    `bore_mm` is that of the tube, None if it has none or is thicker than any. [mm]
    """

    kind: str
    says: str
    tape_m: float | None = None
    bore_mm: float | None = None


def cover_in(job: Assessment, path_id: str, thick_mm: float, wires: int) -> Cover:
    """Return what is put around wires in a path.

    Parameters
    ----------
    job : Assessment
    path_id : str
        The path they lie in; "" off all paths.
    thick_mm : float
        Of them all together. [mm]
    wires : int
        How many they are.
    """
    path = job.plan.paths.get(path_id)
    zones = zones_of(job.plan, path) if path is not None else frozenset()
    if path is not None and path.conduit is True:
        return Cover("pipe", "lies in its pipe")
    if "moving" in zones:
        return Cover("sleeve", "braided sleeve over the moving part")
    bore = tube_for_mm(thick_mm)
    size = f"tube {bore:g}, split" if bore is not None else "tube, larger than 37"
    if zones & {"engine_bay", "hot"}:
        return Cover("tube", f"{size}, for heat; tape both ends", bore_mm=bore)
    if zones & {"outside", "underfloor", "wet"}:
        return Cover("tube", f"{size}, drain holes down; seal both ends", bore_mm=bore)
    if path is not None and path.hole is not None:
        return Cover("tube", f"{size}, through the hole; grommet", bore_mm=bore)
    if wires > 1:
        return Cover("tape", f"tape every {TAPE_M:g} m", TAPE_M)
    return Cover("none", "none: one wire")


__all__ = ["TAPE_M", "Cover", "cover_in"]
