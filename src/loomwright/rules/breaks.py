"""Rules on what years do: returns that come loose, and joints that wear."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.worn import Joint
from loomwright.assessment.worn_together import WornCircuit, worn_together
from loomwright.source import Source
from loomwright.tables.contacts import CONTACT_SOURCE

from .finding import Finding
from .registry import Job, rule

BONDS = Source(
    work="ABYC E-11",
    place="what bonds cases to minus: hardly smaller than the cable that it may stand in for",
    checked="from memory",
)
#: So many things that may come loose are named, and so many circuits that wear.
NAMED = 3
#: When a verdict is on.
_WHEN = {"drop": "", "cut_out": "", "start_drop": " at its start", "charging_drop": " on charge"}


@rule(
    worst="watch",
    asks="Does no loose return send its current through a thin wire?",
    why="A minus that comes loose need not stop anything: its current takes another way, unseen and unfused.",
    source=BONDS,
)
def broken_return_overloads(job: Job) -> Iterator[Finding]:
    for one in job.assessment.breaks.overloads:
        if job.limits.load_over_rating.level(one.amps_a / one.rating_a) is None:
            continue
        wire = job.assessment.wires[one.wire]
        things = " or ".join(one.broken[:NAMED])
        yield Finding(
            rule="broken_return_overloads",
            severity="watch",
            where=wire.run,
            also=(one.wire, *one.broken),
            place=job.place(one.wire),
            value=one.amps_a,
            limit=one.rating_a,
            unit="A",
            says=f"if {things} comes loose nothing stops, and {one.wire} carries {one.amps_a:.3g} A; "
            f"it is good for {one.rating_a:.3g} A",
            do="make it as thick as what it may stand in for, or take this second way out",
            source=BONDS,
        )


@rule(
    worst="note",
    asks="Which circuits will fail as their joints wear?",
    why="Crimps, studs, contacts and clips resist several times more after years. Most circuits bear that; "
    "those near a limit do not, and service has to know which joints to look at.",
    source=CONTACT_SOURCE,
)
def worn_joints_decide(job: Job) -> Iterator[Finding]:
    worn = worn_together(job.assessment)
    if not worn:
        return
    first, rest = worn[0], len(worn) - NAMED
    told = "; ".join(_worn_words(job, one) for one in worn[:NAMED]) + (
        f"; and {rest} more" if rest > 0 else ""
    )
    circuits = "1 circuit" if len(worn) == 1 else f"{len(worn)} circuits"
    yield Finding(
        rule="worn_joints_decide",
        severity="note",
        where=first.wire,
        also=tuple(dict.fromkeys(id for one in worn for id in (one.wire, one.load, one.joint.of))),
        place=job.place(first.wire),
        value=first.worn_v,
        limit=first.limit_v,
        unit="V",
        says=f"{circuits} good with joints as new will not be with all joints worn: {told}",
        do="at each service run that load alone and measure the millivolts across the joint; from the figure "
        "told on make it again or replace it",
        source=CONTACT_SOURCE,
    )


def _worn_words(job: Job, one: WornCircuit) -> str:
    """Return a circuit that wears: what its load gets then, and what to measure across which joint."""
    return (
        f"{job.name(one.load)} gets {one.worn_v:.2f} V{_WHEN[one.verdict]}, needs {one.limit_v:.2f} V; "
        f"most by the {_joint_words(one.joint)}, due from {1e3 * one.due_v:.0f} mV at {one.amps_a:.3g} A on "
        f"(new {1e3 * one.new_v:.0f} mV)"
    )


def _joint_words(joint: Joint) -> str:
    """Return a joint in words: "stud E2", "contact K1", "crimp at pump"."""
    return f"{joint.what} {joint.at}" if joint.what in ("stud", "contact") else f"{joint.what} at {joint.at}"
