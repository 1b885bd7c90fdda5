"""The earth-point table: stud, place, rings with their wires, sum of currents, volts in the contact."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.earths import EarthPoint, earth_points
from loomwright.assessment.record import StudFigure
from loomwright.documents.reasons.figures import quantity
from loomwright.documents.reasons.words import part_words
from loomwright.rules.check import Checked

from .marks import Mark, marks_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """The ring of one wire on a stud, with the lasting current of that wire."""

    wire: str
    of: str
    size: str
    current: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StudRow:
    """One stud as printed."""

    figure: StudFigure
    id: str
    place: str
    bolt: str
    torque: str
    rings: tuple[Ring, ...]
    current: str
    volts: str
    note: str
    marks: tuple[Mark, ...]


def stud_rows(checked: Checked) -> tuple[StudRow, ...]:
    """Return the studs of a plan in its order; the largest rings first, to lie at the metal."""
    return tuple(_row(checked, point) for point in earth_points(checked.assessment))


def _row(checked: Checked, point: EarthPoint) -> StudRow:
    stud = point.stud
    typed = checked.assessment.plan.studs[stud.id]
    surface = typed.surface if isinstance(typed.surface, str) else "surface not known"
    bolt = [typed.thread, surface, "sealed" if typed.sealed is True else "not sealed"]
    nm = point.torque_nm
    return StudRow(
        figure=stud,
        id=stud.id,
        place=stud.place.replace("_", " "),
        bolt=", ".join([*bolt, "factory"] if typed.factory is True else bolt),
        torque=f"about {nm:g}" if nm else "",
        rings=tuple(_ring(checked, ring.wire, ring.current_a) for ring in point.rings),
        current=quantity(abs(stud.current_a), "A"),
        volts=quantity(abs(stud.volts_v), "V"),
        note=typed.note or "",
        marks=marks_of(checked, stud.id),
    )


def _ring(checked: Checked, id: str, amps: float) -> Ring:
    job = checked.assessment
    wire = job.wires.get(id)
    if wire is None:
        return Ring(wire=id, of="", size="", current=quantity(abs(amps), "A"))
    own = [part for point in job.wiring.runs[wire.run].loads if (part := job.wiring.part_of(point))]
    others = own or [job.wiring.part_of(wire.from_) or wire.from_]
    area = "" if wire.area_mm2 is None else f"{wire.gauge or f'{wire.area_mm2:g} mm²'}"
    return Ring(
        wire=id,
        of=", ".join(part_words(job, load) for load in others),
        size=area,
        current=quantity(abs(amps), "A"),
    )
