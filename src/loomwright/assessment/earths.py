"""The earth points: what lies on each stud in which order, what goes through it, how tight it is."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.tables.earth_points import TORQUE_NM

from .ends import label_of
from .record import Assessment, StudFigure


@dataclass(frozen=True, slots=True)
class Ring:
    """One ring on a stud: its wire and that one's label, area and lasting current. [mm², A]"""

    wire: str
    label: str
    area_mm2: float | None
    current_a: float


@dataclass(frozen=True, slots=True)
class EarthPoint:
    """One stud of the body: its rings from the metal outwards, and how tight, None if not known. [N·m]"""

    stud: StudFigure
    thread: str
    rings: tuple[Ring, ...]
    torque_nm: float | None
    factory: bool


def earth_points(job: Assessment) -> tuple[EarthPoint, ...]:
    """Return the studs of a plan in its order.

    The largest ring lies at the metal, of equal ones that with more current, so that as little as can be
    flows through other rings (common practice).
    """
    points = []
    for figure in job.studs.values():
        if figure.id in job.plan.studs:
            stud = job.plan.studs[figure.id]
            rings = sorted((_ring(job, *one) for one in figure.rings), key=_from_the_metal)
            torque = TORQUE_NM.get(stud.thread.upper().strip())
            points.append(EarthPoint(figure, stud.thread, tuple(rings), torque, stud.factory is True))
    return tuple(points)


def _ring(job: Assessment, wire: str, amps: float) -> Ring:
    figure = job.wires.get(wire)
    return Ring(wire, label_of(job, wire), None if figure is None else figure.area_mm2, abs(amps))


def _from_the_metal(ring: Ring) -> tuple[float, float, str]:
    return -(ring.area_mm2 or 0.0), -ring.current_a, ring.wire


__all__ = ["EarthPoint", "Ring", "earth_points"]
