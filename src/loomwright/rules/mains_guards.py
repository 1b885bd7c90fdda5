"""Rules on what guards people from the mains of the van: RCDs, poles, bonds, earths."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains.cases import is_bonded
from loomwright.assessment.mains.guards import Guarded, bonds_at, guarded_by, one_pole_gates, without_earth
from loomwright.source import Source
from loomwright.tables.mains_clauses import Clause, clause

from .finding import Finding, Severity
from .registry import Job, rule

#: Bodies with metal that has to be bonded.
METAL = ("steel", "aluminium", "mixed")
PEOPLE = Source(
    work="IEC 60364-7-721", place="721.411.1, 721.415.1, 721.43.1", checked="published, second hand"
)
_DUST = 1.0 + 1e-9
BONDS = Source(
    work="IEC 60364-7-721", place="721.411.3.1.2, with the area of national practice", checked="one source"
)
FLOATING = Source(
    work="IEC 60364-5-55",
    place="551.4: neutral and earth of a source on board meet at one place, before an RCD",
    checked="one source",
)
EARTH = Source(
    work="IEC 60364-7-721",
    place="721.411.1: a protective conductor with every circuit",
    checked="from memory",
)


def _names(job: Job, ids: tuple[str, ...]) -> str:
    names = [job.name(id) for id in ids]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


@rule(
    worst="danger",
    asks="Does an RCD of 30 mA guard every socket and appliance on hook-up?",
    why="Whoever touches something live draws far less than a breaker notices: only an RCD ends it in time.",
    source=PEOPLE,
)
def no_rcd(job: Job) -> Iterator[Finding]:
    most = clause("rcd_trip", job.assessment.plan.region)
    for inlet in job.assessment.mains.layout.inlets:
        groups: dict[tuple[str, Severity], list[Guarded]] = {}
        for one in guarded_by(job.assessment, inlet):
            grade = _grade(one, most)
            if grade is not None:
                groups.setdefault((one.box or inlet, grade), []).append(one)
        for (box, severity), ones in groups.items():
            yield _no_rcd(job, inlet, box, severity, ones, most)


def _grade(one: Guarded, most: Clause) -> Severity | None:
    """Return how grave it is that no RCD of so few milliamperes is on a way; None where one is.

    North America asks for it by receptacle, and where was not read: a fault there, elsewhere a danger.
    """
    if one.trips_a is not None and 1e3 * one.trips_a <= (most.limit or 0.0) * _DUST:
        return None
    if one.unknown and one.trips_a is None:
        return "watch"
    return "fault" if most.region == "na" else "danger"


def _no_rcd(job: Job, inlet: str, box: str, severity: Severity, ones: list[Guarded], most: Clause) -> Finding:
    outlets = tuple(one.outlet for one in ones)
    least = min((one.trips_a for one in ones if one.trips_a is not None), default=None)
    have = "has" if len(outlets) == 1 else "have"
    has = f"{have} no RCD on the way" if least is None else f"{have} an RCD of {1e3 * least:g} mA only"
    if severity == "watch":
        has = "may have no RCD on the way, the plan does not say"
    return Finding(
        rule="no_rcd",
        severity=severity,
        where=box,
        also=tuple(dict.fromkeys((inlet, *outlets))),
        place=job.place(box, *outlets),
        value=None if least is None else 1e3 * least,
        limit=most.limit,
        unit="mA",
        says=f"{_names(job, outlets)} {has}: what a person draws who touches something live goes on",
        do=f"Have a licensed person fit an RCD of {most.limit:g} mA that opens all live conductors at "
        f"{job.name(box)}; till then don't plug in",
        source=most.source,
        unknown=tuple(dict.fromkeys(name for one in ones for name in one.unknown)),
    )


@rule(
    worst="fault",
    asks="Do breakers and RCDs open line and neutral?",
    why="On a pitch with crossed poles a one-pole device opens the neutral: what is switched off stays live.",
    source=PEOPLE,
)
def breaker_opens_one_pole(job: Job) -> Iterator[Finding]:
    least = clause("poles", job.assessment.plan.region)
    if least.limit == 1.0:
        return
    for box, gates in one_pole_gates(job.assessment).items():
        one_pole = [gate for gate in gates if gate.poles == 1]
        ids = tuple(dict.fromkeys(gate.id for gate in one_pole or gates))
        says = "open one pole" if one_pole else "may open one pole: the plan does not say"
        yield Finding(
            rule="breaker_opens_one_pole",
            severity="fault" if one_pole else "watch",
            where=box,
            also=tuple(id for id in ids if id in job.assessment.wiring.parts),
            place=job.place(box),
            value=1.0 if one_pole else None,
            limit=least.limit,
            unit="poles",
            says=f"breakers and RCDs at {', '.join(ids)} {says}: on a reversed pitch the line stays on",
            do="Have a licensed person fit devices that open both poles",
            source=least.source,
        )


@rule(
    worst="fault",
    asks="Is the metal of the van bonded to the earth of the mains?",
    why="A chafed cable makes the shell live; without a bond nothing opens till a hand closes the circuit.",
    source=BONDS,
)
def shell_not_bonded(job: Job) -> Iterator[Finding]:
    if job.assessment.plan.vehicle.body not in METAL:
        return
    least = clause("bonding_area", job.assessment.plan.region)
    for inlet in job.assessment.mains.layout.inlets:
        if not job.assessment.mains.served(inlet):
            continue
        bonds = bonds_at(job.assessment, inlet)
        known = [one.area_mm2 for one in bonds if one.area_mm2 is not None]
        if bonds and (len(known) < len(bonds) or max(known) >= (least.limit or 0.0) - 1e-9):
            continue
        thickest = max(bonds, key=lambda one: one.area_mm2 or 0.0, default=None)
        yield Finding(
            rule="shell_not_bonded",
            severity="fault",
            where=inlet if thickest is None else thickest.run,
            also=() if thickest is None else (inlet,),
            place=job.place(inlet),
            value=None if thickest is None else thickest.area_mm2,
            limit=least.limit,
            unit="mm²",
            says=f"no conductor bonds the body to the earth of {job.name(inlet)}"
            if thickest is None
            else f"{thickest.area_mm2:g} mm² bonds the body; {least.limit:g} mm² is the least",
            do=f"Have a licensed person lead {least.limit:g} mm² or more, green and yellow, from the earth "
            "bar to a stud on the body",
            source=least.source,
        )


@rule(
    worst="fault",
    asks="Are metal pipes and taps bonded?",
    why="A cable that chafes on a loose pipe makes the tap live, and nothing opens till somebody turns it.",
    source=BONDS,
)
def pipes_not_bonded(job: Job) -> Iterator[Finding]:
    side = job.assessment.mains
    told = clause("bonding_reach", job.assessment.plan.region)
    for inlet in side.layout.inlets if side.layout.loose_pipes else ():
        if side.served(inlet):
            yield Finding(
                rule="pipes_not_bonded",
                severity="fault",
                where=inlet,
                place=job.place(inlet),
                says="metal pipes and taps are loose: no conductor bonds them to the body or the earth",
                do="Have a licensed person bond gas and water pipes of metal to the earth bar",
                source=told.source,
            )


@rule(
    worst="fault",
    asks="Can an RCD see a fault while the van makes its own mains?",
    why="With neutral free of earth a first fault opens nothing; a second one in another socket kills.",
    source=FLOATING,
)
def sockets_on_floating_mains(job: Job) -> Iterator[Finding]:
    side, wiring = job.assessment.mains, job.assessment.wiring
    most = clause("rcd_trip", job.assessment.plan.region)
    for id in side.layout.makers:
        part = wiring.parts[id]
        sockets = tuple(one for one in side.served(id) if wiring.parts[one].kind == "mains_socket")
        guarded = {one.outlet: one for one in guarded_by(job.assessment, id)}
        bare = tuple(one for one in sockets if _grade(guarded[one], most) is not None)
        bonded = is_bonded(part)
        if len(sockets) < 2 or (bonded and not bare):
            continue
        if part.neutral_bond in ("none", "disabled"):
            says = "floats: no RCD can see a first fault"
        elif not bonded:
            says = "may float or not, the plan does not say"
        else:
            says = f"is bonded, but no RCD of 30 mA guards {_names(job, bare)}"
        certain = bonded or part.neutral_bond in ("none", "disabled")
        yield Finding(
            rule="sockets_on_floating_mains",
            severity="fault" if certain else "watch",
            where=id,
            also=sockets,
            place=job.place(id, *sockets),
            says=f"{job.name(id)} feeds {len(sockets)} sockets, and its neutral {says}",
            do="Have a licensed person either leave one socket for one appliance, or bond neutral to earth "
            "at this one place with an RCD of 30 mA behind it",
            source=FLOATING,
            unknown=() if certain else (f"parts.{id}.neutral_bond",),
        )


@rule(
    worst="danger",
    asks="Has every mains cable its protective conductor?",
    why="A metal case without earth becomes live at the first fault, and nothing opens.",
    source=EARTH,
)
def mains_cable_without_earth(job: Job) -> Iterator[Finding]:
    for run, outlets in without_earth(job.assessment).items():
        yield Finding(
            rule="mains_cable_without_earth",
            severity="danger",
            where=run,
            also=outlets,
            place=job.place(run),
            value=2.0,
            limit=3.0,
            unit="cores",
            says=f"{run} has two cores: {_names(job, outlets)} has no earth",
            do="Have a licensed person lay a cable with line, neutral and protective conductor",
            source=EARTH,
        )
