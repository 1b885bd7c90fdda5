"""More power where batteries sag: thicker leads, promises that hold, one battery more."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.sag_promises import power_promises
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.values import Quantity
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change
from .copper import area_of, ladder, may_grow, thicker
from .parts import MADE_FOR

#: A promise is rounded down to so much, and a charge up. [W, %]
_WATTS, _PCT = 50.0, 5.0
#: Links between two batteries of a bank lie within this. Common practice.
_LINK = "0.35 m"


def thicker_leads(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the leads of what sags in the next sizes."""
    for run in _runs_to(base, finding):
        for area in ladder(base, run):
            yield thicker(base, {run: area})


def _runs_to(base: Base, finding: Finding) -> list[str]:
    """Return the run that ends on what a finding is about."""
    named = {finding.where, *finding.also}
    circuits = base.assessment.circuits.values()
    found = (one.wire for one in circuits if one.load in named and one.path == "ordinary")
    return [run for run in dict.fromkeys(found) if may_grow(base, run)]


def promise_that_holds(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the promise of as much as there is, and the same promise for fuller batteries only."""
    for one in power_promises(base.assessment):
        if one.id != finding.where:
            continue
        watts = one.worst.most_w // _WATTS * _WATTS
        if watts > 0.0:
            says = f"{watts:,.0f} W promised instead of {one.asked_w:,.0f} W"
            yield change(says, Edit(f"promises.{one.id}.power", f"{watts:.0f} W"))
        if one.held_from_pct is not None:
            pct = -(-one.held_from_pct // _PCT) * _PCT
            says = f"promised from {pct:.0f} % charge on"
            yield change(says, Edit(f"promises.{one.id}.charge", f"{pct:.0f}..100 %"))


def one_battery_more(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give one more lead battery of the kind there is, linked to the last of those that feed what sags."""
    plan = base.assessment.plan
    own = [id for id in finding.also if (part := plan.parts.get(id)) is not None and part.kind == "battery"]
    if not own or base.assessment.wiring.parts[own[-1]].chemistry in (None, "lifepo4"):
        return  # lithium needs a fuse of its own each, and leads by its maker
    last = own[-1]
    area = max((area_of(base, run) for run in _runs_to(base, finding)), default=0.0)
    id = free_id(plan, "parts", f"{last}_2")
    link = {"area": f"{area:g} mm²", "length": _LINK, "sheathed": "yes"}
    edits = [Edit(f"parts.{id}", {"like": last})]
    for pole in ("plus", "minus"):
        wire = {"from": f"{last}.{pole}", "to": f"{id}.{pole}"} | link
        edits.append(Edit(f"wiring.{free_id(plan, 'wiring', f'link_{id}_{pole}')}", wire))
    if area > 0.0:
        yield change(f"one battery more, {id}, like {last}", *edits)


def smaller_inverter(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give an inverter of no more than full and warm batteries hold."""
    part = base.assessment.plan.parts.get(finding.where)
    if part is None or finding.value is None or not isinstance(part.power, Quantity):
        return
    watts = finding.value // _WATTS * _WATTS
    if watts > 0.0:
        says = f"{base.job.name(part.id)} of {watts:,.0f} W instead of {part.power.high:,.0f} W"
        yield change(says, Edit(f"parts.{part.id}.power", f"{watts:.0f} W"))


def batteries_that_give_more(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give all batteries of a bank a management that lets its share of the whole through."""
    plan, bank = base.assessment.plan, (finding.where, *finding.also)
    needed = max((base.assessment.drawn_a.get(id, 0.0) for id in bank), default=0.0)
    typed = [id for id in bank if id in plan.parts and plan.parts[id].discharge_limit is not None]
    for amps in [made for made in MADE_FOR if made >= needed][:2]:
        edits = [Edit(f"parts.{id}.discharge_limit", f"{amps:g} A") for id in typed]
        if edits:
            yield change(f"batteries that may give {amps:g} A each", *edits)


def larger_converter(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the converter in the next makes that hold the start."""
    at = f"parts.{finding.where}"
    for amps in [made for made in MADE_FOR if made >= (finding.value or 0.0)][:2]:
        typed = [field for field in ("current", "fold_back") if base.at(f"{at}.{field}") is not None]
        edits = [Edit(f"{at}.{field}", f"{amps:g} A") for field in typed]
        if edits:
            yield change(f"{base.job.name(finding.where)} made for {amps:g} A", *edits)


__all__ = [
    "batteries_that_give_more",
    "larger_converter",
    "one_battery_more",
    "promise_that_holds",
    "smaller_inverter",
    "thicker_leads",
]
