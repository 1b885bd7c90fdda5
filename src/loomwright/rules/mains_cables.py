"""Rules on the cables of the mains: their size, their breakers, and what feeds them."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains.cables import (
    boxes_without_switch,
    charged_by_itself,
    protected_cables,
    unguarded,
)
from loomwright.source import Source
from loomwright.tables.mains_clauses import clause
from loomwright.tables.mains_supplies import SUPPLIES

from .finding import Finding
from .registry import Job, rule

OVERLOAD = Source(work="IEC 60364-4-43", place="433.1: I_b ≤ I_n ≤ I_z", checked="published, second hand")
SIZE = Source(work="IEC 60364-7-721", place="721.524.1: 1.5 mm² or more", checked="one source")
SWITCH = Source(
    work="IEC 60364-7-721", place="721.537.2.1.1: a main switch", checked="published, second hand"
)
RING = Source(
    work="common practice", place="a charger hangs before the change-over", checked="common practice"
)
VOLTS = Source(
    work="common practice", place="volts of the public supply by region", checked="common practice"
)
_DUST = 1e-9


@rule(
    worst="fault",
    asks="Does a breaker open before each mains cable overheats?",
    why="Cables behind a lining warm up unseen; a breaker above what they carry lets them.",
    source=OVERLOAD,
)
def breaker_above_mains_cable(job: Job) -> Iterator[Finding]:
    for one in protected_cables(job.assessment):
        if one.breaker.rating_a > one.rating_a * (1.0 + _DUST):
            yield Finding(
                rule="breaker_above_mains_cable",
                severity="fault",
                where=one.span.run,
                place=job.place(one.span.run),
                value=one.breaker.rating_a,
                limit=one.rating_a,
                unit="A",
                says=f"a {one.breaker.rating_a:g} A breaker ({one.guard}) guards {one.span.id}, which "
                f"carries {one.rating_a:.3g} A",
                do="Have a licensed person fit a smaller breaker or lay a thicker cable",
                source=one.source,
            )


@rule(
    worst="fault",
    asks="Is each mains cable thick enough for the rules?",
    why="Thin cores break by vibration and bring a fault too little current to open a breaker.",
    source=SIZE,
)
def mains_cable_too_thin(job: Job) -> Iterator[Finding]:
    least = clause("least_area", job.assessment.plan.region)
    for span in job.assessment.mains.layout.spans:
        area = span.area_mm2
        if least.limit is None or area is None or area >= least.limit - _DUST:
            continue
        yield Finding(
            rule="mains_cable_too_thin",
            severity="fault",
            where=span.run,
            place=job.place(span.run),
            value=area,
            limit=least.limit,
            unit="mm²",
            says=f"{span.id} has {area:g} mm²; {least.limit:g} mm² is the least for the mains in a van",
            do=f"Have a licensed person lay {least.limit:g} mm² or more",
            source=least.source,
        )


@rule(
    worst="fault",
    asks="Has each mains circuit a breaker in the van?",
    why="The breaker of the post may be far above what a cable in the van carries.",
    source=OVERLOAD,
)
def mains_without_breaker(job: Job) -> Iterator[Finding]:
    for inlet, outlets in unguarded(job.assessment).items():
        names = ", ".join(job.name(id) for id in outlets)
        yield Finding(
            rule="mains_without_breaker",
            severity="fault",
            where=inlet,
            also=outlets,
            place=job.place(inlet),
            says=f"no breaker stands between {job.name(inlet)} and {names}",
            do="Have a licensed person put a breaker that opens both poles into each circuit",
            source=OVERLOAD,
        )


@rule(
    worst="watch",
    asks="Does one switch turn the whole mains side off?",
    why="In a fire or with a wet appliance nobody looks for the right breaker among several.",
    source=SWITCH,
)
def no_main_switch(job: Job) -> Iterator[Finding]:
    told = clause("main_isolator", job.assessment.plan.region)
    for box, ways in boxes_without_switch(job.assessment):
        yield Finding(
            rule="no_main_switch",
            severity="watch",
            where=box,
            place=job.place(box),
            says=f"{job.name(box)} has {ways} ways and nothing that turns all of them off",
            do="Have a licensed person fit an RCD or main switch that opens all live conductors",
            source=told.source,
        )


@rule(
    worst="watch",
    asks="Does any charger run from the battery that it charges?",
    why="Battery, inverter and charger feed each other in a ring and lose a fifth on each turn.",
    source=RING,
)
def charger_fed_by_inverter(job: Job) -> Iterator[Finding]:
    for charger, inverter in charged_by_itself(job.assessment):
        yield Finding(
            rule="charger_fed_by_inverter",
            severity="watch",
            where=charger,
            also=(inverter,),
            place=job.place(charger),
            says=f"{job.name(inverter)} feeds {job.name(charger)}, which charges the battery it runs from",
            do="Have a licensed person feed the charger from the side of the inlet, before the change-over",
            source=RING,
        )


@rule(
    worst="danger",
    asks="Do the pitches give the volts that the van is built for?",
    why="230 V on 120 V appliances burns them; 120 V on 230 V ones stalls motors.",
    source=VOLTS,
)
def pitch_of_other_volts(job: Job) -> Iterator[Finding]:
    own = SUPPLIES[job.assessment.plan.region].volts
    told = set()
    for pitch in job.assessment.mains.pitches:
        if pitch.volts == own or pitch.id in told or job.assessment.mains.inlet is None:
            continue
        told.add(pitch.id)
        yield Finding(
            rule="pitch_of_other_volts",
            severity="danger",
            where=pitch.id,
            value=pitch.volts,
            limit=own,
            unit="V",
            says=f"{pitch.id} gives {pitch.volts:g} V, the van is built for {own:g} V",
            do="Don't plug in there without a transformer that a licensed person has chosen",
            source=VOLTS,
        )
