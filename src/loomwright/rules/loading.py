"""Rules on lasting currents: cable, fuse, contact, converter, stud."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from loomwright.assessment.record import FuseFigure, WireFigure
from loomwright.assessment.withstand import Withstand, withstand
from loomwright.tables.limits import Limit

from .finding import Finding, Severity
from .registry import Job, rule


def _by_run(job: Job) -> dict[str, list[WireFigure]]:
    """Return the judged wires of each run: not the mains side, not inside a box, not the maker's own."""
    runs: dict[str, list[WireFigure]] = defaultdict(list)
    for wire in job.assessment.wires.values():
        if not wire.mains and not wire.inner and not wire.factory and wire.length_m != 0.0:
            runs[wire.run].append(wire)
    return runs


def _others(wires: list[WireFigure], chief: WireFigure) -> tuple[str, ...]:
    return tuple(wire.id for wire in wires if wire is not chief)


def _conditions(wire: WireFigure) -> str:
    size, air = wire.gauge or f"{wire.area_mm2:g} mm²", f"{wire.ambient_c:g} °C"
    if wire.engine_space and wire.rating_steps:
        _, _, factor_of_air, _ = wire.rating_steps
        air = factor_of_air.says
    return f"{size} {wire.insulation}, {air}, {wire.bundled} loaded together"


@rule(
    worst="fault",
    asks="Does each cable carry its lasting current?",
    why="A cable loaded above its derated current ages its insulation, at worst until it softens and shorts.",
)
def cable_overloaded(job: Job) -> Iterator[Finding]:
    limit = job.limits.load_over_rating
    for wires in _by_run(job).values():
        loaded = [w for w in wires if w.rating_a is not None and w.current_a]
        if not loaded:
            continue
        worst = max(loaded, key=lambda w: round((w.current_a or 0.0) / max(w.rating_a or 0.0, 1e-9), 6))
        current, rating = worst.current_a or 0.0, worst.rating_a or 0.0
        severity: Severity | None = limit.level(current / max(rating, 1e-9))
        if severity is not None:
            yield Finding(
                rule="cable_overloaded",
                severity=severity,
                where=worst.run,
                also=_others(loaded, worst),
                place=job.place(worst.id),
                value=current,
                limit=rating,
                unit="A",
                says=f"{worst.id} carries {current:.3g} A for good, it is good for {rating:.3g} A "
                f"({_conditions(worst)})",
                do="use a larger cable, heat-resistant insulation or a cooler way",
                source=limit.source,
                unknown=_unknown(job, worst),
            )


def _unknown(job: Job, wire: WireFigure) -> tuple[str, ...]:
    names = list(wire.unknown)
    for circuit in job.assessment.circuits.values():
        if circuit.wire == wire.run:
            names += [name for name in circuit.unknown if name.startswith("parts.")]
    return tuple(dict.fromkeys(names))


@rule(
    worst="danger",
    asks="Does each fuse open before its cable overheats?",
    why="A cable carrying more than it can shed heats its insulation while the fuse stays whole; where it "
    "does not outlast a short until the fuse has opened, it burns.",
)
def fuse_above_cable_rating(job: Job) -> Iterator[Finding]:
    limit = job.limits.fuse_over_cable
    for wires in _by_run(job).values():
        rated = [wire for wire in wires if wire.rating_a is not None]
        if not rated:
            continue
        weakest = min(rated, key=lambda wire: wire.rating_a or 0.0)
        rating = weakest.rating_a or 0.0
        for fuse in _fuses(wires):
            if fuse.rating_a is None:
                continue
            severity: Severity | None = limit.level(fuse.rating_a / max(rating, 1e-9))
            if severity is not None:
                burns = _burns(job, wires, fuse) if severity == "fault" else None
                yield Finding(
                    rule="fuse_above_cable_rating",
                    severity="danger" if burns is not None else severity,
                    where=weakest.run,
                    also=_others(rated, weakest),
                    place=job.place(weakest.id),
                    value=fuse.rating_a,
                    limit=rating,
                    unit="A",
                    says=f"{fuse.rating_a:g} A fuse at {fuse.at} on a cable good for {rating:.3g} A "
                    f"({_conditions(weakest)}){_in_a_short(burns)}",
                    do=_smaller(fuse),
                    source=limit.source,
                    unknown=weakest.unknown,
                )


