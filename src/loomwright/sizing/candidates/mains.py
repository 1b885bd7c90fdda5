"""Changes of the mains side: they are drawn here, and a licensed person does them."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change


def either_or(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with a change-over where the runs of the inlet and the inverter meet."""
    plan = base.assessment.plan
    hook_up = plan.wiring.get(finding.where)
    inverters = [id for id in finding.also if id in plan.parts and plan.parts[id].kind == "inverter"]
    own = [run for run in plan.wiring.values() if _only_from(run, *inverters)]
    if hook_up is None or len(hook_up.to) != 1 or not own:
        return
    name, met = free_id(plan, "parts", "change_over"), str(hook_up.to[0])
    place = plan.parts[inverters[0]].place
    poles = {"kind": "change_over", "poles": "2", **({"place": place} if place else {})}
    for run in own:
        size = base.at(f"wiring.{run.id}.area")
        area = {"area": size} if isinstance(size, str) else {}
        yield change(
            f"Have a licensed person put a two-pole change-over, {name}, before {met}: {hook_up.id} on one "
            f"side, {run.id} on the other",
            Edit(f"parts.{name}", poles),
            Edit(f"wiring.{hook_up.id}.to", f"{name}.in_1"),
            Edit(f"wiring.{run.id}.to", f"{name}.in_2"),
            Edit(
                f"wiring.{free_id(plan, 'wiring', name)}",
                {"from": name, "to": met, **area, "length": "0.5 m"},
            ),
        )


def bond_by_relay(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with the bond of an inverter on a relay."""
    says = f"Have a licensed person set the bond of {finding.where} to its relay"
    yield change(says, Edit(f"parts.{finding.where}.neutral_bond", "relay"))


def hook_up_only(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan with an appliance on a free way of another breaker box."""
    plan, run = base.assessment.plan, finding.where
    own = plan.wiring[run].from_ if run in plan.wiring else None
    taken = {str(one.from_) for one in plan.wiring.values()}
    for id, part in plan.parts.items():
        if own is None or part.kind != "breaker_box" or id == own.id or not isinstance(part.ways, int):
            continue
        free = next((way for way in range(1, part.ways + 1) if f"{id}.{way}" not in taken), None)
        if free is not None:
            says = f"Have a licensed person feed {run} from {id}.{free}"
            yield change(says, Edit(f"wiring.{run}.from", f"{id}.{free}"))


def _only_from(run: Run, *inverters: str) -> bool:
    return run.from_.id in inverters and run.from_.terminal in (None, "out") and len(run.to) == 1
