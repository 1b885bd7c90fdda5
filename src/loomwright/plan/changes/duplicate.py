"""A part once more, together with its circuit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from loomwright.plan.changes.facts import BARS, BATTERIES, Facts, facts_of, refuse, title_of
from loomwright.plan.changes.ids import free_id, next_key, sort_of
from loomwright.plan.changes.references import new_texts, references_of_entry, renamed
from loomwright.plan.desk import unknown_id
from loomwright.plan.edit import Edit
from loomwright.plan.kinds import minus_of, way_of
from loomwright.plan.model import Plan, Run
from loomwright.plan.tree import Map, from_data, parse, to_data
from loomwright.plan.values import End

#: Parts that a circuit passes but that are not of it.
_COMMON = ("master_switch", "shunt", "low_voltage_cut", "busbar", "splice")
#: Parts that are copied by themselves: what hangs on them is not theirs.
_ALONE = (*BATTERIES, *BARS, "unit", "alternator", "vehicle_feed", "fuse_box", "breaker_box", "inlet")
#: What is true of one part or wire alone.
_OWN = ("serial", "built", "photo")


#: Terminals whose minus is that of the part.
_FEEDS = ("plus", "in", "battery")


@dataclass(frozen=True, slots=True)
class Duplicate:
    """A copy of a part: its id, the keys of the runs copied with it, the edits, and what they do."""

    id: str
    keys: tuple[str, ...]
    edits: tuple[Edit, ...]
    says: str


def duplicate(plan: Plan, text: str, part_id: str) -> Duplicate:
    """Return a part under a new id, with its circuit on the next free way of the same box.

    A run that feeds only this part is copied, with the switches that serve it alone, and with the same
    return; so is a run of its own minus. Where the box has no free way the part is copied alone.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
        Its text, for the fields as they are typed.
    part_id : str
        The part.

    Raises
    ------
    PlanError
        There is no such part.
    """
    if part_id not in plan.parts:
        refuse(f"parts.{part_id}", unknown_id(part_id, "part", plan.parts))
    copier = _Copier(facts_of(plan), parse(text))
    new = copier.copy(part_id)
    says = f"{title_of(plan, part_id)} is copied as {new}"
    feeds = [f"{key} from {copier.runs[key]['from']}" for key in copier.runs]
    says += f", with {', '.join(feeds)}." if feeds else "."
    also = [id for id in copier.ids.values() if id != new]
    if also:
        says += f" New besides it: {', '.join(also)}."
    return Duplicate(new, tuple(copier.runs), tuple(copier.edits()), " ".join((says, *copier.notes)))


class _Copier:
    """Copies parts and runs; `ids` are the new ids by the old ones."""

    def __init__(self, facts: Facts, tree: Map) -> None:
        self.facts, self.tree = facts, tree
        self.data: dict[str, Any] = to_data(tree)
        self.ids: dict[str, str] = {}
        self.parts: dict[str, Any] = {}
        self.runs: dict[str, Any] = {}
        self.notes: list[str] = []
        self._done: set[str] = set()
        self._ways: set[tuple[str, str]] = set()

    def edits(self) -> Iterator[Edit]:
        """Yield the edits that write the copies."""
        yield from (Edit(f"parts.{id}", data) for id, data in self.parts.items())
        yield from (Edit(f"wiring.{key}", data) for key, data in self.runs.items())

    def copy(self, id: str) -> str:
        """Copy a part and its circuit; return its new id."""
        plan = self.facts.plan
        new = self.ids[id] = free_id(plan, "parts", id, self.ids.values())
        typed = (self.data.get("parts") or {}).get(id)
        data = {name: value for name, value in typed.items() if name not in _OWN} if typed else {"like": id}
        if typed and "name" in data:
            data["name"] = self._name(data["name"])
        self.parts[new] = data
        if plan.parts[id].kind in _ALONE:
            return new
        for key, run in plan.wiring.items():
            if key not in self._done and self._is_own(id, run):
                self._copy_run(key, run)
        return new

    def _name(self, name: str) -> str:
        """Return a name like this one that no part has."""
        taken = {part.name for part in self.facts.plan.parts.values()}
        taken |= {data.get("name") for data in self.parts.values()}
        stem, _, last = name.rpartition(" ")
        stem, number = (stem, int(last) + 1) if stem and last.isdecimal() else (name, 2)
        while f"{stem} {number}" in taken:
            number += 1
        return f"{stem} {number}"

    def _is_own(self, id: str, run: Run) -> bool:
        """Return whether a run feeds only this part, or brings back its minus alone."""
        if run.from_.id != id:
            return all(end.id == id for end in run.to)
        part, terminal = self.facts.plan.parts[id], run.from_.terminal
        return terminal is not None and terminal in {minus_of(part, end) for end in _FEEDS}

    def _copy_run(self, key: str, run: Run) -> None:
        self._done.add(key)
        typed = self.tree.get("wiring")
        node = typed.get(key) if isinstance(typed, Map) else None
        if not isinstance(node, Map):
            self.notes.append(f"{key} stands in another document and is not copied.")
            return
        start = self._start(run)
        if start is None:
            self.notes.append(f"{run.from_.id} has no free way, so {key} is not copied: join it yourself.")
            return
        for id in self._passed(run):
            if id not in self.ids and self._serves_only(id, key):
                self.copy(id)
        node = from_data({key: to_data(node)}).entries[0][1]
        found = references_of_entry("wiring", key, node, self.tree)
        data = renamed(
            node, new_texts(found, lambda one: self.ids.get(one.id) if one.group == "parts" else None)
        )
        if run.from_.id not in self.ids:
            data["from"] = start
        new = next_key(self.facts, sort_of(self.facts, key), self.runs)
        self.runs[new] = {name: value for name, value in data.items() if name not in _OWN}

    def _start(self, run: Run) -> str | None:
        """Return where the copy of a run starts: at the next free way, else where the run does."""
        end, facts = run.from_, self.facts
        part = facts.plan.parts.get(end.id)
        way = way_of(part, end.terminal or "") if part is not None else None
        if part is None or way is None:
            return str(end)
        free = [name for name in facts.free_ways(end.id) if (end.id, name) not in self._ways]
        boxes = {name: found[0] for name in free if (found := way_of(part, name))}
        free = [name for name in free if boxes[name].kind == way[0].kind]
        alike = [name for name in free if boxes[name] is way[0]]
        if not free:
            return None
        name = (alike or free)[0]
        self._ways.add((end.id, name))
        return str(End(end.id, name))

    def _passed(self, run: Run) -> dict[str, None]:
        """Return the parts that a run passes, its legs and returns too."""
        passages = list(run.through)
        returns = [run.return_, *(leg.return_ for leg in run.legs.values())]
        for leg in run.legs.values():
            passages += leg.through
        for back in returns:
            passages += back.through if back is not None else ()
        return dict.fromkeys(passage.part for passage in passages)

    def _serves_only(self, id: str, key: str) -> bool:
        """Return whether a part that is passed is of this circuit alone."""
        plan = self.facts.plan
        if plan.parts[id].kind in _COMMON:
            return False
        return not any(
            id in self._passed(run) or run.from_.id == id
            for other, run in plan.wiring.items()
            if other != key
        )
