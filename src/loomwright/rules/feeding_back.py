"""Rules on what is live from behind: past a pulled fuse, into the vehicle, round a master or a shunt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loomwright.assessment import feeding_back
from loomwright.plan.pieces import BODY
from loomwright.source import Source

from .finding import Finding
from .registry import SOUND_WIRING, Job, rule

DEAD = Source(
    work="common practice",
    place="what a pulled fuse or an open master parts is dead",
    checked="common practice",
)
COUNTED = Source(
    work="common practice",
    place="every return of the house battery goes through its shunt",
    checked="common practice",
)
ONE_SWITCH = Source(
    work="common practice",
    place="what has a switch and works of its own is fed all the time",
    checked="common practice",
)


@rule(
    worst="watch",
    asks="Is what a fuse guards dead when the fuse is pulled?",
    why="Whoever pulls a fuse to work takes what hangs on it for dead.",
    source=DEAD,
)
def back_feeds(job: Job) -> Iterator[Finding]:
    for one in feeding_back.back_feeds(job.assessment):
        behind, before = _names(job, one.behind), _names(job, one.before)
        yield Finding(
            rule="back_feeds",
            severity="watch",
            where=one.run,
            also=tuple(sorted(one.behind)),
            place=job.place(one.run),
            mode=one.mode,
            says=f"with {one.fuse} pulled, what it feeds stays live from {behind}; before it is {before} "
            f"({one.mode})",
            do=f"lead {behind} to its battery by a fuse of its own, or part the two sides; else mark both",
            source=DEAD,
        )


@rule(
    worst="fault",
    asks="Does nothing feed a circuit of the vehicle while that is off?",
    why="Fed from behind, D+ or terminal 15 tells the vehicle and all relays on it that the engine runs.",
    source=SOUND_WIRING,
)
def vehicle_fed_backwards(job: Job) -> Iterator[Finding]:
    for one in feeding_back.fed_backwards(job.assessment):
        towed = all(job.assessment.wiring.owner(id).kind == "tow_socket" for id in one.sources)
        yield Finding(
            rule="vehicle_fed_backwards",
            severity="watch" if towed else "fault",  # not every trailer has a battery of its own
            where=one.circuit,
            also=(*sorted(one.sources), *([one.through] if one.through else [])),
            place=job.place(one.circuit),
            mode=one.mode,
            says=f"{_names(job, one.sources)} makes {one.circuit} live"
            f"{f' through {job.name(one.through)}' if one.through else ''} while it is off ({one.mode})",
            do="put a diode into each of the two feeds, or give one of them a relay of its own",
            source=SOUND_WIRING,
        )


@rule(
    worst="fault",
    asks="Does each master switch part its battery?",
    why="A battery that reaches both sides of its open master is not switched off, whatever its knob says.",
    source=DEAD,
)
def master_bypassed(job: Job) -> Iterator[Finding]:
    for one in feeding_back.bypassed_masters(job.assessment):
        yield Finding(
            rule="master_bypassed",
            severity="fault",
            where=one.master,
            also=(one.battery,),
            place=job.place(one.master),
            says=f"with {job.name(one.master)} open, the {one.pole} of {job.name(one.battery)} lies on both "
            "its sides",
            do="bring every lead that is to be switched off to the far side of the master, and only that one",
            source=DEAD,
        )


@rule(
    worst="watch",
    asks="Does everything return through the shunt?",
    why="What returns past the shunt is not counted: the meter says full while the battery is empty.",
    source=COUNTED,
)
def shunt_bypassed(job: Job) -> Iterator[Finding]:
    for one in feeding_back.past_shunts(job.assessment):
        names = ["the body" if id == BODY else job.name(id) for id in one.returns]
        yield Finding(
            rule="shunt_bypassed",
            severity="watch",
            where=one.shunt,
            also=tuple(id for id in one.returns if id != BODY),
            place=job.place(one.shunt),
            says=f"{', '.join(names)} return{'s' if len(names) == 1 else ''} to the battery past "
            f"{job.name(one.shunt)}",
            do=f"bring these leads to {one.shunt}.load; only the battery's minus goes to {one.shunt}.battery",
            source=COUNTED,
        )


@rule(
    worst="note",
    asks="Is each thing switched in one place?",
    why="Behind a second switch its run-on, clock or thermostat dies, and somebody looks for the fault.",
    source=ONE_SWITCH,
)
def double_switch(job: Job) -> Iterator[Finding]:
    for one in feeding_back.switched_twice(job.assessment):
        yield Finding(
            rule="double_switch",
            severity="note",
            where=one.run,
            also=(one.load, one.switch),
            place=job.place(one.run, one.load),
            says=f"{job.name(one.load)} has a switch of its own, and {job.name(one.switch)} lies before it",
            do="feed it all the time, or know that both have to be on",
            source=ONE_SWITCH,
        )


def _names(job: Job, ids: Iterable[str]) -> str:
    return " and ".join(job.name(id) for id in sorted(ids))
