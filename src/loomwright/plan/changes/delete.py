"""An entry taken out of a plan, with what falls with it, said beforehand in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from loomwright.errors import PlanError
from loomwright.plan.changes.consequences import consequences
from loomwright.plan.changes.facts import Facts, facts_of, refuse
from loomwright.plan.changes.falling import Falling
from loomwright.plan.changes.losses import losses
from loomwright.plan.changes.references import Path
from loomwright.plan.changes.saying import Said, listed
from loomwright.plan.changes.shape import edits_between, value_at
from loomwright.plan.desk import SPACES, unknown_id
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.plan.tree import Map, parse, to_data

_WHAT = {section: what for space in SPACES for section, what in space.items()}


@dataclass(frozen=True, slots=True)
class Deletion:
    """The edits that take an entry out, and what else comes of it, a sentence each."""

    edits: tuple[Edit, ...]
    consequences: tuple[str, ...]


def delete(plan: Plan, text: str, space: str, id: str) -> Deletion:
    """Return how an entry is taken out so that the plan still reads, and what that means.

    Runs that start or end at a part fall with it; out of lists, `through`, modes, use, labels and the rest
    it is taken. What ends on a stud ends on the body then. Numbers of wires that are no more are retired.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
        Its text.
    space : str
        The section: `parts`, `wiring`, `studs`, `places` ...
    id : str
        Of the entry; `U1/KS` for a part or run inside a composite.

    Raises
    ------
    PlanError
        There is no such entry in this text, or something needs it that can't be mended by taking out.
    """
    tree = parse(text)
    path = _path_of(tree, plan, space, id)
    if space == "places" and (studs := [name for name, stud in plan.studs.items() if stud.place == id]):
        stand, them = ("stands", "it") if len(studs) == 1 else ("stand", "them")
        refuse(f"places.{id}", f"{listed(studs)} {stand} here. Put {them} elsewhere first.")
    falling = Falling(tree)
    falling.take_out(path)
    data = falling.result()
    _retire_fallen(falling, data)
    says = consequences(plan, falling)
    runs = [str(path[1]) for path in falling.dead if path[0] == "wiring" and len(path) == 2]
    if plan.document == "plan":
        before, after = facts_of(plan), facts_of(_read(text, falling.data, data))
        says = [*losses(before, after, runs, id if space == "wiring" else None), *says]
        says += _retire_lost(before, after, falling.data, data)
    else:
        says = [*(f"{run} goes too." for run in runs if (space, id) != ("wiring", run)), *says]
    retired = Said()
    for number in _newly_retired(falling.data, data):
        retired.add(f"label {number}", "is retired.", "are retired.")
    return Deletion(tuple(edits_between(falling.data, data)), (*says, *retired.sentences()))


def _path_of(tree: Map, plan: Plan, space: str, id: str) -> Path:
    """Return the path of an entry that stands in this text."""
    units, (*_, name) = id.split("/")[:-1], id.split("/")
    path: Path = ()
    for unit in units:
        path = (*path, "parts", unit, "inside")
    path = (*path, space, name)
    data: Any = to_data(tree)
    try:
        value_at(data, path)
    except (KeyError, TypeError):
        if plan.of is not None and id in getattr(plan, space, ()):
            says = f"{id} stands in {plan.of}. Take it out there, or write removed: [{space}.{id}] here."
        else:
            known = data.get(space) if isinstance(data.get(space), dict) else {}
            says = unknown_id(id, _WHAT.get(space, "entry"), known)
        refuse(f"{space}.{id}", says)
    return path


def _read(text: str, old: dict[str, Any], new: dict[str, Any]) -> Plan:
    """Return the plan after the change.

    Raises
    ------
    PlanError
        It would not read; with the first reason.
    """
    try:
        return read_plan(apply_edits(text, tuple(edits_between(old, new))))
    except PlanError as wrong:
        first = wrong.problems[0]
        refuse(first.path, f"this can't be taken out as it is: {first.says}")


# --- labels


def _retire_fallen(falling: Falling, data: dict[str, Any]) -> None:
    """Retire the numbers whose wires fell by name."""
    lost = [path[1] for path in falling.gone if path[0] == "labels" and len(path) == 2]
    _retire(falling.data, data, [str(name) for name in lost])


def _retire(old: dict[str, Any], data: dict[str, Any], wires: list[str]) -> None:
    numbers = [old["labels"][wire] for wire in wires if wire in (old.get("labels") or {})]
    if not numbers:
        return
    labels = {name: value for name, value in (data.get("labels") or {}).items() if name not in wires}
    retired = labels.get("retired") or []
    listed = retired if isinstance(retired, list) else [retired]
    data["labels"] = {**labels, "retired": [*listed, *(one for one in numbers if one not in listed)]}


def _newly_retired(old: dict[str, Any], data: dict[str, Any]) -> list[str]:
    def listed(labels: Any) -> list[str]:
        retired = (labels or {}).get("retired") or []
        return retired if isinstance(retired, list) else [retired]

    before = listed(old.get("labels"))
    return [number for number in listed(data.get("labels")) if number not in before]


def _retire_lost(before: Facts, after: Facts, old: dict[str, Any], data: dict[str, Any]) -> Iterator[str]:
    """Retire the numbers of wires that are no more, and drop what was accepted of them."""
    were = {piece.id for piece in before.wiring.pieces()}
    lost = were - {piece.id for piece in after.wiring.pieces()}
    _retire(old, data, [wire for wire in data.get("labels") or {} if wire in lost])
    accepted = data.get("accepted") or {}
    for name in [name for name, entry in accepted.items() if entry.get("where") in lost]:
        yield f"What was accepted of {accepted[name]['where']} goes too."
        data["accepted"] = {key: entry for key, entry in data["accepted"].items() if key != name}
    if data.get("accepted") == {}:
        del data["accepted"]


__all__ = ["Deletion", "delete"]