def _burns(job: Job, wires: list[WireFigure], fuse: FuseFigure) -> Withstand | None:
    """Return what the smallest short at the far end does to a wire of a run that does not outlast it."""
    found = [
        stands
        for wire in wires
        if wire.rating_a is not None
        and job.limits.fuse_over_cable.level((fuse.rating_a or 0.0) / max(wire.rating_a, 1e-9)) == "fault"
        and (stands := withstand(wire, fuse, _far_short_a(job, wires, wire, fuse))) is not None
        and stands.harmed
    ]
    return min(found, key=lambda stands: stands.survives_s, default=None)


def _far_short_a(job: Job, wires: list[WireFigure], wire: WireFigure, fuse: FuseFigure) -> float:
    """Return what the smallest short at the end of a wire away from its fuse draws through that fuse. [A]

    A return, and a wire that has no short of its own there, counts with the smallest of its run.
    """
    ends = job.assessment.faults.smallest.ends
    far = "a" if any(fuse in one.fuses and fuse.at == one.to for one in wires) else "b"
    own = [wire] if (wire.id, far) in ends else wires
    shorts = [ends[one.id, far] for one in own if (one.id, far) in ends]
    return min((short.amps - short.here_a for short in shorts), default=0.0)


def _in_a_short(burns: Withstand | None) -> str:
    if burns is None:
        return ""
    opens = "need not open" if math.isinf(burns.opens_s) else f"may take {burns.opens_s:.2g} s to open"
    return f"; in a short ({burns.amps:.3g} A) the fuse {opens}, the cable stands " + (
        f"{burns.survives_s:.2g} s"
    )


def _smaller(fuse: FuseFigure) -> str:
    """Return the next step: the largest fuse that the cable allows, if any carries the load."""
    if fuse.largest_safe_a is None:
        return "use a larger cable or a cooler way; no fuse that carries the load guards this one"
    return f"fit {fuse.largest_safe_a:g} A or less, or use a larger cable"


def _fuses(wires: list[WireFigure]) -> Iterator[FuseFigure]:
    """Give the fuses of a run; one without any is guarded by the nearest fuse before it."""
    own = [fuse for wire in wires for fuse in wire.fuses]
    if own:
        yield from own
    else:
        upstream = next((wire.upstream_fuse for wire in wires if wire.upstream_fuse is not None), None)
        if upstream is not None:
            yield upstream


@rule(
    worst="fault",
    asks="Does each fuse carry its lasting current?",
    why="A fuse filled beyond four fifths runs hot, ages and opens on a warm day.",
)
def fuse_overloaded(job: Job) -> Iterator[Finding]:
    limit = job.limits.load_over_fuse
    for box, fuse in job.assessment.main_fuses.items():
        yield from _overloaded(job, limit, fuse, box, (), ())
    for wire in job.assessment.wires.values():
        if wire.mains or wire.factory:
            continue
        others = () if wire.id == wire.run else (wire.id,)
        for fuse in wire.fuses:
            yield from _overloaded(job, limit, fuse, wire.run, others, _unknown(job, wire))


def _overloaded(
    job: Job, limit: Limit, fuse: FuseFigure, where: str, also: tuple[str, ...], unknown: tuple[str, ...]
) -> Iterator[Finding]:
    if fuse.rating_a is None or fuse.lasting_a is None:
        return
    severity: Severity | None = limit.level(fuse.lasting_a / fuse.rating_a)
    if severity is not None:
        share = 100.0 * fuse.lasting_a / fuse.rating_a
        most = (limit.fault if severity == "fault" else limit.watch) or 0.0
        yield Finding(
            rule="fuse_overloaded",
            severity=severity,
            where=where,
            also=also,
            place=job.place(where, *also),
            value=share,
            limit=100.0 * most,
            unit="%",
            says=f"{fuse.lasting_a:.3g} A lasts through the {fuse.rating_a:g} A fuse at {fuse.at} "
            f"({share:.0f} %)",
            do="fit the next larger fuse if the cable allows it, or share the loads out",
            source=limit.source,
            unknown=unknown,
        )


