"""An entry of a plan taken out, with all that can't stand without it, and what that means in plain words.

What names the entry is found through the field table (`mentions`). A line that only makes sense with it goes
too; a passage, a switch position, a load of a season, an item of a list is taken out; a run that leads to
it, or is fed by it, goes. What taking out can't mend is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from loomwright.errors import PlanError
from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.losses import listed, losses, the
from loomwright.plan.changes.mentions import Mention, Way, mentions
from loomwright.plan.columns import Entries, columns
from loomwright.plan.desk import unknown_id
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.pieces import take_apart
from loomwright.plan.read import read_plan
from loomwright.plan.tree import Map, parse, to_data


@dataclass(frozen=True, slots=True)
class Deletion:
    """The edits that take an entry out, and a sentence for each thing that goes or changes with it."""

    edits: tuple[Edit, ...]
    consequences: tuple[str, ...]


def delete(plan: Plan, text: str, space: str, id: str) -> Deletion:
    """Return what takes one entry out of a plan so that it reads again without errors.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
        Of the plan.
    space : str
        Section of the entry: `parts`, `studs`, `places`, `paths`, `wiring`, `supplies`, `modes`, `use` ...
    id : str
        Its id there.

    Raises
    ------
    PlanError
        There is no such entry, or something needs it that can't go by itself.
    """
    tree = parse(text)
    if plan.of is not None:
        refuse("of", f"what stands in {plan.of} can't be taken out here. Write removed: [{space}.{id}].")
    _check_there(plan, tree, space, id)
    work = _Work(plan, tree)
    work.entry(space, id)
    edits, after = _tried(work, text, space, id)
    if work.retire_stale(after):
        edits, after = _tried(work, text, space, id)
    said = [*losses(plan, after, work.runs_gone, id), *work.says]
    return Deletion(edits, tuple(dict.fromkeys(said)))


def _check_there(plan: Plan, tree: Map, space: str, id: str) -> None:
    row = columns(Plan).get(space)
    if row is None or not isinstance(row.kind, Entries):
        refuse(space, f"{space} has no entries that could be taken out one by one.")
    if id not in getattr(plan, space):
        if "/" in id:
            refuse(f"{space}.{id}", f"{id} is inside a composite part. Change the part, or its text.")
        refuse(f"{space}.{id}", unknown_id(id, f"entry of {space}", getattr(plan, space)))


def _tried(work: _Work, text: str, space: str, id: str) -> tuple[tuple[Edit, ...], Plan]:
    """Return the edits and the plan that they give; refuse what would not read."""
    edits = tuple(_edits(work.data, work.left(), ""))
    try:
        return edits, read_plan(apply_edits(text, edits))
    except PlanError as wrong:
        first = wrong.problems[0]
        return refuse(f"{space}.{id}", f"it can't go by itself. {first.path}: {first.says}")


def _edits(old: dict[str, Any], new: dict[str, Any], at: str) -> Iterator[Edit]:
    """Yield the smallest edits from one tree of data to another."""
    for name in dict.fromkeys((*old, *new)):
        to_name = f"{at}.{name}" if at else name
        if name not in new:
            yield Edit(to_name, remove=True)
        elif name not in old:
            yield Edit(to_name, new[name])
        elif old[name] != new[name]:
            if isinstance(old[name], dict) and isinstance(new[name], dict) and old[name] and new[name]:
                yield from _edits(old[name], new[name], to_name)
            else:
                yield Edit(to_name, new[name])


#: Maps that go with their last line.
_GO_WHEN_EMPTY = ("switches", "loads", "body_to", "plugged")
_NOTHING = object()


class _Work:
    """What goes, what is written instead, and what is said of it."""

    def __init__(self, plan: Plan, tree: Map) -> None:
        self.plan = plan
        self.data: dict[str, Any] = to_data(tree)
        self.says: list[str] = []
        self.runs_gone: list[str] = []
        self._mentions = mentions(tree)
        self._gone: set[Way] = set()
        self._put: dict[Way, Any] = {}
        self._keys: dict[Way, str] = {}

    # --- what is left

    def left(self) -> dict[str, Any]:
        """Return the data without what goes."""
        left: dict[str, Any] = self._left(self.data, ())
        return left

    def _left(self, value: Any, way: Way) -> Any:
        if way in self._put:
            return self._put[way]
        if isinstance(value, dict) and value:
            kept = {
                self._keys.get((*way, name), name): new
                for name, inner in value.items()
                if (*way, name) not in self._gone and (new := self._left(inner, (*way, name))) is not _NOTHING
            }
            if way == ("labels",) and (*way, "retired") in self._put:
                kept["retired"] = self._put[*way, "retired"]
            goes = len(way) == 1 or way[-1:] in [(name,) for name in _GO_WHEN_EMPTY]
            return _NOTHING if goes and not kept else kept
        if isinstance(value, list):
            items = [self._left(item, (*way, number)) for number, item in enumerate(value)]
            kept_items = [item for number, item in enumerate(items) if (*way, number) not in self._gone]
            if kept_items:
                return kept_items
            return "none" if way[0] == "modes" and way[-1] == "running" else _NOTHING
        return value

    def _at(self, way: Way) -> Any:
        """Return the data at a way."""
        value: Any = self.data
        for step in way:
            value = value[step]
        return value

    def _is_gone(self, way: Way) -> bool:
        return any(way[:count] in self._gone for count in range(1, len(way) + 1))

    # --- what goes

    def entry(self, space: str, id: str) -> None:
        """Take one entry out, and what names it."""
        self._gone.add((space, id))
        if space == "wiring":
            self.runs_gone.append(id)
        named = [one for one in self._mentions if (one.space, one.id) == (space, id) and not one.gives]
        for one in sorted(named, key=lambda one: not _carries_run(one)):
            if not self._is_gone(one.way):
                self._unname(space, one)

    def _unname(self, space: str, one: Mention) -> None:
        if one.way[0] == "labels":
            self._retire(str(one.way[-1]))
        elif one.way[0] == "accepted":
            self._goes(one.way[:2], f"What was accepted of {self._at(one.way)} ({one.way[1]}) goes too.")
        else:
            _BY_SPACE[space](self, one)

    def _goes(self, way: Way, says: str) -> None:
        self._gone.add(way)
        self.says.append(says)

    def _retire(self, wire: str) -> None:
        """Take the number of a wire out of use."""
        if (way := ("labels", wire)) in self._gone:
            return
        number = self._at(way)
        self._goes(way, f"Label {number} ({wire}) is retired.")
        typed = self.data["labels"].get("retired") or []
        before = self._put.get(("labels", "retired"), typed if isinstance(typed, list) else [typed])
        self._put["labels", "retired"] = [*before, number]

    def retire_stale(self, after: Plan) -> bool:
        """Retire the labels of pieces that are there no more; return whether there were any."""
        if not after.labels.numbers:
            return False
        is_now = {piece.id for piece in take_apart(after).pieces()}
        was = {piece.id for piece in take_apart(self.plan).pieces()}
        stale = [wire for wire in after.labels.numbers if wire in was - is_now]
        for wire in stale:
            self._retire(wire)
        return bool(stale)

    # --- a part

    def part(self, one: Mention) -> None:
        """Take out one mention of a part."""
        section, entry = one.way[:2]
        if section == "wiring":
            self._part_of_run(one, str(entry))
        elif section == "parts":
            self._part_of_part(one, str(entry))
        elif section == "modes":
            self._part_of_mode(one, str(entry))
        elif section == "use":
            self._goes(one.way, f"{'.'.join(map(str, one.way))} goes too.")
        else:
            self._part_of_promise(one, str(entry))

    def _part_of_run(self, one: Mention, key: str) -> None:
        field, way = _field(one.way)
        if field == "from" or (field == "to" and self._only_load(one.way)):
            self.entry("wiring", key)
        elif field == "to":
            rest = [end.id for end in self.plan.wiring[key].to if end.id != one.id]
            self._goes(one.way, f"{key} no longer goes to it, only to {self._titles(rest)}.")
        elif field == "fuse":
            self._unfuse(way, key)
        elif "through" in way:
            back = "The return of " if "return" in way else ""
            subject = f"{back}{key}" if back else key
            self._goes(one.way, f"{one.id} is passed through by {key}: {_low(subject)} goes straight on.")
        else:
            self._goes(way, f"{key} returned to it: {key} has no return now.")

    def _only_load(self, way: Way) -> bool:
        to = self._at(way[:3])
        return len(way) == 3 or len(to) == 1

    def _unfuse(self, way: Way, key: str) -> None:
        """Let a fuse beside the part sit at the beginning, if none sits there yet."""
        typed = self._at(way)
        beside = self._at(way[:-1]) if isinstance(way[-1], int) else []
        if any(not _has_at(fuse) for fuse in beside):
            self._goes(way, f"The fuse of {key} beside it goes too.")
        elif isinstance(typed, dict):
            self._goes((*way, "at"), f"The fuse of {key} beside it moves to the beginning of {key}.")
        else:
            self._put[way] = typed.rpartition(" at ")[0]
            self.says.append(f"The fuse of {key} beside it moves to the beginning of {key}.")

    def _part_of_part(self, one: Mention, id: str) -> None:
        field, of = one.way[2], the(self.plan, id)
        if field == "like":
            self._write_out(one)
            return
        if field == "priority" and set(self._items(one.way[:3])) == {one.id}:
            refuse(f"parts.{id}", f"{of} has nothing else to drop, and needs something. Delete {id} first.")
        self._goes(
            one.way,
            {
                "charges": f"{of} no longer says which battery it charges.",
                "plugged": f"{of} is no longer plugged in there: any socket.",
                "off_while": f"{of} is no longer held off by it.",
                "priority": f"{of} no longer drops it.",
                "includes": f"The sum of {of} no longer includes it: look at its figure.",
            }[str(field)],
        )

    def _write_out(self, one: Mention) -> None:
        """Give an entry the fields that it had by being like the one that goes."""
        base = {
            name: value
            for name, value in self._at((one.space, one.id)).items()
            if name not in ("name", "serial")
        }
        own = {name: value for name, value in self._at(one.way[:2]).items() if name != "like"}
        self._put[one.way[:2]] = _laid_over(base, own)
        self.says.append(f"{one.way[1]} was like it: its fields are written out there.")

    def _items(self, way: Way) -> list[str]:
        items = self._at(way)
        return items if isinstance(items, list) else [items]

    def _part_of_mode(self, one: Mention, mode: str) -> None:
        field = one.way[2]
        if field == "switches":
            self._goes(one.way, f"Mode {mode} sets {one.way[3]}: that line goes.")
        elif field == "plugged":
            self._goes(one.way, f"Mode {mode} says where {one.way[3]} is plugged in: that line goes.")
        else:
            what = "runs" if field == "running" else "starts"
            self.says.append(f"Mode {mode} {what} it: there it goes too.")
            if field == "running" and len(one.way) == 3:  # left out it would mean: all
                self._put[one.way] = "none"
            else:
                self._gone.add(one.way)

    def _part_of_promise(self, one: Mention, promise: str) -> None:
        if one.way[2] == "leaves" and set(self._items(one.way[:3])) != {self._at(one.way)}:
            self._goes(one.way, f"The promise {promise} no longer says that it stays live.")
        else:
            self._goes(one.way[:2], f"The promise {promise} is about it and goes too.")

    # --- a stud

    def stud(self, one: Mention) -> None:
        """Let what ends on a stud end on the body."""
        if one.way[0] == "studs":
            self._goes(one.way, f"The figure measured to it from {one.way[1]} goes.")
            return
        key = str(one.way[1])
        run = self.plan.wiring[key]
        field, _ = _field(one.way)
        ends = [run.from_.id, *(end.id for end in run.to)]
        if field in ("from", "to") and "body" in ends:
            if field == "to" and len(run.to) > 1 and run.from_.id != "body":
                self._goes(one.way, f"{key} ends on the bare body there.")
            else:
                self.entry("wiring", key)
            return
        if one.key:
            self._keys[one.way] = "body"
        else:
            self._put[one.way] = "body"
        what = f"The return of {key}" if field == "return" else key
        verb = "begins" if field == "from" else "ends"
        self.says.append(f"{what} {verb} on the bare body now; no stud is named.")

    # --- places, paths, seasons, supplies

    def place(self, one: Mention) -> None:
        """Take out one mention of a place or path."""
        section, entry = str(one.way[0]), str(one.way[1])
        if section == "studs":
            there = [id for id, stud in self.plan.studs.items() if stud.place == one.id]
            them = "it" if len(there) == 1 else "them"
            says = f"{listed(there)} {'is' if len(there) == 1 else 'are'} there, and a stud needs a place."
            refuse(f"{one.space}.{one.id}", f"{says} Move {them} first, or delete {them}.")
        if section == "wiring" or "wiring" in one.way:
            says = f"{entry if section == 'wiring' else one.way[-3]} no longer lies in {one.id}."
        elif section == "paths":
            says = f"The path {entry} no longer runs past {one.id}."
        else:
            says = f"{the(self.plan, entry)} has no place now."
        self._goes(one.way, f"{says[0].upper()}{says[1:]}" if section == "cargo" else says)

    def season(self, one: Mention) -> None:
        """Take out one mention of a season."""
        if one.way[0] == "use":
            self._write_out(one)
        else:
            self._goes(one.way[:2], f"The promise {one.way[1]} is about that season and goes too.")

    def supply(self, one: Mention) -> None:
        """Let a mode be on any supply."""
        self._put[one.way] = "any"
        self.says.append(f"Mode {one.way[1]} is on any supply now.")

    def _titles(self, ids: list[str]) -> str:
        return listed([the(self.plan, id) for id in ids])


_BY_SPACE: dict[str, Callable[[_Work, Mention], None]] = {
    "parts": _Work.part,
    "studs": _Work.stud,
    "places": _Work.place,
    "paths": _Work.place,
    "use": _Work.season,
    "supplies": _Work.supply,
}


def _carries_run(one: Mention) -> bool:
    """Return whether a run can't be without what is mentioned: to be looked at first."""
    return one.way[0] == "wiring" and _field(one.way)[0] in ("from", "to")


def _field(way: Way) -> tuple[str, Way]:
    """Return the field of a run or leg that a way leads into, and the way to that field or fuse."""
    start = 4 if way[2] == "to" and len(way) > 4 else 2
    field = str(way[start])
    if field == "return" and "through" not in way and "via" not in way:
        return field, way[: start + 1]
    if field == "fuse":
        return field, way[: start + 2] if len(way) > start + 1 and isinstance(way[start + 1], int) else way[
            : start + 1
        ]
    return field, way


def _has_at(fuse: Any) -> bool:
    return "at" in fuse if isinstance(fuse, dict) else " at " in fuse


def _laid_over(base: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Return the fields of both; in maps that both have, those of both."""
    merged = dict(own)
    for name, value in base.items():
        if name not in own:
            merged[name] = value
        elif isinstance(value, dict) and isinstance(own[name], dict):
            merged[name] = _laid_over(value, own[name])
    return merged


def _low(subject: str) -> str:
    return f"the {subject[4:]}" if subject.startswith("The ") else subject


__all__ = ["Deletion", "delete"]
