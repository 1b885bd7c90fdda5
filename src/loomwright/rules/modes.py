"""Rules that need modes: relays that chatter, batteries joined at rest, what drains, too many chargers."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.fall_back import fall_backs
from loomwright.assessment.told_by_modes import (
    MAY_GO,
    charging_sums,
    drains,
    joined_at_rest,
    odd_switches,
)
from loomwright.source import Source
from loomwright.tables.batteries import OPEN_CIRCUIT_SOURCE

from .finding import Finding
from .registry import SOUND_WIRING, Job, rule

#: A parked van's own loads leave half of the starter battery for so long. [h]
PARKED_H = 14 * 24.0
PARKED = Source(
    work="common practice",
    place="a van stands for two weeks and starts; half of a starter battery may go",
    checked="common practice",
)
CHARGE = Source(
    work="common practice",
    place="all chargers of a battery together stay below what its maker lets it take",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Does every relay come to rest?",
    why="A relay that opens its own coil chatters until its contacts weld.",
    source=SOUND_WIRING,
)
def relay_chatters(job: Job) -> Iterator[Finding]:
    known: set[tuple[str, ...]] = set()
    for mode in job.assessment.modes.every:
        if mode.chatters and mode.chatters not in known:
            known.add(mode.chatters)
            names = " and ".join(job.name(id) for id in mode.chatters)
            yield Finding(
                rule="relay_chatters",
                severity="fault",
                where=mode.chatters[0],
                also=mode.chatters[1:],
                place=job.place(mode.chatters[0]),
                mode=mode.id,
                says=f"{names} never come{'s' if len(mode.chatters) == 1 else ''} to rest ({mode.id})",
                do="feed the coil from before its own contact, or from what does not depend on it",
                source=SOUND_WIRING,
            )


@rule(
    worst="fault",
    asks="Are the vehicle's battery and the house battery apart while the engine stands?",
    why="Joined at rest, the house drains the starter battery, and a weak one drains the other.",
    source=SOUND_WIRING,
)
def batteries_joined_at_rest(job: Job) -> Iterator[Finding]:
    for one in joined_at_rest(job.assessment):
        yield Finding(
            rule="batteries_joined_at_rest",
            severity="fault",
            where=one.house,
            also=(one.vehicle,),
            place=job.place(one.house, one.vehicle),
            mode=one.mode,
            says=f"{job.name(one.vehicle)} and {job.name(one.house)} are joined with the engine stopped "
            f"({one.mode})",
            do="join them by a relay that closes only while the engine charges, or by a charger between them",
            source=SOUND_WIRING,
        )


@rule(
    worst="watch",
    asks="Does the starter battery last while the van is parked?",
    why="A flat starter battery is found in the morning, far from home.",
    source=PARKED,
)
def starter_drained_parked(job: Job) -> Iterator[Finding]:
    for one in drains(job.assessment):
        if one.hours is None or one.hours >= PARKED_H:
            continue
        names = ", ".join(job.name(load) for load in one.loads[:3])
        more = f" and {len(one.loads) - 3} more" if len(one.loads) > 3 else ""
        take = "takes" if len(one.loads) == 1 else "take"
        yield Finding(
            rule="starter_drained_parked",
            severity="watch",
            where=one.battery,
            also=one.loads,
            place=job.place(one.battery),
            value=one.hours,
            limit=PARKED_H,
            unit="h",
            says=f"{names}{more} {take} {one.amps:.2g} A from {job.name(one.battery)} while parked: "
            f"{100 * MAY_GO:g} % of it is gone after {one.hours:.3g} h",
            do="feed them from the house battery, or through what opens with the engine stopped",
            source=PARKED,
        )


@rule(
    worst="watch",
    asks="May the battery take what all its chargers give together?",
    why="Chargers do not know of each other; a battery charged too hard heats and ages, or is cut off.",
    source=CHARGE,
)
def charged_too_hard(job: Job) -> Iterator[Finding]:
    for one in charging_sums(job.assessment):
        if one.amps <= one.limit_a * 1.000001:
            continue
        names = " + ".join(f"{id} {amps:.3g} A" for id, amps in one.chargers.items())
        yield Finding(
            rule="charged_too_hard",
            severity="watch",
            where=one.battery,
            also=tuple(one.chargers),
            place=job.place(one.battery),
            value=one.amps,
            limit=one.limit_a,
            unit="A",
            says=f"{names} may charge {job.name(one.battery)} at once ({one.mode}): {one.amps:.3g} A; "
            f"it takes {one.limit_a:.3g} A at most",
            do="set one of them lower, or let one hold back the other",
            source=CHARGE,
        )


@rule(
    worst="fault",
    asks="Does each two-way switch turn its lamp over in every position of the others?",
    why="With two lines swapped a lamp answers only in some positions, and nobody finds it by looking.",
    source=SOUND_WIRING,
)
def two_way_does_not_turn(job: Job) -> Iterator[Finding]:
    for one in odd_switches(job.assessment):
        yield Finding(
            rule="two_way_does_not_turn",
            severity="fault",
            where=one.switch,
            also=(one.load,),
            place=job.place(one.switch),
            says=f"{job.name(one.switch)} does not turn {job.name(one.load)} over in every position of the "
            "other switch",
            do="join a to a and b to b between the two; feed one com, take the other to the lamp",
            source=SOUND_WIRING,
        )


@rule(
    worst="note",
    asks="How long does a selector stay where it was put?",
    why="A selector that watches its battery falls back by itself; whoever knows when is not surprised.",
    source=OPEN_CIRCUIT_SOURCE,
)
def falls_back(job: Job) -> Iterator[Finding]:
    for one in fall_backs(job.assessment):
        yield Finding(
            rule="falls_back",
            severity="note",
            where=one.relay,
            also=(one.battery,),
            place=job.place(one.relay),
            mode=one.mode,
            says=f"with all that it feeds on, {one.amps:.3g} A, {job.name(one.relay)} falls back "
            f"{_after(one.hours)} from a full {job.name(one.battery)} ({one.mode})",
            do="this is for information; with less on it lasts longer",
            source=OPEN_CIRCUIT_SOURCE,
        )


def _after(hours: float) -> str:
    return f"after {hours:.2g} h" if hours >= 0.1 else "at once"
