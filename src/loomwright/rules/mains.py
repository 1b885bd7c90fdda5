"""Rules on the mains side: pins that somebody touches, live from inside the van."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains.ways import fixed_bonds, live_inlets, too_much_for_inverters
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

ONE_OR_THE_OTHER = Source(
    work="common practice",
    place="inverter and hook-up feed a circuit through a change-over of all live poles, never side by side",
    checked="common practice",
)

ONE_BOND = Source(
    work="common practice",
    place="no neutral is bonded to earth in the vehicle while it is on hook-up",
    checked="common practice",
)
HOOK_UP_ONLY = Source(
    work="common practice",
    place="what an inverter can't feed is fed by hook-up only",
    checked="common practice",
)


@rule(
    worst="danger",
    asks="Are the pins of the inlet dead while the inverter runs?",
    why="With the lead pulled the pins stand open outside the van: whoever touches them gets a shock.",
    source=ONE_OR_THE_OTHER,
)
def inlet_live_from_inverter(job: Job) -> Iterator[Finding]:
    for one in live_inlets(job.assessment.mains):
        stands = " and ".join(f"{job.name(id)} on {position}" for id, position in one.positions)
        yield Finding(
            rule="inlet_live_from_inverter",
            severity="danger",
            where=one.run,
            also=(one.inlet, one.source, *(id for id, _ in one.positions)),
            place=job.place(one.inlet, one.run),
            says=f"{job.name(one.source)} reaches the pins of {job.name(one.inlet)}"
            f"{f', with {stands}' if stands else ''}: they are live with the lead pulled",
            do="Have a licensed person put a change-over of all live poles between the two, so that the "
            "circuit has either one or the other; till then leave it off",
            source=ONE_OR_THE_OTHER,
        )


@rule(
    worst="fault",
    asks="Is the bond of an inverter lifted on hook-up?",
    why="Two bonds let current of the pitch run through the body, and trip its RCD.",
    source=ONE_BOND,
)
def bond_stays_on_hook_up(job: Job) -> Iterator[Finding]:
    for one in fixed_bonds(job.assessment.mains):
        yield Finding(
            rule="bond_stays_on_hook_up",
            severity="fault",
            where=one.inverter,
            also=(one.inlet,),
            place=job.place(one.inverter),
            says=f"{job.name(one.inverter)} passes {job.name(one.inlet)} through, its neutral bonded",
            do="Have a licensed person set its bond to a relay that opens on hook-up, with an RCD behind it",
            source=ONE_BOND,
        )


@rule(
    worst="watch",
    asks="Can the inverter feed what it reaches?",
    why="A boiler on the inverter's circuit shuts it down, or empties the battery in an hour.",
    source=HOOK_UP_ONLY,
)
def appliance_above_inverter(job: Job) -> Iterator[Finding]:
    for one in too_much_for_inverters(job.assessment.mains):
        yield Finding(
            rule="appliance_above_inverter",
            severity="watch",
            where=one.run,
            also=(one.appliance, one.inverter),
            place=job.place(one.run, one.appliance),
            value=one.takes_w,
            limit=one.gives_w,
            unit="W",
            says=f"{job.name(one.appliance)} takes {one.takes_w:.0f} W, {job.name(one.inverter)} gives "
            f"{one.gives_w:.0f} W",
            do="Have a licensed person feed it from the side of the inlet, so that it works on hook-up only",
            source=HOOK_UP_ONLY,
        )
