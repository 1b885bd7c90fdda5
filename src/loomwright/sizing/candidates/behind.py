"""Changes for what is live from behind: leads brought to the far side of a master or shunt, a feed out."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.values import End
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, Move, change

_BATTERIES = ("battery", "vehicle_battery")


def to_far_side(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with every lead on the battery's side of a master or shunt brought to its far side.

    Then the plan without a wire that joins the two sides.
    """
    sides = _sides(base, finding.where)
    if sides is None:
        return
    near, far = sides
    runs = [run for run in base.assessment.plan.wiring.values() if not _holds(run, finding.where)]
    moves = [move for run in runs for move in _moved(base, run, near, far)]
    if moves:
        yield Candidate(tuple(moves))
    for run in runs:
        ends = {str(run.from_), *map(str, run.to)}
        if ends & near and (far in ends or f"{far}.plus" in ends):
            yield change(f"{run.id} taken out", Edit(f"wiring.{run.id}", remove=True))


def _holds(run: Run, device: str) -> bool:
    ends = (run.from_, *run.to)
    return any(one.part == device for one in run.through) or any(
        end.id == device and end.terminal != "battery" for end in ends
    )


def _sides(base: Base, device: str) -> tuple[set[str], str] | None:
    """Return how ends on the battery's side of a device are typed, and an end on its far side."""
    plan = base.assessment.plan
    for run in plan.wiring.values():
        if not any(one.part == device for one in run.through):
            continue
        ends = (run.from_, *run.to)
        at_battery = [end for end in ends if _is_battery(base, end)]
        others = [end for end in ends if end not in at_battery]
        if len(at_battery) == 1 and others:
            near = at_battery[0]
            plus = {near.id, f"{near.id}.plus"} if near.terminal in (None, "plus") else set()
            return {str(near), *plus}, str(others[0])
    if plan.parts[device].kind == "shunt":
        return {f"{device}.battery"}, f"{device}.load"
    return None


def _moved(base: Base, run: Run, near: set[str], far: str) -> Iterator[Move]:
    """Give the moves that bring what of a run ends on the battery's minus, or its bolt, to the far side."""
    minus = {end for end in near if end.endswith((".minus", ".battery"))}
    at = f"wiring.{run.id}"
    back = base.at(f"{at}.return")
    if isinstance(back, str) and back in minus:
        yield Move(f"the return of {run.id} brought to {far}", (Edit(f"{at}.return", far),))
    elif isinstance(back, dict) and back.get("to") in minus:
        yield Move(f"the return of {run.id} brought to {far}", (Edit(f"{at}.return.to", far),))
    for side, others in (("from", run.to), ("to", (run.from_,))):
        typed = base.at(f"{at}.{side}")
        if isinstance(typed, str) and typed in minus and not any(_is_battery(base, end) for end in others):
            yield Move(f"{run.id} brought to {far}", (Edit(f"{at}.{side}", far),))


def _is_battery(base: Base, end: End) -> bool:
    part = base.assessment.plan.parts.get(end.id)
    return part is not None and part.kind in _BATTERIES


def other_feed_out(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan without another wire that ends where the wire of a vehicle's circuit ends."""
    plan = base.assessment.plan
    circuit = finding.where
    own = [run for run in plan.wiring.values() if circuit in (str(run.from_), run.from_.id)]
    met = {str(end) for run in own for end in run.to}
    for run in plan.wiring.values():
        if run not in own and {str(run.from_), *map(str, run.to)} & met:
            yield change(f"{run.id} taken out", Edit(f"wiring.{run.id}", remove=True))
        back = base.at(f"wiring.{run.id}.return")
        end = back.get("to") if isinstance(back, dict) else back
        for stud in plan.studs if end in met else ():
            yield change(
                f"the return of {run.id} on stud {stud}", Edit(f"wiring.{run.id}.return", {"to": stud})
            )


def charger_to_battery(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with a charger that feeds from behind led to a house battery, its fuse at that end."""
    plan = base.assessment.plan
    for run in plan.wiring.values():
        if run.from_.id not in finding.also or any(_is_battery(base, end) for end in run.to):
            continue
        for battery in (id for id, part in plan.parts.items() if part.kind == "battery"):
            at, fuse = f"wiring.{run.id}", base.at(f"wiring.{run.id}.fuse")
            edits = [Edit(f"{at}.to", battery)]
            if isinstance(fuse, str) and " at " not in fuse:
                edits.append(Edit(f"{at}.fuse", f"{fuse} at to"))
            yield change(f"{run.id} led to {battery}", *edits)


def return_on_a_stud(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with the return of a load on a stud, where it ends on something else."""
    plan = base.assessment.plan
    for run in plan.wiring.values():
        back = base.at(f"wiring.{run.id}.return")
        end = back.get("to") if isinstance(back, dict) else back
        if finding.where in {end.id for end in run.to} and end not in (None, "body", "wire", *plan.studs):
            for stud in plan.studs:
                yield change(
                    f"the return of {run.id} on stud {stud}", Edit(f"wiring.{run.id}.return", {"to": stud})
                )
