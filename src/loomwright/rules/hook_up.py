"""Rules on the pitch: what happens on each supply of the plan, what runs there, the lead, the inlet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.faulted import CaseFault
from loomwright.assessment.mains.taken import Taken
from loomwright.errors import OutOfTableError
from loomwright.mains.breakers import breaker_time
from loomwright.mains.records import Breaker
from loomwright.source import Source
from loomwright.tables.iec_60364_4_41 import DISCONNECTION_SOURCE
from loomwright.tables.mains_clauses import clause, lead_area

from .finding import Finding
from .registry import WORKSHOP, Job, rule

#: Of the rating of a pitch, what may be drawn for hours.
LASTING = 0.8
NOTICE = Source(
    work="IEC 60364-7-721", place="721.514, 721.55.1.2: notices, lid of the inlet", checked="one source"
)
TRIPS = Source(work="IEC 60898-1", place="times of the thermal release", checked="published, second hand")


@rule(
    worst="danger",
    asks="Is a case that becomes live off in time, on every pitch of the plan?",
    why="The same van opens in a blink on one pitch and stands at mains volts for hours on another.",
    source=DISCONNECTION_SOURCE,
)
def case_stays_live(job: Job) -> Iterator[Finding]:
    worst: dict[str, CaseFault] = {}
    for one in job.assessment.mains.faults:
        held = worst.get(one.pitch.id)
        if one.stays and (held is None or one.touch_v > held.touch_v):
            worst[one.pitch.id] = one
    for id, one in worst.items():
        outlet, earth = job.name(one.outlet), {"tn": "TN", "tt": "TT"}.get(one.pitch.earthing, "no")
        opens = "nothing opens" if one.clearing.never else _late(one)
        yield Finding(
            rule="case_stays_live",
            severity="danger",
            where=id,
            also=(one.outlet,),
            place=job.place(one.outlet),
            value=one.touch_v,
            limit=50.0,
            unit="V",
            says=f"on {id} ({earth} earth) a live case at {outlet} stands at {one.touch_v:.0f} V: a fault "
            f"draws {one.expected_a:.3g} A, and {opens} within {one.allowed_s:g} s",
            do="Don't plug in at a pitch without an earth"
            if one.pitch.earthing == "none"
            else "Have a licensed person fit an RCD of 30 mA that opens both poles; till then "
            "don't plug in there",
            source=DISCONNECTION_SOURCE,
        )


def _late(one: CaseFault) -> str:
    if not one.clearing.openings:
        return "nothing opens"
    last = one.clearing.openings[-1]
    return f"{last.device} need not open" if math.isinf(last.after.high) else f"{last.device} does not open"


@rule(
    worst="watch",
    asks="Does what runs together fit the pitch?",
    why="The post's breaker opens, mostly in the rain at night; on some sites only the warden can close it.",
    source=TRIPS,
)
def pitch_overloaded(job: Job) -> Iterator[Finding]:
    for id, taken, rated_a in _fullest(job):
        if taken.amps <= rated_a * (1.0 + 1e-9):
            continue
        after = breaker_time(Breaker(rated_a).curve, rated_a, taken.amps)
        mode = f" ({taken.mode})" if taken.mode else ""
        yield Finding(
            rule="pitch_overloaded",
            severity="watch",
            where=id,
            also=taken.running,
            value=taken.amps,
            limit=rated_a,
            unit="A",
            says=f"{_together(job, taken)}{mode} take {taken.amps:.3g} A, {id} gives {rated_a:g} A: its "
            f"breaker {_opens(after.low, after.high)}",
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
    for id, taken, rated_a in _fullest(job):
        if taken.lasting_a <= LASTING * rated_a * (1.0 + 1e-9) or taken.amps > rated_a * (1.0 + 1e-9):
            continue
        yield Finding(
            rule="pitch_full_for_hours",
            severity="watch",
            where=id,
            also=taken.running,
            value=100.0 * taken.lasting_a / rated_a,
            limit=100.0 * LASTING,
            unit="%",
            says=f"what runs for hours takes {taken.lasting_a:.3g} A, "
            f"{100.0 * taken.lasting_a / rated_a:.0f} % of {id}",
            do="turn a heater down, or run it where the pitch gives more",
            source=WORKSHOP,
        )


def _fullest(job: Job) -> Iterator[tuple[str, Taken, float]]:
    """Give for each supply the mode that takes most."""
    found: dict[str, tuple[Taken, float]] = {}
    for pitch, taken in job.assessment.mains.taken:
        if pitch.id not in found or taken.amps > found[pitch.id][0].amps:
            found[pitch.id] = taken, pitch.rated_a
    for id, (taken, rated_a) in found.items():
        yield id, taken, rated_a


@rule(
    worst="watch",
    asks="Is there a notice at the inlet, and a lid on it?",
    why="The next person at the plug does not know volts, amperes and order; rain does not wait for a lid.",
    source=NOTICE,
)
def inlet_without_notice(job: Job) -> Iterator[Finding]:
    for id in job.assessment.mains.layout.inlets:
        part = job.assessment.wiring.parts[id]
        missing = [word for word, there in (("notice", part.notice), ("lid", part.lid)) if there is False]
        if missing:
            yield Finding(
                rule="inlet_without_notice",
                severity="watch",
                where=id,
                place=job.place(id),
                says=f"{job.name(id)} has no {' and no '.join(missing)}",
                do="put up the notice that the book prints"
                if missing == ["notice"]
                else "Have a licensed person "
                "fit an inlet with a lid, and put up the notice that the book prints",
                source=clause(
                    "inlet_lid" if missing == ["lid"] else "notice", job.assessment.plan.region
                ).source,
            )


@rule(
    worst="watch",
    asks="Is the connecting lead thick enough for the pitch?",
    why="A thin lead gets hot, most of all on its reel, and may keep the breaker from opening at once.",
)
def lead_too_thin(job: Job) -> Iterator[Finding]:
    lead = next((id for id, part in job.assessment.plan.parts.items() if part.kind == "hook_up_lead"), None)
    pitches = job.assessment.mains.pitches
    if lead is None or not pitches:
        return
    pitch = max(pitches, key=lambda one: one.rated_a)
    try:
        least = lead_area(pitch.rated_a, pitch.region)
    except OutOfTableError:
        return
    if least.limit is not None and pitch.lead_mm2 < least.limit - 1e-9:
        yield Finding(
            rule="lead_too_thin",
            severity="watch",
            where=lead,
            value=pitch.lead_mm2,
            limit=least.limit,
            unit="mm²",
            says=f"the lead of {pitch.lead_mm2:g} mm² is thin for {pitch.rated_a:g} A on {pitch.id}",
            do=f"take a lead of {least.limit:g} mm² or more, in one piece",
            source=least.source,
        )
