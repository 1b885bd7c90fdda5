"""Rules on lost volts: running, starting, charging, dips at other loads, cut-outs, joints."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from loomwright.assessment.inputs import TYPED
from loomwright.assessment.loads import LONG_START_S
from loomwright.assessment.network import END_JOINTS
from loomwright.assessment.record import CircuitFigure, Dip, Ohm, PassageFigure
from loomwright.assessment.sensitivity import INSIDE
from loomwright.assessment.sources import states_inner_ohm
from loomwright.plan.values import Quantity
from loomwright.tables.limits import LIMIT_SETS, Limit

from .finding import SEVERITIES, Finding, Severity
from .registry import Job, rule

Circuits = Mapping[str, CircuitFigure]
Find = Callable[[Job, Circuits], Iterator[Finding]]


def _passed(limit: Limit, severity: str) -> float | None:
    return limit.fault if severity == "fault" else limit.watch


def _costliest(circuit: CircuitFigure, amps: float) -> str:
    """Return in words what takes most of a drop at these amperes."""
    by_owner: dict[str, float] = defaultdict(float)
    for share in circuit.shares:
        by_owner[share.ohm.owner] += share.volts
    if not by_owner:
        return ""
    owner = max(by_owner, key=lambda name: by_owner[name])
    volts = by_owner[owner] * (amps / circuit.running_a if circuit.running_a else 1.0)
    return f"{volts:.2f} V of it in {owner}"


def _drop_finding(
    job: Job, circuit: CircuitFigure, rule_name: str, limit: Limit, volts: float, amps: float, what: str
) -> Iterator[Finding]:
    scaled = limit.as_pct(circuit.system_v)
    percent = 100.0 * volts / circuit.system_v
    severity: Severity | None = scaled.level(percent)
    if severity is None:
        return
    most = _passed(scaled, severity) or 0.0
    yield Finding(
        rule=rule_name,
        severity=severity,
        where=circuit.wire,
        also=(circuit.load, circuit.id),
        place=job.place(circuit.wire, circuit.load),
        value=percent,
        limit=most,
        unit="%",
        says=f"{job.name(circuit.load)} {what} {volts:.2f} V ({percent:.1f} %) of {circuit.system_v:g} V at "
        f"{amps:.3g} A; limit {most:g} %; {_costliest(circuit, amps)}",
        do="use a larger cable or a shorter way; look at the joints and fuses on the way as well",
        source=scaled.source,
        unknown=circuit.unknown,
        beside=standards_beside(job.assessment.plan.basis.limit_set, rule_name),
    )


def standards_beside(limit_set: str, rule_name: str) -> tuple[str, ...]:
    """Return the limits of the standards that the plan does not name, with how far each is confirmed.

    Parameters
    ----------
    limit_set : str
        The set that the plan names.
    rule_name : str
        Name of a rule on drops.
    """
    texts = []
    for limits in LIMIT_SETS.values():
        limit = limits.charging_drop if rule_name == "charging_drop_too_large" else limits.drop
        own = limits.name == limit_set
        if rule_name == "start_drop_too_large" or own or limit.source.work == "common practice":
            continue
        unread = "; check against a licensed copy" if limit.source.checked == "from memory" else ""
        texts.append(f"{limit.source.work}: {limit.fault:g} {limit.unit} ({limit.source.checked}{unread})")
    return tuple(texts)


def _in_each_mode(job: Job, find: Find) -> Iterator[Finding]:
    """Give what is found at rest, and what a selector or change-over makes graver when it is moved."""
    told: dict[tuple[str, str], int] = {}
    for finding in find(job, job.assessment.circuits):
        key = finding.rule, finding.cause or finding.where
        told[key] = min(told.get(key, len(SEVERITIES)), finding.order()[0])
        yield finding
    for mode, circuits in job.assessment.moved.circuits.items():
        for finding in find(job, circuits):
            key = finding.rule, finding.cause or finding.where
            if finding.order()[0] < told.get(key, len(SEVERITIES)):
                told[key] = finding.order()[0]
                yield replace(finding, mode=mode, says=f"{finding.says} ({mode})")


@rule(
    worst="fault",
    asks="Does each load get its volts while it runs?",
    why="Lost volts make lamps dim, pumps slow and fridges stop early; what is lost heats wire and joints.",
)
def drop_too_large(job: Job) -> Iterator[Finding]:
    yield from _in_each_mode(job, _drops)


def _drops(job: Job, figures: Circuits) -> Iterator[Finding]:
    by_run: dict[str, list[CircuitFigure]] = defaultdict(list)
    for circuit in figures.values():
        if circuit.path == "ordinary" and circuit.drop_v is not None and circuit.running_a is not None:
            by_run[circuit.wire].append(circuit)
    for circuits in by_run.values():
        alone = [f for circuit in circuits for f in _running(job, circuit, circuit.drop_v or 0.0, "loses")]
        yield from alone
        if not alone and len(circuits) > 1:
            worst = max(circuits, key=lambda circuit: circuit.drop_run_v or 0.0)
            what = "with the other loads of its wire on loses"
            whole = _running(job, worst, worst.drop_run_v or 0.0, what)
            yield from (replace(finding, together=True) for finding in whole)


def _running(job: Job, circuit: CircuitFigure, volts: float, what: str) -> Iterator[Finding]:
    amps = circuit.running_a or 0.0
    yield from _drop_finding(job, circuit, "drop_too_large", job.limits.drop, volts, amps, what)


@rule(
    worst="fault",
    asks="Does each charging path keep its volts?",
    why="A charger that sees too few volts draws more or stops; a battery behind thin wire never fills.",
)
def charging_drop_too_large(job: Job) -> Iterator[Finding]:
    for circuit in job.assessment.circuits.values():
        if circuit.path != "charging" or circuit.drop_v is None or not circuit.running_a:
            continue
        yield from _drop_finding(
            job,
            circuit,
            "charging_drop_too_large",
            job.limits.charging_drop,
            circuit.drop_v,
            circuit.running_a,
            f"(charging path from {job.name(circuit.feeder)}) loses",
        )


@rule(
    worst="fault",
    asks="Is the charger's own least input kept?",
    why="Below its least input a charger switches off, and on again when the load is gone: it never charges.",
)
def charger_input_too_low(job: Job) -> Iterator[Finding]:
    for circuit in job.assessment.circuits.values():
        part = job.assessment.wiring.parts.get(circuit.load)
        if (
            part is None
            or part.kind != "b2b"
            or not isinstance(part.input_min, Quantity)
            or circuit.load_v is None
        ):
            continue
        if circuit.path == "charging" and circuit.load_v < part.input_min.high:
            yield Finding(
                rule="charger_input_too_low",
                severity="fault",
                where=circuit.wire,
                also=(circuit.load,),
                place=job.place(circuit.wire),
                value=circuit.load_v,
                limit=part.input_min.high,
                unit="V",
                says=f"{job.name(circuit.load)} gets {circuit.load_v:.2f} V, needs {part.input_min.high:g} V",
                do="use a larger cable or fewer joints on the way to the charger",
                source=TYPED,
                unknown=circuit.unknown,
            )


@rule(
    worst="fault",
    asks="Does each load get its volts while it starts?",
    why="A motor that starts on too few volts stalls and draws its start current for long.",
)
def start_drop_too_large(job: Job) -> Iterator[Finding]:
    yield from _in_each_mode(job, _start_drops)


def _start_drops(job: Job, figures: Circuits) -> Iterator[Finding]:
    for circuit in figures.values():
        if circuit.path != "ordinary" or circuit.start_drop_v is None or circuit.start_a is None:
            continue
        long = (circuit.start_s or 0.0) > LONG_START_S
        limit = job.limits.drop if long else job.limits.start_drop
        what = "loses in its long start" if long else "loses at its start"
        yield from _drop_finding(
            job, circuit, "start_drop_too_large", limit, circuit.start_drop_v, circuit.start_a, what
        )


@rule(
    worst="fault",
    asks="Does each load stay above its own cut-out?",
    why="A fridge that falls to its cut-out stops, recovers and tries again until the battery is flat.",
)
def load_near_cut_out(job: Job) -> Iterator[Finding]:
    yield from _in_each_mode(job, _near_cut_out)


def _near_cut_out(job: Job, figures: Circuits) -> Iterator[Finding]:
    for circuit in figures.values():
        part = job.assessment.wiring.parts.get(circuit.load)
        limit = part.cut_out.volts if part is not None and part.cut_out is not None else None
        if circuit.path != "ordinary" or not isinstance(limit, Quantity):
            continue
        for volts, when in ((circuit.load_v, "running"), (circuit.start_load_v, "at its start")):
            if volts is None:
                continue
            margin = volts - limit.high
            severity: Severity | None = job.limits.cut_out_margin.level(margin)
            if when == "at its start" and severity == "watch":
                severity = None  # the watch is for the state that lasts
            if severity is not None:
                yield Finding(
                    rule="load_near_cut_out",
                    severity=severity,
                    where=circuit.wire,
                    also=(circuit.load,),
                    place=job.place(circuit.wire, circuit.load),
                    value=volts,
                    limit=limit.high,
                    unit="V",
                    says=f"{job.name(circuit.load)} gets {volts:.2f} V {when}, cuts out at {limit.high:g} V",
                    do="use a larger cable or a shorter way",
                    source=job.limits.cut_out_margin.source,
                    unknown=circuit.unknown,
                )
                break


@rule(
    worst="fault",
    asks="Does one load's start leave the others their volts?",
    why="Loads that share a thin feed or earth blink and reset when the pump starts.",
)
def dip_at_other_load(job: Job) -> Iterator[Finding]:
    yield from _in_each_mode(job, _dips)


def _dips(job: Job, figures: Circuits) -> Iterator[Finding]:
    limit = job.limits.dip
    felt: dict[str, list[tuple[CircuitFigure, Dip]]] = defaultdict(list)
    for circuit in figures.values():
        for dip in circuit.dips:
            if limit.level(dip.dip_v) is not None:
                felt[dip.by_start_of].append((circuit, dip))
    for starter, pairs in felt.items():
        grades: dict[Severity, list[tuple[CircuitFigure, Dip]]] = defaultdict(list)
        for circuit, dip in pairs:
            grades[limit.level(dip.dip_v) or "watch"].append((circuit, dip))
        for severity, group in grades.items():
            circuit, dip = max(group, key=lambda pair: (_shows(job, pair[1].load), pair[1].dip_v))
            others = tuple(one.load for one, _ in group if one is not circuit)
            shared = dip.shares[0].ohm if dip.shares else None
            common = f"; most of it in {shared.owner} ({1000 * dip.shares[0].volts:.0f} mV)" if shared else ""
            yield Finding(
                rule="dip_at_other_load",
                severity=severity,
                where=dip.load,
                also=(*others, circuit.wire, starter),
                place=job.place(circuit.wire, dip.load),
                value=dip.dip_v,
                limit=_passed(limit, severity),
                unit="V",
                says=f"{job.name(dip.load)} {'and others dip' if others else 'dips'} by {dip.dip_v:.2f} V "
                f"when {job.name(starter)} starts{common}",
                do=f"give {job.name(starter)} a feed or return of its own from where they part",
                source=limit.source,
                unknown=(*_guessed_inside(job, dip), *circuit.unknown),
                cause=starter,
            )


def _guessed_inside(job: Job, dip: Dip) -> Iterator[str]:
    """Give the resistances inside batteries that the plan does not state and that take part in a dip."""
    for share in dip.shares:
        if share.ohm.what == INSIDE and not states_inner_ohm(job.assessment.wiring, share.ohm.owner):
            yield f"parts.{share.ohm.owner}.resistance"


def _shows(job: Job, load: str) -> bool:
    """True for a lamp or strip: there a dip is seen first."""
    return job.assessment.wiring.owner(load).kind in ("lamp", "strip")


@rule(
    worst="note",
    asks="What do loads get with everything on?",
    why="A circuit that is sound alone may lose too much where a feed or earth is shared.",
)
def drop_together(job: Job) -> Iterator[Finding]:
    worst: dict[str, CircuitFigure] = {}
    for circuit in job.assessment.circuits.values():
        if circuit.path == "ordinary" and circuit.drop_together_v is not None:
            other = worst.get(circuit.wire)
            if other is None or circuit.drop_together_v > (other.drop_together_v or 0.0):
                worst[circuit.wire] = circuit
    for circuit in worst.values():
        scaled = job.limits.drop.as_pct(circuit.system_v)
        percent = 100.0 * (circuit.drop_together_v or 0.0) / circuit.system_v
        if scaled.level(percent) != "fault" or scaled.level(circuit.drop_pct or 0.0) == "fault":
            continue
        shared = f"; {circuit.worst_shared} costs most of what is shared" if circuit.worst_shared else ""
        yield Finding(
            rule="drop_together",
            severity="note",
            where=circuit.wire,
            also=(circuit.load,),
            place=job.place(circuit.wire),
            value=percent,
            limit=scaled.fault,
            unit="%",
            says=f"with everything on {job.name(circuit.load)} loses {circuit.drop_together_v:.2f} V "
            f"({percent:.1f} %){shared}",
            do="for information",
            source=scaled.source,
            unknown=circuit.unknown,
        )


@rule(
    worst="fault",
    asks="Does each crimp, pin and stud stay cool?",
    why="Volts lost in one joint are heat in one spot; heat loosens it further.",
)
def joint_loses_too_much(job: Job) -> Iterator[Finding]:
    limit = job.limits.joint
    spots: list[tuple[str, str, float, Sequence[Ohm | PassageFigure]]] = [
        (wire.id, "a crimp or lug", wire.joint_v, [ohm for ohm in wire.ohms if ohm.what in END_JOINTS])
        for wire in job.assessment.wires.values()
    ]
    for stud in job.assessment.studs.values():
        spots.append((stud.id, "the contact of the stud", stud.volts_v, [stud.ohm] if stud.ohm else []))
    spots += [(one.part, one.what, one.volts_v, [one]) for one in job.assessment.passages]
    for where, what, volts, guessed in spots:
        severity: Severity | None = limit.level(volts)
        if severity is not None:
            yield Finding(
                rule="joint_loses_too_much",
                severity=severity,
                where=where,
                place=job.place(where),
                value=volts,
                limit=_passed(limit, severity),
                unit="V",
                says=f"{what} of {where} loses {volts:.2f} V at its lasting current",
                do="make the joint again with the right lug and tool, or share the current over more studs",
                source=limit.source,
                unknown=tuple(one.unknown for one in guessed if one.unknown),
            )
