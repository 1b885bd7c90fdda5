"""Changes of what guards the mains, of its cables and of the lead: drawn here, done by a licensed person."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains.cables import protected_cables
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.rules.finding import Finding
from loomwright.tables.flex_drop import cord_rating
from loomwright.tables.mains_clauses import clause

from .candidate import Base, Candidate, change
from .copper import ladder, size_text

LICENSED = "Have a licensed person"
_BREAKERS = (6, 10, 13, 16, 20, 25, 32)
_RCD = "30 mA 2-pole type A"


def rcd_for_all(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give each breaker box without an RCD one that opens both poles."""
    boxes = [
        id
        for id, part in base.assessment.plan.parts.items()
        if part.kind == "breaker_box"
        and (finding.where not in base.assessment.plan.parts or id == finding.where)
    ]
    if boxes:
        says = f"{LICENSED} put an RCD of 30 mA, two poles, type A, at the head of {' and '.join(boxes)}"
        yield change(says, *(Edit(f"parts.{id}.rcd", _RCD) for id in boxes))


def both_poles(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the devices of a box two poles."""
    edits = []
    part = base.assessment.plan.parts.get(finding.where)
    for id, run in base.assessment.plan.wiring.items():
        typed = base.at(f"wiring.{id}.breaker")
        if isinstance(typed, str) and run.from_.id == finding.where:
            words = [word for word in typed.split() if not word.endswith("-pole")]
            edits.append(Edit(f"wiring.{id}.breaker", " ".join([*words, "2-pole"])))
    for field in ("rcd", "main_breaker"):
        typed = base.at(f"parts.{finding.where}.{field}")
        if part is not None and isinstance(typed, str) and typed not in ("none", "unknown"):
            words = [word for word in typed.split() if not word.endswith("-pole")]
            edits.append(Edit(f"parts.{finding.where}.{field}", " ".join([*words[:2], "2-pole", *words[2:]])))
    if edits:
        yield change(f"{LICENSED} fit two-pole devices in {finding.where}", *edits)


def bond_to_body(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Bond the earth of a breaker box to a stud; a bond that is there gets thicker."""
    plan = base.assessment.plan
    area = f"{max(clause('bonding_area', plan.region).limit or 0.0, 6.0):g} mm²"
    if finding.where in plan.wiring:
        yield change(f"{LICENSED} make the bond {area}", Edit(f"wiring.{finding.where}.area", area))
        return
    box = next((id for id, part in plan.parts.items() if part.kind == "breaker_box"), None)
    stud = _nearest_stud(base, box)
    if box is not None:
        run = {"from": f"{box}.earth", "to": stud, "area": area, "length": "0.5 m", "colour": "GNYE"}
        says = f"{LICENSED} bond {box} to {stud} with {area}, green and yellow"
        yield change(says, Edit(f"wiring.{free_id(plan, 'wiring', 'bond')}", run))


def _nearest_stud(base: Base, box: str | None) -> str:
    plan = base.assessment.plan
    place = plan.parts[box].place if box is not None else None
    same = (id for id, stud in plan.studs.items() if stud.place == place)
    return next(same, next(iter(plan.studs), "body"))


def pipes_bonded(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Bond the metal pipes."""
    yield change(f"{LICENSED} bond metal pipes and taps to the earth bar", Edit("vehicle.pipes", "bonded"))


def bond_and_rcd(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Bond neutral to earth at what makes the mains, with an RCD behind it."""
    part = base.assessment.plan.parts.get(finding.where)
    if part is not None:
        bond = "relay" if part.kind == "inverter_charger" else "fixed"
        at = f"parts.{finding.where}"
        yield change(
            f"{LICENSED} bond neutral to earth at {finding.where} and put an RCD of 30 mA behind it",
            Edit(f"{at}.neutral_bond", bond),
            Edit(f"{at}.rcd", _RCD),
        )


def case_wire_thicker(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the wire from a case the sizes above its own."""
    for run in finding.also[:1]:
        wires = [one for one in base.assessment.wires.values() if one.run == run]
        own = max((one.area_mm2 or 0.0 for one in wires), default=0.0)
        for area in [one for one in ladder(base, run) if one > own][:9]:
            size = size_text(base, run, area)
            yield change(f"{run} of {size}", Edit(f"wiring.{run}.area", size))


def third_core(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Lay a cable with a protective conductor."""
    yield change(
        f"{LICENSED} lay {finding.where} with three cores", Edit(f"wiring.{finding.where}.cores", "3")
    )


def notice_and_lid(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Put up the notice; fit an inlet with a lid."""
    part = base.assessment.plan.parts[finding.where]
    missing = [name for name, there in (("notice", part.notice), ("lid", part.lid)) if there is False]
    says = " and ".join(
        {"notice": "put up the notice", "lid": "an inlet with a lid"}[name] for name in missing
    )
    yield change(says, *(Edit(f"parts.{finding.where}.{name}", "yes") for name in missing))


def thicker_lead(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Take a thicker lead."""
    area = f"{finding.limit:g} mm²"
    yield change(f"a lead of {area}", Edit(f"parts.{finding.where}.area", area))


def lead_unwound(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Unwind the lead."""
    yield change(f"{finding.where} unwound", Edit(f"parts.{finding.where}.wound", "no"))


def least_area(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Lay the least size that the rules ask for."""
    area = f"{finding.limit:g} mm²"
    yield change(f"{LICENSED} lay {finding.where} of {area}", Edit(f"wiring.{finding.where}.area", area))


def breaker_for_cable(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Fit a breaker that the cable carries; else a thicker cable."""
    plan, run = base.assessment.plan, finding.where
    for one in protected_cables(base.assessment):
        if one.span.run != run:
            continue
        own = next((id for id, flat in plan.wiring.items() if str(flat.from_) == one.guard), None)
        typed = base.at(f"wiring.{own}.breaker") if own is not None else None
        fits = [rating for rating in _BREAKERS if rating <= one.rating_a]
        if isinstance(typed, str) and fits:
            rest = typed.split(maxsplit=2)[2:]
            breaker = " ".join([f"{fits[-1]} A", *rest])
            yield change(f"{LICENSED} fit a {fits[-1]} A breaker", Edit(f"wiring.{own}.breaker", breaker))
        for area in [size for size in ladder(base, run) if size > (one.span.area_mm2 or 0.0)][:3]:
            size = size_text(base, run, area)
            yield change(f"{LICENSED} lay {run} of {size}", Edit(f"wiring.{run}.area", size))


def breaker_in_each_way(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Put a breaker into each way of a box that has none."""
    plan, edits = base.assessment.plan, []
    for id, run in plan.wiring.items():
        part = plan.parts.get(run.from_.id)
        way = part is not None and part.kind == "breaker_box" and (run.from_.terminal or "").isdigit()
        if way and base.at(f"wiring.{id}.breaker") in (None, "none"):
            areas = [one.area_mm2 for one in base.assessment.mains.layout.spans if one.run == id]
            carries = [rating[0] for area in areas if (rating := cord_rating(area or 0.0)) is not None]
            fits = [one for one in _BREAKERS if one <= min(carries, default=0.0) and one <= 16]
            edits += [Edit(f"wiring.{id}.breaker", f"{fits[-1]} A B 2-pole")] if fits else []
    if edits:
        yield change(f"{LICENSED} put a two-pole breaker into each way", *edits)
