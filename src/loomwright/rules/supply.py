"""Rules on supplies: what nothing may cut, and chargers that a switch leaves without their battery."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from loomwright.assessment.permanent import cut_supplies
from loomwright.assessment.stranded import left_without_battery
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

PERMANENT = Source(
    work="common practice",
    place="alarms, trackers and heaters that run on after stopping are fed from before the master",
    checked="common practice",
)
LOOSE_CHARGER = Source(
    work="common practice",
    place="a regulator or charger is not parted from its battery while something drives it",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Does nothing cut what must keep its supply?",
    why="An alarm that is off warns nobody, and a heater that cannot blow itself cool overheats.",
    source=PERMANENT,
)
def permanent_supply_cut(job: Job) -> Iterator[Finding]:
    alike: dict[tuple[str, tuple[str, ...], tuple[str, ...]], list[str]] = defaultdict(list)
    for cut in cut_supplies(job.assessment.wiring):
        alike[cut.run, cut.by, cut.back].append(cut.load)
    for (run, by, back), loads in alike.items():
        devices = tuple(dict.fromkeys((*by, *back)))
        yield Finding(
            rule="permanent_supply_cut",
            severity="fault",
            where=run,
            also=(*loads, *devices),
            place=job.place(run, *loads),
            says=f"{_list(job, loads)} must keep the supply, and {_cuts(job, devices)}",
            do=_before(job, by, back),
            source=PERMANENT,
        )


def _cuts(job: Job, devices: tuple[str, ...]) -> str:
    names = _list(job, devices)
    if job.assessment.wiring.parts[devices[0]].kind == "vehicle_feed":
        return f"{names} is not live all the time"
    return f"{names} {'cuts' if len(devices) == 1 else 'cut'} it"


def _before(job: Job, by: tuple[str, ...], back: tuple[str, ...]) -> str:
    """Return the next step: feed and return on the battery side of what opens."""
    steps = []
    if by and job.assessment.wiring.parts[by[0]].kind == "vehicle_feed":
        steps.append("feed it from a battery, through a fuse of its own there")
    elif by:
        steps.append(f"feed it from the battery side of {job.name(by[0])}, through a fuse of its own there")
    if back:
        steps.append(f"bring its return to the battery side of {job.name(back[-1])}")
    return "; ".join(steps)


@rule(
    worst="watch",
    asks="Does each charger keep a battery when a switch opens?",
    why="Without a battery nothing holds the volts: a panel or charger may drive them up until things break.",
    source=LOOSE_CHARGER,
)
def source_without_battery(job: Job) -> Iterator[Finding]:
    job_a = job.assessment
    for device, chargers in left_without_battery(job_a.wiring, job_a.standing.closed).items():
        names = _list(job, chargers)
        yield Finding(
            rule="source_without_battery",
            severity="watch",
            where=device,
            also=chargers,
            place=job.place(device),
            says=f"{job.name(device)}, when it opens, leaves {names} without a battery",
            do=f"lead the output of {names} to the battery side of {job.name(device)}, fused at that end",
            source=LOOSE_CHARGER,
        )


def _list(job: Job, parts: Sequence[str]) -> str:
    """Return the names of parts as people say them: a, b and c."""
    names = [job.name(part) for part in parts]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
