"""Rules on the pitch: what happens on each supply of the plan, what runs there, the lead, the inlet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.faulted import CaseFault
from loomwright.errors import OutOfTableError
from loomwright.plan.values import UNKNOWN, Quantity
from loomwright.source import Source
from loomwright.tables.flex_drop import WOUND_SHARE, WOUND_SOURCE, cord_rating
from loomwright.tables.iec_60364_4_41 import DISCONNECTION_SOURCE
from loomwright.tables.mains_clauses import clause, lead_area

from .finding import Finding
from .registry import Job, rule

_DUST = 1.0 + 1e-9
COMBINED = Source(
    work="Electricity Safety, Quality and Continuity Regulations 2002",
    place="reg. 9(4): no combined neutral and earth to the metalwork of a caravan",
    checked="one source",
)
NOTICE = Source(
    work="IEC 60364-7-721", place="721.514, 721.55.1.2: notices, lid of the inlet", checked="one source"
)


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
            f"draws {f'{one.expected_a:.3g} A' if one.expected_a else 'nothing'}, and {opens} within "
            f"{one.allowed_s:g} s",
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
    asks="Is the lead unwound when it carries much?",
    why="A lead on its reel can't shed its heat: it melts at a fraction of what it carries laid out.",
    source=WOUND_SOURCE,
)
def lead_left_wound(job: Job) -> Iterator[Finding]:
    for id, part in job.assessment.plan.parts.items():
        rating = cord_rating(part.area.low) if isinstance(part.area, Quantity) else None
        if part.kind != "hook_up_lead" or part.wound is not True or rating is None:
            continue
        amps = max((taken.lasting_a for _, taken in job.assessment.mains.taken), default=0.0)
        most = WOUND_SHARE * rating[0]
        if amps > most * _DUST:
            yield Finding(
                rule="lead_left_wound",
                severity="watch",
                where=id,
                value=amps,
                limit=most,
                unit="A",
                says=f"{job.name(id)} stays on its reel and carries {amps:.3g} A for hours; wound it bears "
                f"about {most:.2g} A",
                do="unwind the lead wholly before it is loaded",
                source=WOUND_SOURCE,
            )


@rule(
    worst="watch",
    asks="May the earth of each supply be used for a van?",
    why="If the distributor's neutral breaks, its combined earth lifts the whole body to mains volts.",
    source=COMBINED,
)
def pitch_on_combined_earth(job: Job) -> Iterator[Finding]:
    if job.assessment.mains.inlet is None:
        return
    for id, supply in job.assessment.plan.supplies.items():
        region = supply.region or job.assessment.plan.region
        house = supply.outlet == "house" and region == "uk" and supply.earthing in ("tn", UNKNOWN)
        if supply.earthing == "tn_c_s" or house:
            is_or_may = "is" if supply.earthing == "tn_c_s" else "of a house may be"
            yield Finding(
                rule="pitch_on_combined_earth",
                severity="watch",
                where=id,
                says=f"the earth of {id} {is_or_may} the distributor's combined neutral and earth",
                do="Have a licensed person say how to plug in there: by an electrode of its own, or an "
                "isolating transformer",
                source=COMBINED,
            )


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
