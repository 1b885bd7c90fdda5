"""Rules on starts: no fuse and no low-voltage cut opens while a motor starts."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.cutting import CutAtStart, cuts_at_start, says_wait
from loomwright.assessment.starting import StartThrough, starts_behind_converters, starts_through
from loomwright.source import Source

from .finding import Finding, Severity
from .registry import Job, rule

GATES = Source(
    work="ISO 8820", place="opening times of vehicle fuses, shortest and longest", checked="one source"
)

OUTWAITS = Source(
    work="common practice",
    place="a low-voltage cut waits longer than any start before it opens",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Does each fuse outlast the starts behind it?",
    why="A motor starts on several times its current; a fuse that opens then is soon made too large.",
    source=GATES,
)
def fuse_opens_at_start(job: Job) -> Iterator[Finding]:
    worst: dict[tuple[str, str], StartThrough] = {}
    for one in starts_through(job.assessment):
        key = (one.wire.run, one.fuse.at)
        if key not in worst or worst[key].opens.low / worst[key].seconds > one.opens.low / one.seconds:
            worst[key] = one
    for one in worst.values():
        severity: Severity | None = None
        if one.seconds >= one.opens.low:
            severity = "fault" if one.seconds >= one.opens.high else "watch"
        if severity is not None:
            yield _opens(job, severity, one)


def _opens(job: Job, severity: Severity, one: StartThrough) -> Finding:
    limit = one.opens.high if severity == "fault" else one.opens.low
    how = "opens within" if severity == "fault" else "may open after"
    return Finding(
        rule="fuse_opens_at_start",
        severity=severity,
        where=one.wire.run,
        also=(one.load, one.wire.id),
        place=job.place(one.wire.id),
        value=one.seconds,
        limit=limit,
        unit="s",
        says=f"{job.name(one.load)} starts with {one.amps:.3g} A through the {one.fuse.rating_a:g} A fuse at "
        f"{one.fuse.at} for {one.seconds:.3g} s; such a fuse {how} {limit:.2g} s",
        do="use the next larger fuse that the cable still holds, or a slower type",
        source=GATES,
    )


@rule(
    worst="fault",
    asks="Does each low-voltage cut outwait the starts?",
    why="A cut that opens in the dip of a start puts out the lights each time the pump runs up.",
    source=OUTWAITS,
)
def cut_opens_at_start(job: Job) -> Iterator[Finding]:
    worst: dict[str, CutAtStart] = {}
    for one in cuts_at_start(job.assessment):
        known = worst.get(one.cut)
        if known is None or (not one.alone, one.volts) < (not known.alone, known.volts):
            worst[one.cut] = one
    for one in worst.values():
        stated = says_wait(job.assessment.wiring.parts[one.cut])
        with_all = "" if one.alone else " with everything else on"
        waits = f" and waits {one.waits_s:g} s" if stated else "; nobody says how long it waits"
        yield Finding(
            rule="cut_opens_at_start",
            severity="fault" if one.alone and stated else "watch",
            where=one.cut,
            also=(one.load,),
            place=job.place(one.cut),
            value=one.volts,
            limit=one.threshold_v,
            unit="V",
            says=f"{job.name(one.load)} starts with {one.amps:.3g} A for {one.seconds:.2g} s{with_all}: "
            f"{job.name(one.cut)} sees {one.volts:.2f} V, opens below {one.threshold_v:g} V{waits}",
            do="set it to wait longer than the start, or to open at fewer volts",
            source=OUTWAITS,
            unknown=one.unknown,
        )


@rule(
    worst="fault",
    asks="Does each converter hold the starts behind it?",
    why="Past its limit a converter folds back: the motor stalls, and everything behind it flickers.",
)
def converter_folds_back(job: Job) -> Iterator[Finding]:
    limit = job.limits.load_over_rating
    for one in starts_behind_converters(job.assessment):
        alone = limit.level(one.alone_a / one.most_a)
        if alone is None and (
            limit.level(one.running_a / one.most_a) or not limit.level(one.amps / one.most_a)
        ):
            continue  # what is too much while running is said by another rule
        amps = one.alone_a if alone else one.amps
        yield Finding(
            rule="converter_folds_back",
            severity="fault" if alone else "watch",
            where=one.converter,
            also=(one.load,),
            place=job.place(one.converter),
            value=amps,
            limit=one.most_a,
            unit="A",
            says=f"{job.name(one.load)} starts{'' if alone else ' with all else on'}: {amps:.3g} A for "
            f"{one.seconds:.2g} s; {job.name(one.converter)} folds back at {one.most_a:.3g} A",
            do="use a larger converter, or feed the load another way",
            source=limit.source,
        )
