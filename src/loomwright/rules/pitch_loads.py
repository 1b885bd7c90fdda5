"""Rules on what runs on a pitch: together, for hours, while something starts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.pitch import Pitch
from loomwright.assessment.mains.taken import (
    LASTING,
    PLUG_SOURCE,
    Taken,
    lasting_limit_a,
    starts_too_large,
)
from loomwright.mains.breakers import breaker_time
from loomwright.mains.records import Breaker
from loomwright.source import Source

from .finding import Finding
from .registry import WORKSHOP, Job, rule

TRIPS = Source(work="IEC 60898-1", place="times of the thermal release", checked="published, second hand")
_DUST = 1.0 + 1e-9


@rule(
    worst="watch",
    asks="Does what runs together fit the pitch?",
    why="The post's breaker opens, mostly in the rain at night; on some sites only the warden can close it.",
    source=TRIPS,
)
def pitch_overloaded(job: Job) -> Iterator[Finding]:
    for pitch, taken in _fullest(job):
        rated_a = pitch.rated_a
        if taken.amps <= rated_a * _DUST:
            continue
        after = breaker_time(Breaker(rated_a).curve, rated_a, taken.amps)
        mode = f" ({taken.mode})" if taken.mode else ""
        yield Finding(
            rule="pitch_overloaded",
            severity="watch",
            where=pitch.id,
            also=taken.running,
            value=taken.amps,
            limit=rated_a,
            unit="A",
            says=f"{_together(job, taken)}{mode} take {taken.amps:.3g} A, {pitch.id} gives {rated_a:g} A: "
            f"its breaker {_opens(after.low, after.high)}",
            do="run one after the other, as the pitch table says, or ask for a larger pitch",
            source=TRIPS,
        )


def _opens(low: float, high: float) -> str:
    if math.isinf(high):
        return "may open" if not math.isinf(low) else "is at its limit"
    return f"opens within {high / 60.0:.0f} min" if high >= 120.0 else f"opens within {high:.3g} s"


def _together(job: Job, taken: Taken) -> str:
    names = [job.name(id) for id in taken.running]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


@rule(
    worst="watch",
    asks="Is what runs for hours within 80 % of the pitch?",
    why="Plugs and breakers at their rating for hours get hot, and the breaker opens early in the sun.",
    source=WORKSHOP,
)
def pitch_full_for_hours(job: Job) -> Iterator[Finding]:
    for pitch, taken in _fullest(job):
        most = lasting_limit_a(job.assessment.plan, pitch)
        if taken.lasting_a <= most * _DUST or taken.amps > pitch.rated_a * _DUST:
            continue
        by_plug = most < LASTING * pitch.rated_a
        yield Finding(
            rule="pitch_full_for_hours",
            severity="watch",
            where=pitch.id,
            also=taken.running,
            value=100.0 * taken.lasting_a / pitch.rated_a,
            limit=100.0 * most / pitch.rated_a,
            unit="%",
            says=f"what runs for hours takes {taken.lasting_a:.3g} A, "
            f"{100.0 * taken.lasting_a / pitch.rated_a:.0f} % of {pitch.id}"
            f"{f'; its 13 A plug bears {most:g} A for hours' if by_plug else ''}",
            do="turn a heater down, or run it where the pitch gives more",
            source=PLUG_SOURCE if by_plug else WORKSHOP,
        )


@rule(
    worst="watch",
    asks="Does the breaker of each pitch bear the starts?",
    why="A compressor starts with several times its current; the post's breaker opens at that.",
    source=TRIPS,
)
def start_opens_pitch(job: Job) -> Iterator[Finding]:
    side, told = job.assessment.mains, set()
    for pitch, taken in side.taken:
        for one in starts_too_large(job.assessment.wiring, side.takers, pitch, taken):
            if (pitch.id, one.starter) in told or taken.amps > pitch.rated_a * _DUST:
                continue
            told.add((pitch.id, one.starter))
            yield Finding(
                rule="start_opens_pitch",
                severity="watch",
                where=pitch.id,
                also=(one.starter,),
                cause=one.starter,
                value=one.start_s,
                limit=one.opens_s,
                unit="s",
                says=f"while {job.name(one.starter)} starts, {one.amps:.3g} A flow for {one.start_s:.2g} s; "
                f"the {pitch.rated_a:g} A breaker of {pitch.id} may open after {one.opens_s:.2g} s",
                do="start it alone, or on a larger pitch",
                source=TRIPS,
            )


def _fullest(job: Job) -> Iterator[tuple[Pitch, Taken]]:
    """Give for each supply the mode that takes most."""
    found: dict[str, tuple[Pitch, Taken]] = {}
    for pitch, taken in job.assessment.mains.taken:
        if pitch.id not in found or taken.amps > found[pitch.id][1].amps:
            found[pitch.id] = pitch, taken
    yield from found.values()
