"""The rule on what converters, inverters and chargers still give in the heat of their place."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.derating import Derated, derated
from loomwright.source import Source

from .finding import Finding, Severity
from .registry import Job, rule

PLACE = Source(
    work="common practice",
    place="output by temperature as the part's own sheet gives it",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Does each converter, inverter and charger give enough in the heat of its place?",
    why="In a hot place it turns its own output down, on the very days on which the fridge asks most.",
    source=PLACE,
)
def hot_place_derates(job: Job) -> Iterator[Finding]:
    for one in derated(job.assessment):
        if one.asked <= 0.0:
            yield _finding(job, one, "note")
            continue
        level = job.limits.load_over_rating.level(one.asked / one.gives) if one.gives > 0.0 else "fault"
        if level is not None:
            yield _finding(job, one, level)


def _finding(job: Job, one: Derated, severity: Severity) -> Finding:
    says = (
        f"{job.name(one.part)} gives {one.gives:,.3g} {one.unit} of its {one.rated:,.3g} {one.unit} "
        f"at the {one.hot_c:.0f} °C of {one.place}"
    )
    if severity != "note":
        says = f"{says}; {one.asked:,.3g} {one.unit} are asked of it"
    return Finding(
        rule="hot_place_derates",
        severity=severity,
        where=one.part,
        place=job.place(one.part),
        value=one.asked if one.asked > 0.0 else None,
        limit=one.gives,
        unit=one.unit,
        says=says,
        do="move it to a cooler place, let air to it, or use a larger one",
        source=PLACE,
    )
