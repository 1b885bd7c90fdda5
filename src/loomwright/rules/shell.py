"""Rules on the body as a way back: over hinges, a mixed shell, from the case of an inverter."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.case_bonds import CaseBond, burning_case_bonds
from loomwright.assessment.shell import ByShell, on_mixed_shell, over_moving_parts
from loomwright.source import Source

from .finding import Finding, Severity
from .registry import Job, rule

HINGE = Source(
    work="common practice",
    place="doors, rising roofs and slides return by a wire of their own",
    checked="common practice",
)
MIXED_SHELL = Source(
    work="common practice",
    place="panels of plastic, wood or glued aluminium are no way back",
    checked="from memory",
)
CASE = Source(
    work="IEC 60364-5-54",
    place="543.1: a protective conductor outlasts the fault, S²k² ≥ I²t",
    checked="published, second hand",
)


@rule(
    worst="fault",
    asks="Does any current come back over a hinge?",
    why="Hinges and runners are greased and painted: they carry a current by chance, and wear.",
    source=HINGE,
)
def return_over_moving_part(job: Job) -> Iterator[Finding]:
    told: set[tuple[str, str]] = set()
    for one in over_moving_parts(job.assessment.wiring):
        if (one.run, one.stud) in told:
            continue
        told.add((one.run, one.stud))
        severity: Severity = "fault" if one.stud and one.why == "moving" else "watch"
        yield Finding(
            rule="return_over_moving_part",
            severity=severity,
            where=one.run,
            also=(one.stud,) if one.stud else (),
            place=one.place,
            cause=one.stud,
            says=_says(one),
            do="bring it back by a wire of its own to a stud or bar on the fixed side",
            source=HINGE,
        )


def _says(one: ByShell) -> str:
    if one.why == "roof":
        at = f"{one.stud or 'the bare body'} at {one.place}"
        return f"{one.wire} ends on {at}, higher than the load space of a van whose roof rises"
    if one.stud:
        return f"{one.wire} ends on stud {one.stud} at {one.place}, which moves: it comes back over hinges"
    return f"{one.wire} goes to the bare body at {one.place}, which moves; nobody says on which side of it"


@rule(
    worst="watch",
    asks="Does the body join the studs of a van of several materials?",
    why="Between two metal panels with plastic or glue between them no current comes back.",
    source=MIXED_SHELL,
)
def return_by_mixed_shell(job: Job) -> Iterator[Finding]:
    found = on_mixed_shell(job.assessment.wiring)
    if found:
        first, *others = found
        yield Finding(
            rule="return_by_mixed_shell",
            severity="watch",
            where=first,
            also=tuple(others),
            place=job.place(*found),
            says=f"the body is of several materials, and nobody says whether it joins {' and '.join(found)}",
            do="measure the ohms between them and write them at body_to of a stud, or return by wire",
            source=MIXED_SHELL,
        )


@rule(
    worst="danger",
    asks="Does the wire from a metal case outlast the fuse of its plus cable?",
    why="A plus cable that chafes through on the case drives the whole short through that wire: it burns.",
    source=CASE,
)
def case_bond_burns(job: Job) -> Iterator[Finding]:
    for one in burning_case_bonds(job.assessment):
        yield Finding(
            rule="case_bond_burns",
            severity="danger",
            where=one.part,
            also=(one.wire.run,),
            place=job.place(one.part),
            value=one.stands.amps,
            unit="A",
            says=_case_says(job, one),
            do=f"lay a wire that outlasts the {one.fuse.rating_a:g} A fuse, as thick as the plus cable",
            source=CASE,
        )


def _case_says(job: Job, one: CaseBond) -> str:
    opens = f"takes {one.stands.opens_s:.2g} s" if math.isfinite(one.stands.opens_s) else "need not open"
    return (
        f"plus on the case of {job.name(one.part)} drives up to {one.stands.amps:.3g} A through "
        f"{one.wire.run} ({one.wire.area_mm2:g} mm²): it stands {one.stands.survives_s:.2g} s, the "
        f"{one.fuse.rating_a:g} A fuse {opens}"
    )
