"""Cures where place is the matter: another way or cable, more clips, a larger hole, no charge in frost."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from loomwright.assessment.sizes import zones_of
from loomwright.plan.edit import Edit
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change

#: By rule, the zone that a wire has to leave.
_ZONES = {"wire_in_gas_locker": "gas_locker", "wire_along_airbag": "airbag", "wire_by_flue": "flue"}


def round_the_zone(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a run without the paths and places of the zone that it must not lie in."""
    plan = base.assessment.plan
    run, zone = plan.wiring[finding.where], _ZONES[finding.rule]
    kept: list[str] = []
    left: list[str] = []
    for spot in run.via:
        thing = plan.paths.get(spot) or plan.places.get(spot)
        (left if thing is not None and zone in zones_of(plan, thing) else kept).append(spot)
    if left:
        at = f"wiring.{run.id}.via"
        says = f"{run.id} led past {' and '.join(left)}"
        yield change(says, Edit(at, kept) if kept else Edit(at, remove=True))


def silicone(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a wire by a flue insulation for it."""
    yield change(
        f"{finding.where} in silicone", Edit(f"wiring.{finding.where}.insulation", "silicone 180 °C")
    )


def out_of_the_pipe(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the 12 V wires another way than the mains cable's."""
    edits = []
    for id in finding.also:
        kept = [spot for spot in base.assessment.plan.wiring[id].via if spot != finding.place]
        at = f"wiring.{id}.via"
        edits.append(Edit(at, kept) if kept else Edit(at, remove=True))
    if edits:
        yield change(f"{' and '.join(finding.also)} led another way than {finding.place}", *edits)


def flexible(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a flexible cable in place of a solid one."""
    yield change(
        f"a flexible cable for {finding.where}", Edit(f"wiring.{finding.where}.conductor", "flexible")
    )


def more_clips(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give clips as near as they have to be, level too."""
    for metres in dict.fromkeys((finding.limit, 0.25)):
        if metres is not None:
            yield change(
                f"{finding.where} fixed every {metres:g} m",
                Edit(f"wiring.{finding.where}.clips", f"{metres:g} m"),
            )


def larger_hole(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the path a hole that its bundle passes."""
    bore = ceil(finding.value or 0.0)
    yield change(
        f"a hole of {bore} mm for {finding.where}", Edit(f"paths.{finding.where}.hole", f"{bore} mm")
    )


def stopped_in_frost(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a battery whose management stops a charge in the cold."""
    if finding.severity == "fault":
        least = f"{finding.limit:g} °C"
        yield change(
            f"a battery whose management stops a charge below {least}",
            Edit(f"parts.{finding.where}.cut_off.charge_below", least),
        )


__all__ = [
    "flexible",
    "larger_hole",
    "more_clips",
    "out_of_the_pipe",
    "round_the_zone",
    "silicone",
    "stopped_in_frost",
]
