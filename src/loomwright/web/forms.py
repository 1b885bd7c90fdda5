"""The forms on a slip: what can be changed of a thing, and what can be joined to it."""

from __future__ import annotations

from loomwright.plan.changes.candidates import candidates
from loomwright.plan.kinds import passages, terminals, usual_passage
from loomwright.plan.model import Plan

from .markup import fill
from .reading import Reading
from .thing import Thing

#: What a wire goes through, in the order in which it is offered.
_SWITCHES = ("switch", "two_way", "intermediate", "dimmer", "relay", "sensing_relay", "master_switch",
             "low_voltage_cut", "shunt", "plug")  # fmt: skip


def forms(reading: Reading, thing: Thing) -> str:
    """Return the forms of a thing."""
    return connecting(reading.plan, thing) if thing.kind in ("part", "stud", "terminal") else ""


def connecting(plan: Plan, thing: Thing) -> str:
    """Return the form that runs a wire from a part, a stud or a terminal; a part inside a unit has none."""
    if "/" in thing.id:
        return ""
    found = candidates(plan, thing.id)
    starts = [thing.id]
    if thing.kind == "part" and thing.id in plan.parts:
        starts += [f"{thing.id}.{name}" for name in terminals(plan.parts[thing.id])]
    return fill(
        "connect.html",
        thing=thing,
        starts=starts,
        candidates=found,
        passages=_passages(plan),
        studs=list(plan.studs),
    )


def _passages(plan: Plan) -> list[tuple[str, str]]:
    """Return what a wire may go through, each with its name."""
    found = []
    for kind in _SWITCHES:
        for id, part in plan.parts.items():
            if part.kind == kind and usual_passage(part) is not None:
                found.append((id, f"{id}{f', {part.name}' if part.name else ''}"))
            elif part.kind == kind and kind == "plug":
                found += [(f"{id}.{pin}", f"{id}, pin {pin}") for pin in terminals(part) if passages(part)]
    return found
