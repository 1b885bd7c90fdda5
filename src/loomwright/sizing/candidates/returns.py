"""Returns and earths: a return where there is none, another stud, a second stud, swapped ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from loomwright.assessment.shell import over_moving_parts
from loomwright.assessment.sizes import zones_of
from loomwright.assessment.states import NO_BODY_RETURN
from loomwright.plan.changes.facts import BARS, Facts, facts_of, nearest_first, title_of
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.pieces import BODY
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change

#: So many studs are tried, the nearest first.
_STUDS = 3


def some_return(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a return to the load that has none: to the nearest stud, beside the feed, to a minus bar."""
    plan = base.assessment.plan
    facts = facts_of(plan)
    for run in plan.wiring.values():
        if finding.where not in {end.id for end in run.to}:
            continue
        for to in _earths(facts, finding.where):
            words = "beside the feed" if to == "wire" else f"to {to}"
            yield change(f"a return {words} for {run.id}", Edit(f"wiring.{run.id}.return", to))


def _earths(facts: Facts, part: str) -> Iterator[str]:
    plan = facts.plan
    studs = [stud for stud in plan.studs if not facts.is_bond(stud)]
    yield from nearest_first(plan, part, studs)[:_STUDS]
    yield "wire"
    yield from (stud for stud in studs[:_STUDS])
    yield from (id for id, one in plan.parts.items() if one.kind in BARS and facts.side(id) == "minus")


