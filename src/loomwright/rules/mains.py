"""Rules on the mains side: pins that somebody touches, live from inside the van."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains_ways import live_inlets
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

ONE_OR_THE_OTHER = Source(
    work="common practice",
    place="inverter and hook-up feed a circuit through a change-over of all live poles, never side by side",
    checked="common practice",
)


@rule(
    worst="danger",
    asks="Are the pins of the inlet dead while the inverter runs?",
    why="With the lead pulled the pins stand open outside the van: whoever touches them gets a shock.",
    source=ONE_OR_THE_OTHER,
)
def inlet_live_from_inverter(job: Job) -> Iterator[Finding]:
    for one in live_inlets(job.assessment.wiring):
        stands = " and ".join(f"{job.name(id)} on {position}" for id, position in one.positions)
        yield Finding(
            rule="inlet_live_from_inverter",
            severity="danger",
            where=one.run,
            also=(one.inlet, one.inverter, *(id for id, _ in one.positions)),
            place=job.place(one.inlet, one.run),
            says=f"{job.name(one.inverter)} reaches the pins of {job.name(one.inlet)}"
            f"{f', with {stands}' if stands else ''}: they are live with the lead pulled",
            do="Have a licensed person put a change-over of all live poles between the two, so that the "
            "circuit has either the inlet or the inverter; till then leave the inverter off",
            source=ONE_OR_THE_OTHER,
        )
