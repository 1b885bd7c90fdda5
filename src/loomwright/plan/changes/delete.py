"""An entry taken out of a plan, with what falls with it, said beforehand in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from loomwright.errors import PlanError
from loomwright.plan.changes.facts import Facts, facts_of, refuse, title_of
from loomwright.plan.changes.falling import Falling
from loomwright.plan.changes.references import Path, Reference
from loomwright.plan.changes.shape import edits_between, step_of, value_at
from loomwright.plan.desk import SPACES, unknown_id
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.plan.tree import Map, parse, to_data

_WHAT = {section: what for space in SPACES for section, what in space.items()}
#: Parts of a run that are worth a sentence of their own.
_CHAINS = ("through", "return", "via", "to", "fuse")


@dataclass(frozen=True, slots=True)
class Deletion:
    """The edits that take an entry out, and what else comes of it, a sentence each."""

    edits: tuple[Edit, ...]
    consequences: tuple[str, ...]


def delete(plan: Plan, text: str, space: str, id: str) -> Deletion:
    """Return how an entry is taken out so that the plan still reads, and what that means.

    Runs that start or end at a part fall with it; out of lists, `through`, modes, use, labels and the rest
    it is taken. Numbers of wires that are no more are retired.

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
        refuse(f"places.{id}", f"{_listed(studs)} {stand} here. Put {them} elsewhere first.")
    falling = Falling(tree)
    falling.take_out(path)
    data = falling.result()
    _retire_fallen(falling, data)
    says = list(_Words(plan, falling).sentences())
    if plan.document == "plan":
        after = _read(text, falling.data, data)
        says += _retire_lost(facts_of(plan), facts_of(after), falling.data, data)
        says += _unwired(plan, facts_of(plan), facts_of(after))
    says += [f"Label {number} is retired." for number in _newly_retired(falling.data, data)]
    return Deletion(tuple(edits_between(falling.data, data)), tuple(dict.fromkeys(says)))


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
        yield f"accepted.{name} goes too: it was about {accepted[name]['where']}."
        data["accepted"] = {key: entry for key, entry in data["accepted"].items() if key != name}
    if data.get("accepted") == {}:
        del data["accepted"]


def _unwired(plan: Plan, before: Facts, after: Facts) -> Iterator[str]:
    """Say which parts have no wire any more."""

    def wired(facts: Facts) -> set[str]:
        found = (facts.wiring.part_of(point) for point in facts.linked)
        return {part.partition("/")[0] for part in found if part is not None}

    for id in sorted(wired(before) - wired(after)):
        if id in after.plan.parts and not is_consumer(plan.parts[id].kind):
            yield f"{title_of(plan, id)} has no wire any more."


# --- words


class _Words:
    """Says what falls."""

    def __init__(self, plan: Plan, falling: Falling) -> None:
        self.plan, self.falling = plan, falling

    def sentences(self) -> Iterator[str]:
        """Yield what else happens, in the order in which it was found."""
        falling = self.falling
        for path in falling.dead[1:]:
            yield self._entry(path)
        if falling.dead[0][0] == "wiring" and len(falling.dead[0]) == 2:
            yield from self._feed(str(falling.dead[0][1]), falling.dead[0])
        for path, by in falling.gone.items():
            if not falling.is_dead(path) and by is not None and path[0] != "labels":
                yield self._loss(path, by)
        for path, value in falling.instead.items():
            if not falling.is_dead(path):
                yield self._change(path, value)

    def _entry(self, path: Path) -> str:
        """Say that an entry falls too."""
        section, id, by = path[-2], str(path[-1]), self.falling.gone[path]
        named = by.node.text if by is not None else ""
        if section == "wiring":
            run = self.plan.wiring.get(id) if len(path) == 2 else None
            ends = (
                f", from {run.from_} to {_listed([str(end) for end in run.to])}," if run is not None else ""
            )
            return next(self._feed(id, path), f"{id}{ends} goes too.")
        if section == "promises":
            return f"The promise {id} goes too: it is about {named}."
        if section == "accepted":
            return f"accepted.{id} goes too: it was about {named}."
        return f"{'.'.join(map(str, path))} goes too: it needs {named}."

    def _feed(self, key: str, path: Path) -> Iterator[str]:
        """Say which loads a run that falls fed."""
        run = self.plan.wiring.get(key) if len(path) == 2 else None
        ends = [end.id for end in run.to] if run is not None else []
        loads = [id for id in ends if self._is_left(id) and is_consumer(self.plan.parts[id].kind)]
        names = [title_of(self.plan, id) for id in loads]
        if names:
            all_of = (
                "it loses its" if len(names) == 1 else f"{'both' if len(names) == 2 else 'all'} lose their"
            )
            yield f"{key} feeds {_listed(names)}: {all_of} feed."

    def _is_left(self, id: str) -> bool:
        return id in self.plan.parts and ("parts", id) not in self.falling.dead

    def _loss(self, path: Path, by: Reference) -> str:
        """Say that something goes out of an entry that stays."""
        step, dotted = step_of(path), ".".join(str(name) for name in path if isinstance(name, str))
        key = str(path[1]) if len(path) > 1 else ""
        if step.record == "FuseEntry":
            return self._change(path[:-1], None)
        if path[0] == "wiring" and step.field in _CHAINS:
            return self._of_run(key, step.record, step.field, by.id)
        if path[0] == "modes" and step.field == "switches":
            return f"Mode {key} sets {path[-1]}: that line goes."
        if path[0] == "modes" and step.field == "hook_up":
            return f"Mode {key} is hooked up to nothing any more."
        if step.field == "place":
            return f"{title_of(self.plan, key)} has no place any more."
        if step.field == "along":
            return f"The path {key} runs past {by.id} no more."
        if step.what == "item":
            return f"{dotted} names {by.node.text} no more."
        return f"{dotted} goes too."

    def _of_run(self, key: str, record: str, field: str, id: str) -> str:
        if field == "return" or (record == "Return" and field == "to"):
            return f"{key} returns at {id}: it has no return now. Give it another."
        if field == "through":
            return f"{id} is passed through by {key}: {key} goes straight on."
        if field == "via":
            return f"{key} lies in {id} no more."
        if field == "to":
            left = [end.id for end in self.plan.wiring[key].to if end.id != id and self._is_left(end.id)]
            return f"{key} feeds {_listed([title_of(self.plan, one) for one in left])} only."
        return f"The fuse of {key} at {id} goes."

    def _change(self, path: Path, value: Any) -> str:
        step = step_of(path)
        key = str(path[1])
        if step.field == "fuse" or value is None:
            return f"A fuse of {key} sat at a part that goes: it sits at the start of the run now."
        if isinstance(value, dict):
            return f"{title_of(self.plan, key)} was like it: its fields are written out."
        return f"{'.'.join(map(str, path))} names nothing any more."


def _listed(names: list[str]) -> str:
    """Return names in a sentence: one, two and three."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else "nothing"
