"""Rules on what a fuse can break: the current of a short behind it, the volts before it, its very type."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.breaking import Breaks
from loomwright.assessment.sources import is_battery, states_inner_ohm
from loomwright.plan.values import Quantity
from loomwright.protection.fusing import volts_of
from loomwright.source import Source
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.tables.iso_8820 import BLADE, BOLTED_BREAKS_AT_BEST

from .finding import SEVERITIES, Finding, Severity
from .registry import Job, rule

BREAKING = Source(
    work="ABYC E-11",
    place="interrupting capacity above the short-circuit current, backed up or not",
    checked="published, second hand",
)
VOLTS = Source(work="ABYC E-11", place="volts of a fuse, at least those of the system", checked="from memory")
_GRAVITY = list(SEVERITIES)


@rule(
    worst="fault",
    asks="Can each fuse break the largest short behind it?",
    why="A fuse asked for more than it can break bursts or goes on in an arc; the cable then has none.",
    source=BREAKING,
)
def fuse_breaks_too_little(job: Job) -> Iterator[Finding]:
    worst: dict[str, tuple[Severity, Breaks]] = {}
    for one in job.assessment.faults.breaking:
        severity = _severity(one)
        if severity is None:
            continue
        where = _thing(one)
        known = worst.get(where)
        if known is None or _rank(severity, one) < _rank(*known):
            worst[where] = (severity, one)
    for where, (severity, one) in worst.items():
        yield _breaking(job, where, severity, one)


def _rank(severity: Severity, one: Breaks) -> tuple[int, float]:
    return _GRAVITY.index(severity), -one.asked_a


def _severity(one: Breaks) -> Severity | None:
    if one.holds:
        return None
    if one.backed_by or one.may_hold:
        return "note"
    surely = one.asked_a > BOLTED_BREAKS_AT_BEST or (one.can is not None and one.can.stated)
    return "fault" if surely else "watch"


def _untyped(job: Job) -> tuple[str, ...]:
    """Return the batteries' inner resistances that the plan leaves open."""
    wiring = job.assessment.wiring
    batteries = [id for id in wiring.parts if is_battery(wiring, id)]
    return tuple(f"parts.{id}.resistance" for id in batteries if not states_inner_ohm(wiring, id))


def _thing(one: Breaks) -> str:
    """Return what a finding is about: the outermost part that the fuse lies in, else its run."""
    return (one.box or one.owner).split("/")[0]


def _backing(job: Job, one: Breaks) -> str:
    """Return in words the fuses that break the current instead."""
    parts = job.assessment.wiring.parts
    named = (f"the main fuse of {id}" if id in parts else f"the fuse of {id}" for id in one.backed_by)
    return " and ".join(named)


def _breaking(job: Job, where: str, severity: Severity, one: Breaks) -> Finding:
    least, best = (one.can.least_a, one.can.best_a) if one.can is not None else (None, 0.0)
    breaks = f"breaks {least:,.0f} A" if least is not None else "breaks nobody knows how much"
    asked, volts = f"{one.asked_a:,.0f} A", f"{one.volts:.3g} V"
    says = f"a short may draw {asked} at {one.at}; the {one.says} there {breaks}"
    field = _field(job, one, "breaks")
    if one.backed_by:
        says, do = f"{says}; backed by {_backing(job, one)}", "keep the fuse before it as it is"
    elif one.may_hold:
        says = f"{says} at the least, the best of its type {best:,.0f} A"
        do = f"choose one whose sheet says {asked} or more, and write it at {field}"
    elif severity == "watch":
        says = f"{says}, and none before it breaks that"
        do = f"look for {asked} at {volts} on its sheet and write it at {field}, or use another type"
    else:
        says = f"{says}, and none before it breaks that"
        do = f"use a fuse that breaks {asked} at {volts}, or one before it that does"
    return Finding(
        rule="fuse_breaks_too_little",
        severity=severity,
        where=where,
        place=job.place(where),
        value=one.asked_a,
        limit=least,
        unit="A",
        says=says,
        do=do,
        source=BREAKING,
        unknown=_untyped(job),
    )


def _field(job: Job, one: Breaks, name: str) -> str:
    """Return the field of the plan where a figure of a fuse is written."""
    if one.owner in job.assessment.wiring.runs:
        return f"wiring.{one.owner}.fuse.{name}"
    return f"parts.{one.owner}.main_fuse.{name}"


@rule(
    worst="fault",
    asks="Is each fuse made for the volts it has to break?",
    why="Above its rated volts a fuse goes on in an arc when it opens.",
    source=VOLTS,
)
def fuse_volts_too_low(job: Job) -> Iterator[Finding]:
    for one in job.assessment.faults.breaking:
        typed = one.fuse.voltage
        finding = (
            _typed_volts(job, one, typed.high) if isinstance(typed, Quantity) else _usual_volts(job, one)
        )
        if finding is not None:
            yield finding


def _typed_volts(job: Job, one: Breaks, made_for: float) -> Finding | None:
    """Say that a fuse is made for less than it has to break; one for the system's volts is nearly enough."""
    if one.volts <= made_for:
        return None
    return Finding(
        rule="fuse_volts_too_low",
        severity="fault" if made_for < _system(one.volts) else "watch",
        where=one.owner,
        place=job.place(one.owner),
        value=one.volts,
        limit=made_for,
        unit="V",
        says=f"the {one.says} at {one.at} is made for {made_for:g} V and has to break {one.volts:.3g} V",
        do="use a fuse made for these volts",
        source=VOLTS,
    )


def _usual_volts(job: Job, one: Breaks) -> Finding | None:
    """Say that fuses of a type need not be made for the volts; the best of the type may be."""
    known = volts_of(one.kind or "unknown")
    if known is None or one.volts <= known[0].low:
        return None
    made_for, source = known
    return Finding(
        rule="fuse_volts_too_low",
        severity="watch" if one.volts <= made_for.high else "fault",
        where=one.owner,
        place=job.place(one.owner),
        value=one.volts,
        limit=made_for.low,
        unit="V",
        says=f"the {one.says} at {one.at} has to break {one.volts:.3g} V; of its type some are made for "
        f"{made_for.low:g} V only",
        do=f"find its volts on its sheet and write them at {_field(job, one, 'voltage')}",
        source=source,
    )


def _system(volts: float) -> float:
    """Return the nominal volts of a battery that rests at so many."""
    return 24.0 if volts > 18.0 else 12.0


@rule(
    worst="watch",
    asks="Is each fuse made in the type that the plan says?",
    why="A fuse of a type it is not made in is another fuse than thought: opening times and what it breaks "
    "are then not its own.",
    source=BLADE.ratings_source,
)
def fuse_not_made(job: Job) -> Iterator[Finding]:
    for one in job.assessment.faults.breaking:
        kind = FUSE_TYPES.get(one.kind or "")
        if kind is None or one.rating_a is None or kind.ratings_source != BLADE.ratings_source:
            continue
        in_range = kind.ratings_a[0] <= one.rating_a <= kind.ratings_a[-1]
        if one.rating_a in kind.ratings_a or (one.fuse.type is None and in_range):
            continue
        near = min(kind.ratings_a, key=lambda rating: abs(rating - (one.rating_a or 0.0)))
        yield Finding(
            rule="fuse_not_made",
            severity="watch",
            where=one.owner,
            place=job.place(one.owner),
            value=one.rating_a,
            limit=near,
            unit="A",
            says=f"no {one.says} is made (at {one.at}); the nearest is {near:g} A",
            do="look at the fuse, and write its rating and type as they stand on it",
            source=kind.ratings_source,
        )
