"""Cures where place is the matter: another way or cable, more clips, a larger hole, no charge in frost."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from loomwright.assessment.lying import pipe_fills
from loomwright.assessment.sizes import zones_of
from loomwright.plan.edit import Edit
from loomwright.plan.values import Quantity
from loomwright.rules.finding import Finding
from loomwright.tables.insulation import INSULATIONS

from .candidate import Base, Candidate, change

#: By rule, the zone that a wire has to leave.
_ZONES = {"wire_in_gas_locker": "gas_locker", "wire_along_airbag": "airbag", "wire_by_flue": "flue"}


def round_the_zone(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a run, its legs and returns without the paths and places of the zone that they must not lie in."""
    run, zone = base.assessment.plan.wiring[finding.where], _ZONES[finding.rule]
    at = f"wiring.{run.id}"
    vias = {f"{at}.via": run.via}
    if run.return_ is not None:
        vias[f"{at}.return.via"] = run.return_.via or ()
    for id, leg in run.legs.items():
        vias[f"{at}.to.{id}.via"] = leg.via or ()
        if leg.return_ is not None:
            vias[f"{at}.to.{id}.return.via"] = leg.return_.via or ()
    edits: list[Edit] = []
    left: list[str] = []
    for field, via in vias.items():
        kept = [spot for spot in via if not _is_in(base, spot, zone)]
        if len(kept) < len(via):
            left += [spot for spot in via if spot not in kept]
            edits.append(Edit(field, kept) if kept else Edit(field, remove=True))
    if edits:
        yield change(f"{run.id} led past {' and '.join(dict.fromkeys(left))}", *edits)


def _is_in(base: Base, spot: str, zone: str) -> bool:
    plan = base.assessment.plan
    thing = plan.paths.get(spot) or plan.places.get(spot)
    return thing is not None and zone in zones_of(plan, thing)


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


def larger_pipe(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a pipe whose bore is filled no more than it may be."""
    full = next((one for one in pipe_fills(base.assessment) if one.path == finding.where), None)
    if full is not None:
        bore = ceil(full.needed_mm)
        yield change(
            f"a pipe of {bore} mm bore for {finding.where}", Edit(f"paths.{finding.where}.hole", f"{bore} mm")
        )


def for_the_heat(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the least insulation that stands the air, with something to spare."""
    for one in INSULATIONS:
        if one.max_c > (finding.value or 0.0):
            at = f"wiring.{finding.where}.insulation"
            yield change(f"{finding.where} in {one.name}", Edit(at, one.name))


def with_a_loop(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the wire a length with a loop over what moves."""
    run = base.assessment.plan.wiring.get(finding.where)
    if run is not None and isinstance(run.length, Quantity) and finding.value is not None:
        metres = ceil(10.0 * (run.length.high + (finding.limit or 0.0) - finding.value)) / 10.0
        yield change(f"{run.id} of {metres:g} m", Edit(f"wiring.{run.id}.length", f"{metres:g} m"))


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
    "for_the_heat",
    "larger_hole",
    "larger_pipe",
    "more_clips",
    "out_of_the_pipe",
    "round_the_zone",
    "silicone",
    "stopped_in_frost",
    "with_a_loop",
]
