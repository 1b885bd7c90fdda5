"""Rules on where wires lie: full pipes, hot air, wires pulled by what moves; and how high an inlet sits."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.lying import LOOP_M, in_hot_air, inlet_heights, pipe_fills, taut
from loomwright.loom.bundles import FILL_SOURCE, HOLE_SOURCE
from loomwright.source import Source

from .finding import Finding, Severity
from .registry import Job, rule

HOT = Source(
    work="IEC 60364-5-52",
    place="522.1.1: insulation fit for the hottest air about it",
    checked="from memory",
)
LOOP = Source(
    work="common practice", place="a loop in each wire at hinges and slides", checked="common practice"
)
INLET = Source(
    work="IEC 60364-7-721",
    place="721.55.1.2: inlet no higher than 1.8 m above the road",
    checked="published, second hand",
)
#: An inlet sits no higher above the road. [m]
INLET_M = 1.8
#: Less than that is dust of the sum. [m]
_DUST = 1e-9


@rule(
    worst="watch",
    asks="Is each closed pipe left with air?",
    why="In a pipe too full wires chafe when they are drawn in, and none of them can be drawn out again.",
    source=FILL_SOURCE,
)
def pipe_too_full(job: Job) -> Iterator[Finding]:
    for one in pipe_fills(job.assessment):
        if one.fill > one.most * (1.0 + _DUST):
            yield Finding(
                rule="pipe_too_full",
                severity="watch",
                where=one.path,
                also=one.wires,
                place=one.path,
                value=100.0 * one.fill,
                limit=100.0 * one.most,
                unit="%",
                says=f"{_wires(len(one.wires))} {100.0 * one.fill:.0f} % of the bore of {one.path}, "
                f"{one.bore_mm:g} mm; {100.0 * one.most:.0f} % at most",
                do=f"use a pipe of {one.needed_mm:.0f} mm bore or more, or lead some of them another way",
                source=FILL_SOURCE,
            )


def _wires(count: int) -> str:
    return "one wire fills" if count == 1 else f"{count} wires fill"


@rule(
    worst="note",
    asks="Which wires go another way since a hole is full?",
    why="A wire that nobody leads takes the cheapest way; where its hole is full it takes the next one.",
    source=HOLE_SOURCE,
)
def led_past_full_hole(job: Job) -> Iterator[Finding]:
    for one in job.assessment.loom.laid.values():
        if one.past and one.route is not None:
            full, holes = " and ".join(one.past), "holes are" if len(one.past) > 1 else "hole is"
            yield Finding(
                rule="led_past_full_hole",
                severity="note",
                where=job.assessment.wires[one.wire].run,
                cause=one.wire,
                also=one.past,
                place=" and ".join(one.route.paths),
                says=f"{one.wire} goes by {' and '.join(one.route.paths) or 'the straight way'}: "
                f"the {holes} full in {full}",
                do="use a larger grommet there if the shorter way is wanted",
                source=HOLE_SOURCE,
            )


@rule(
    worst="fault",
    asks="Does the insulation of each wire stand the air about it?",
    why="In air as hot as it may ever get, insulation ages with no current at all; PVC cracks then.",
    source=HOT,
)
def insulation_below_air(job: Job) -> Iterator[Finding]:
    for one in in_hot_air(job.assessment):
        mains = job.assessment.wiring.runs[one.run].mains
        do = "use insulation for more heat, or lead it where it is cooler"
        yield Finding(
            rule="insulation_below_air",
            severity="fault",
            where=one.run,
            also=(one.wire,) if one.wire != one.run else (),
            place=job.place(one.wire),
            value=one.air_c,
            limit=one.insulation_c,
            unit="°C",
            says=f"{one.wire} lies in air of {one.air_c:g} °C, and {one.says} is for {one.insulation_c:g} °C",
            do=f"Have a licensed person {do}" if mains else do,
            source=HOT,
        )


@rule(
    worst="watch",
    asks="Has each wire a loop where something moves?",
    why="A wire without one is pulled at each opening: it breaks inside its insulation, or at its end.",
    source=LOOP,
)
def no_loop_at_moving_part(job: Job) -> Iterator[Finding]:
    for one in taut(job.assessment):
        mains = job.assessment.wiring.runs[one.run].mains
        left = "shorter than its way" if one.left_m < 0 else f"{one.left_m:.2f} m longer than its way"
        yield Finding(
            rule="no_loop_at_moving_part",
            severity="watch",
            where=one.run,
            cause=one.wire,
            also=(one.path,),
            place=one.path,
            value=one.left_m,
            limit=LOOP_M,
            unit="m",
            says=f"{one.wire} passes {one.path}, which moves, and is {left}: no loop",
            do=f"{'Have a licensed person leave' if mains else 'leave'} a loop there, measured open and shut",
            source=LOOP,
        )


@rule(
    worst="fault",
    asks="Can everybody reach the inlet?",
    why="Whoever stands outside has to pull the plug in a fire, a child or a neighbour too.",
    source=INLET,
)
def inlet_too_high(job: Job) -> Iterator[Finding]:
    for one in inlet_heights(job.assessment):
        if one.high_m <= INLET_M + _DUST:
            continue
        severity: Severity = "fault" if one.low_m > INLET_M + _DUST else "watch"
        floor = " (nobody says how high the load floor is)" if one.guessed else ""
        band = (
            f"{one.low_m:.2f} to {one.high_m:.2f}" if one.high_m - one.low_m > 0.005 else f"{one.high_m:.2f}"
        )
        yield Finding(
            rule="inlet_too_high",
            severity=severity,
            where=one.inlet,
            place=job.place(one.inlet),
            value=one.low_m if severity == "fault" else one.high_m,
            limit=INLET_M,
            unit="m",
            says=f"{job.name(one.inlet)} sits {band} m above the road{floor}; {INLET_M:g} m at most",
            do="Have a licensed person set it lower"
            if severity == "fault"
            else "measure it from the road, and write vehicle.floor_height",
            source=INLET,
        )