@rule(
    worst="watch",
    asks="Is the rating of each fuse known?",
    why="A fuse of unknown rating may guard nothing.",
)
def fuse_rating_unknown(job: Job) -> Iterator[Finding]:
    for wire in job.assessment.wires.values():
        if wire.mains or wire.factory:
            continue
        if any(fuse.unknown for fuse in wire.fuses):
            cable = "" if wire.rating_a is None else f"; its cable is good for {wire.rating_a:.3g} A"
            yield Finding(
                rule="fuse_rating_unknown",
                severity="watch",
                where=wire.run,
                place=job.place(wire.id),
                value=None,
                limit=wire.rating_a,
                unit="A",
                says=f"the fuse of {wire.run} is not known{cable}",
                do=f"look at the fuse and write its rating at wiring.{wire.run}.fuse",
                source=job.limits.fuse_over_cable.source,
                unknown=(f"wiring.{wire.run}.fuse",),
            )


@rule(
    worst="watch",
    asks="Is the size of each cable known?",
    why="What a cable of unknown size carries, and which fuse guards it, nobody can say.",
)
def size_unknown(job: Job) -> Iterator[Finding]:
    if job.assessment.plan.basis.cable_rating == "maker":
        yield Finding(
            rule="size_unknown",
            severity="watch",
            where="basis",
            says="cables are rated by makers' figures, and the plan has no field for those: none is judged",
            do="name a table at basis.cable_rating",
            source=job.limits.load_over_rating.source,
        )
        return
    for wires in _by_run(job).values():
        beyond = next((w for w in wires if w.area_mm2 is not None and w.rating_a is None), None)
        if beyond is not None:
            yield Finding(
                rule="size_unknown",
                severity="watch",
                where=beyond.run,
                place=job.place(beyond.id),
                says=f"{beyond.rating_basis} holds no {beyond.gauge or f'{beyond.area_mm2:g} mm²'} with "
                f"{beyond.insulation}: what {beyond.run} carries is not judged",
                do="use a listed size, or another table at basis.cable_rating",
                source=job.limits.load_over_rating.source,
            )
        fields = [name for wire in wires for name in wire.unknown if name.endswith(".area")]
        if fields:
            yield Finding(
                rule="size_unknown",
                severity="watch",
                where=wires[0].run,
                place=job.place(wires[0].id),
                says=f"the size of {wires[0].run} is not known: nothing is judged of what it carries",
                do=f"measure it and write it at {fields[0]}",
                source=job.limits.load_over_rating.source,
                unknown=tuple(dict.fromkeys(fields)),
            )


@rule(
    worst="fault",
    asks="Does each contact, pin, output, bar and converter carry what flows through it?",
    why="An overloaded contact burns; an overloaded converter folds back and everything behind it flickers.",
)
def passage_overloaded(job: Job) -> Iterator[Finding]:
    limit = job.limits.load_over_rating
    for one in job.assessment.passages:
        severity: Severity | None = limit.level(one.current_a / one.rating_a)
        if severity is not None:
            yield Finding(
                rule="passage_overloaded",
                severity=severity,
                where=one.part,
                place=job.place(one.part),
                value=one.current_a,
                limit=one.rating_a,
                unit="A",
                says=f"{job.name(one.part)} ({one.what}) carries {one.current_a:.3g} A with everything on, "
                f"it is made for {one.rating_a:.3g} A",
                do="use a larger one, or feed part of the loads another way",
                source=limit.source,
            )


@rule(
    worst="watch",
    asks="How many rings lie on each stud?",
    why="Rings stacked high work loose, and one screw then holds everybody's earth.",
)
def too_many_rings_on_stud(job: Job) -> Iterator[Finding]:
    limit = job.limits.stud_lugs
    for stud in job.assessment.studs.values():
        severity: Severity | None = limit.level(stud.lugs)
        if severity is not None:
            yield Finding(
                rule="too_many_rings_on_stud",
                severity=severity,
                where=stud.id,
                place=stud.place,
                value=float(stud.lugs),
                limit=limit.watch,
                unit="",
                says=f"{stud.lugs} rings on stud {stud.id}",
                do="set a second stud and share the rings out",
                source=limit.source,
            )
