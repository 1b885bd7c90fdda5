"""The rule on returns that come loose: what goes on then sends its current through another wire."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

BONDS = Source(
    work="ABYC E-11",
    place="what bonds cases to minus: hardly smaller than the cable that it may stand in for",
    checked="from memory",
)
#: So many things that may come loose are named.
NAMED = 3


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
