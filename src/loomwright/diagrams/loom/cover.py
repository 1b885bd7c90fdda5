"""What is put around a section of a loom: nothing, tape, a tube and its size, a sleeve where it moves."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.assessment.sizes import zones_of
from loomwright.loom.bundles import tube_for_mm
from loomwright.loom.tree import Section

#: Tape every so many metres where there is no tube. Common practice. [m]
TAPE_M = 0.3


@dataclass(frozen=True, slots=True)
class Cover:
    """What is put around a section: tube, sleeve, pipe, tape or none; in words; tape every so far. [m]"""

    kind: str
    says: str
    tape_m: float | None = None


def cover_of(job: Assessment, section: Section) -> Cover:
    """Return what is put around a section, from where it lies.

    Parameters
    ----------
    job : Assessment
    section : Section
    """
    path = job.plan.paths.get(section.path)
    zones = zones_of(job.plan, path) if path is not None else frozenset()
    if path is not None and path.conduit is True:
        return Cover("pipe", "lies in its pipe")
    if "moving" in zones:
        return Cover("sleeve", "braided sleeve over the moving part")
    bore = tube_for_mm(section.thick_mm)
    size = f"tube {bore:g}, split" if bore is not None else "tube, larger than 37"
    if zones & {"engine_bay", "hot"}:
        return Cover("tube", f"{size}, for heat; tape both ends")
    if zones & {"outside", "underfloor", "wet"}:
        return Cover("tube", f"{size}, drain holes down; seal both ends")
    if path is not None and path.hole is not None:
        return Cover("tube", f"{size}, through the hole; grommet")
    if len(section.wires) > 1:
        return Cover("tape", f"tape every {TAPE_M:g} m", TAPE_M)
    return Cover("none", "none: one wire")


__all__ = ["TAPE_M", "Cover", "cover_of"]
