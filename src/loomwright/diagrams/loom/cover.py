"""What is put around a section of a loom, as `assessment.covers` has it."""

from __future__ import annotations

from loomwright.assessment.covers import TAPE_M, Cover, cover_in
from loomwright.assessment.record import Assessment
from loomwright.loom.tree import Section


def cover_of(job: Assessment, section: Section) -> Cover:
    """Return what is put around a section, from where it lies."""
    return cover_in(job, section.path, section.thick_mm, len(section.wires))


__all__ = ["TAPE_M", "Cover", "cover_of"]
