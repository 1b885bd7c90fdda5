"""A plus cable that touches the metal case it ends in: whether the wire from that case outlasts the fuse."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .record import Assessment, FuseFigure, WireFigure
from .withstand import Withstand, withstand


@dataclass(frozen=True, slots=True)
class CaseBond:
    """A wire from a case that does not outlast the fuse of the plus cable.

    Attributes
    ----------
    part, feed : str
        Whose case, and the plus cable.
    wire : WireFigure
        The wire from the case.
    fuse : FuseFigure
        Of the plus cable.
    stands : Withstand
        At the largest current through it: battery full, copper cold.
    """

    part: str
    feed: str
    wire: WireFigure
    fuse: FuseFigure
    stands: Withstand


def burning_case_bonds(job: Assessment) -> Iterator[CaseBond]:
    """Give the wires from cases that burn before the fuse of the plus cable opens.

    A cable without any fuse is found by itself, and where several wires leave a case none is judged alone.
    """
    for piece, end in job.faults.largest.cases.items():
        feed = job.wires[piece]
        fuse = next(iter(feed.fuses), feed.upstream_fuse)
        own = job.wiring.by_point[end.minus]
        if fuse is None or len(own) != 1 or own[0].id not in job.wires:
            continue
        wire = job.wires[own[0].id]
        stands = withstand(wire, fuse, end.amps)
        if stands is not None and stands.harmed:
            yield CaseBond(job.wiring.part_of(end.minus) or "", piece, wire, fuse, stands)


__all__ = ["CaseBond", "burning_case_bonds"]