def past_the_body(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the return beside its feed where it ends on a body that brings nothing back."""
    plan = base.assessment.plan
    if plan.vehicle.body in NO_BODY_RETURN:
        for run in plan.wiring.values():
            back = run.return_.to if run.return_ is not None else None
            ends_on_body = back is not None and (back.id == BODY or back.id in plan.studs)
            if finding.where in {end.id for end in run.to} and ends_on_body:
                yield change(f"return of {run.id} beside its feed", Edit(f"wiring.{run.id}.return", "wire"))


def other_return(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the load that starts or loses another way back: a wire beside its feed, or another stud."""
    plan = base.assessment.plan
    facts = facts_of(plan)
    load = finding.cause or next((name for name in finding.also if name in plan.parts), finding.where)
    for run in plan.wiring.values():
        if {end.id for end in run.to} != {load} or run.return_ is None:
            continue
        for to in _earths(facts, load):
            if to != str(run.return_.to):
                words = "beside its feed" if to == "wire" else f"on {to}"
                edits = (Edit(f"wiring.{run.id}.return", to),)
                yield change(f"return of {run.id} {words} instead of {run.return_.to}", *edits)


def named_stud(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the bare end a stud: one near by, else a new one at the place of its load."""
    plan = base.assessment.plan
    wire = base.assessment.wires[finding.where]
    run = plan.wiring.get(wire.run)
    if run is None:
        return
    part = next((end.id for end in (*run.to, run.from_) if end.id in plan.parts), "")
    place = plan.parts[part].place if part else None
    facts = facts_of(plan)
    studs = [stud for stud in plan.studs if not facts.is_bond(stud)]
    for stud in (nearest_first(plan, part, studs) or studs)[:_STUDS]:
        if edits := _bare_ends(base, run, stud):
            yield change(f"{finding.where} on stud {stud}", *edits)
    if place is not None:
        stud, new = _new_stud(base, place)
        if edits := _bare_ends(base, run, stud):
            says = f"a new stud {stud} at {title_of(plan, place)} for {finding.where}"
            yield change(says, new, *edits)


def off_the_moving_part(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a return that ends on a part that moves a wire of its own: beside its feed, to a fixed stud."""
    plan, bare = base.assessment.plan, finding.cause or BODY
    run = plan.wiring.get(finding.where)
    if run is None:
        return
    if run.return_ is not None and run.return_.to is not None and run.return_.to.id == bare:
        yield change(f"return of {run.id} beside its feed", Edit(f"wiring.{run.id}.return", "wire"))
    moving = {one.stud for one in over_moving_parts(base.assessment.wiring)}
    part = next((end.id for end in (*run.to, run.from_) if end.id in plan.parts), "")
    facts = facts_of(plan)
    fixed = [id for id in plan.studs if id not in moving and id != bare and not facts.is_bond(id)]
    for stud in (nearest_first(plan, part, fixed) or fixed)[:_STUDS]:
        if not _is_moving(base, stud) and (edits := _bare_ends(base, run, stud, bare)):
            yield change(f"return of {run.id} by wire to stud {stud}", *edits)


def _is_moving(base: Base, stud: str) -> bool:
    place = base.assessment.plan.places.get(base.assessment.plan.studs[stud].place)
    return place is not None and "moving" in zones_of(base.assessment.plan, place)


def _new_stud(base: Base, place: str) -> tuple[str, Edit]:
    stud = free_id(base.assessment.plan, "studs", "E1")
    return stud, Edit(f"studs.{stud}", {"place": place})


def _bare_ends(base: Base, run: Run, stud: str, bare: str = "body") -> tuple[Edit, ...]:
    """Return the edits that end on a stud whatever of a run ends on the bare body, or on another stud."""
    at = f"wiring.{run.id}"
    found = []
    for name in ("from", "to"):
        if base.at(f"{at}.{name}") == bare:
            found.append(Edit(f"{at}.{name}", stud))
    found += _return_edits(base.at(at).get("return"), f"{at}.return", stud, bare)
    legs = base.at(at).get("to")
    for load, leg in legs.items() if isinstance(legs, dict) else ():
        if isinstance(leg, dict):
            found += _return_edits(leg.get("return"), f"{at}.to.{load}.return", stud, bare)
    return tuple(found)


def _return_edits(typed: Any, at: str, stud: str, bare: str) -> list[Edit]:
    if typed == bare:
        return [Edit(at, stud)]
    if isinstance(typed, dict) and typed.get("to") == bare:
        return [Edit(f"{at}.to", stud)]
    return []


def second_stud(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a stud a second one beside it, and move rings there: the smallest that are enough, or half."""
    plan = base.assessment.plan
    figure = base.assessment.studs.get(finding.where)
    if figure is None:
        return
    stud, new = _new_stud(base, figure.place)
    moves: list[tuple[str, tuple[Edit, ...]]] = []
    for piece, _ in sorted(figure.rings, key=lambda ring: ring[1]):
        wire = base.assessment.wires.get(piece)
        run = plan.wiring.get(wire.run) if wire is not None else None
        if run is None or run.id in {id for id, _ in moves}:
            continue
        if edits := _bare_ends(base, run, stud, finding.where):
            moves.append((run.id, edits))
    most = int(base.job.limits.stud_lugs.watch or 4)
    few = max(1, figure.lugs - most)
    for count in dict.fromkeys((few, len(moves) // 2, len(moves) - 1)):
        if 0 < count <= len(moves):
            edits = tuple(edit for _, one in moves[:count] for edit in one)
            names = ", ".join(id for id, _ in moves[:count])
            yield change(f"a second stud {stud} beside {finding.where} for {names}", new, *edits)


def stud_for_sensor(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the sensor's return a stud of its own beside the shared one."""
    wire = base.assessment.wires.get(finding.also[0])
    run = base.assessment.plan.wiring.get(wire.run) if wire is not None else None
    if run is None:
        return
    stud, new = _new_stud(base, base.assessment.studs[finding.where].place)
    if edits := _bare_ends(base, run, stud, finding.where):
        yield change(f"a stud {stud} of its own for {finding.also[0]}", new, *edits)


def turned_round(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the load with its two wires swapped."""
    swapped = {"plus": "minus", "minus": "plus"}
    edits = []
    for run in base.assessment.plan.wiring.values():
        data = base.at(f"wiring.{run.id}")
        for name in ("from", "to"):
            id, _, terminal = str(data[name]).partition(".")
            if id == finding.where and terminal in swapped:
                edits.append(Edit(f"wiring.{run.id}.{name}", f"{id}.{swapped[terminal]}"))
    if edits:
        yield change(f"the two wires of {base.job.name(finding.where)} swapped", *edits)
