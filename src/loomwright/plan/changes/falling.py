"""What falls when an entry of a plan is taken out, and how what referred to it is mended.

A reference in a list or map falls out of it; an optional field falls; where a needed field would be lost the
entry falls itself, and then what refers to that. Nothing is changed until all is known: `Falling` gathers the
paths of the data that go, and what is written instead.
"""

from __future__ import annotations

import copy
import re
from collections import deque
from typing import Any

from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.references import Path, Reference, references
from loomwright.plan.changes.shape import step_of, value_at
from loomwright.plan.checks import BUILT_IN_MODES
from loomwright.plan.columns import ListOf, columns
from loomwright.plan.kinds import KINDS
from loomwright.plan.model import RECORDS
from loomwright.plan.tree import Map, to_data

#: Fields that an entry can't do without, though they may be left out where others are typed.
_CARRYING = {
    "Promise": ("season", "part", "switch", "leaves"),
    "Reading": ("red", "black", "at"),
}
#: What is written where a list is emptied that means more when it is left out.
_EMPTY = {("Mode", "running"): "none", ("Leg", "via"): "none"}
_FUSE_AT = re.compile(r" at \S+$")


class Falling:
    """Entries that fall, and the paths that go with them.

    `gone` has the paths that go, each with the reference that took it; `instead` paths with the value that is
    written there; `dead` the paths of the entries that fall, the one asked for first.
    """

    def __init__(self, tree: Map) -> None:
        self.data: dict[str, Any] = to_data(tree)
        self.gone: dict[Path, Reference | None] = {}
        self.instead: dict[Path, Any] = {}
        self.dead: list[Path] = []
        self._queue: deque[tuple[str, str, str]] = deque()
        self._index: dict[tuple[str, str, str], list[Reference]] = {}
        self._defined: dict[Path, tuple[str, str, str]] = {}
        for one in references(tree):
            target = (one.group, one.scope, one.id)
            if one.defines:
                self._defined[one.at] = target
            else:
                self._index.setdefault(target, []).append(one)

    def take_out(self, path: Path) -> None:
        """Let an entry fall, and all that falls with it."""
        self._die(path, None)
        while self._queue:
            target = self._queue.popleft()
            for one in self._index.get(target, ()):
                self._mend(one)

    def result(self) -> dict[str, Any]:
        """Return the data without what has fallen."""
        data = copy.deepcopy(self.data)
        for path, value in sorted(self.instead.items(), key=lambda one: len(one[0])):
            if not self._is_gone(path):
                value_at(data, path[:-1])[path[-1]] = copy.deepcopy(value)
        for path in sorted(self.gone, key=lambda path: tuple(map(_order, path)), reverse=True):
            if not self._is_gone(path[:-1]) and not self._is_replaced(path):
                del value_at(data, path[:-1])[path[-1]]
        for section in [name for name, value in data.items() if value == {} and self.data[name] != {}]:
            del data[section]
        return data

    def is_dead(self, path: Path) -> bool:
        """Return whether the entry that a path lies in falls."""
        return any(path[: len(dead)] == dead for dead in self.dead)

    def _is_gone(self, path: Path) -> bool:
        return any(path[:length] in self.gone for length in range(1, len(path) + 1))

    def _is_replaced(self, path: Path) -> bool:
        """Return whether a word is written where a path leads to or through."""
        starts = (path[:length] for length in range(1, len(path) + 1))
        return any(isinstance(self.instead.get(start), str) for start in starts)

    # --- one reference

    def _mend(self, one: Reference) -> None:
        """Mend what a reference to a fallen entry leaves."""
        if self._is_gone(one.at):
            return
        step = step_of(one.at)
        if step.field == "like":
            self._write_out(one.at[:-1], one)
        elif step.field == "fuse" or step.record == "FuseEntry":
            self._move_fuse(one)
        elif step.record == "Reading" and step.field == "mode" and one.id in BUILT_IN_MODES:
            return
        elif step.field == "hook_up":
            self.instead[one.at] = "any"  # left out it would mean: none
        elif one.at[0] == "wiring" and self._is_stud(one):
            self._onto_body(one)
        else:
            self.lose(one.at, one)

    def lose(self, path: Path, by: Reference | None) -> None:
        """Take out what stands at a path: an item, a name with its value, or a field."""
        step = step_of(path)
        if step.what in ("item", "name"):
            self.gone[path] = by
            holder = value_at(self.data, path[:-1])
            names = range(len(holder)) if isinstance(holder, list) else list(holder)
            if step.field == "ports":
                self._lose_port(path, by)
            if all((*path[:-1], name) in self.gone for name in names):
                self._lose_field(path[:-1], by, emptied=True)
            elif step.field == "through":
                self._lose_intermediate(path[:-1], by)
        elif step.what == "field":
            self._lose_field(path, by, emptied=False)
        else:
            self._die(path, by)

    def _lose_field(self, path: Path, by: Reference | None, *, emptied: bool) -> None:
        step = step_of(path)
        if (step.record, step.field) == ("Stud", "place"):
            refuse(".".join(map(str, path)), f"stud {path[-2]} stands here. Put it elsewhere first.")
        if emptied and (word := self._word_for_nothing(path)):
            self.instead[path] = word
        elif self._is_needed(path):
            self._lose_record(path[:-1], by)
        else:
            self.gone[path] = None if emptied else by

    def _word_for_nothing(self, path: Path) -> str | None:
        """Return what to write for a list that is emptied but can't be left out."""
        step = step_of(path)
        if step.record == "Part" and isinstance(step.kind, ListOf) and self._is_needed(path):
            return "none"
        return _EMPTY.get((step.record, step.field))

    def _is_needed(self, path: Path) -> bool:
        step = step_of(path)
        if step.field in _CARRYING.get(step.record, ()):
            return True
        if step.record == "Part":
            part = value_at(self.data, path[:-1])
            kind = part.get("kind") if isinstance(part, dict) else None
            return isinstance(kind, str) and kind in KINDS and step.field in KINDS[kind].needed
        return columns(RECORDS[step.record])[step.field].needed

    def _lose_record(self, path: Path, by: Reference | None) -> None:
        """Let a record fall that lost what it needs: an entry, or a map in a field such as a return."""
        if path in self._defined or len(path) == 2:
            self._die(path, by)
        else:
            self.lose(path, by)

    def _die(self, path: Path, by: Reference | None) -> None:
        if path in self.dead:
            return
        self.dead.append(path)
        self.gone[path] = by
        if path in self._defined:
            self._queue.append(self._defined[path])

    # --- what is special

    def _move_fuse(self, one: Reference) -> None:
        """Let a fuse at a part that falls sit at the start; one of several goes."""
        path = one.at[:-1] if one.at[-1] == "at" else one.at
        if isinstance(path[-1], int):
            self.lose(path, one)
        elif path is one.at:
            self.instead[path] = _FUSE_AT.sub("", value_at(self.data, path))
        else:
            self.gone[one.at] = one

    def _is_stud(self, one: Reference) -> bool:
        return one.group == "parts" and not one.scope and one.id in (self.data.get("studs") or {})

    def _onto_body(self, one: Reference) -> None:
        """Let what ends on a stud end on the body; a run with both ends there goes, or that end of it."""
        run = value_at(self.data, one.at[:2])
        in_return = "return" in one.at
        if not in_return and "body" in (run["from"], *self._ends(run["to"])):
            self.lose(one.at, one)
        elif one.key:
            path = one.at[:-1]
            legs = value_at(self.data, path)
            self.instead[path] = {"body" if name == one.id else name: leg for name, leg in legs.items()}
        else:
            self.instead[one.at] = "body"

    @staticmethod
    def _ends(to: Any) -> list[str]:
        return [to] if isinstance(to, str) else list(to)

    def _write_out(self, path: Path, one: Reference) -> None:
        """Give an entry the fields of the one that it was like."""
        base = value_at(self.data, (*path[:-1], one.id))
        kept = {name: value for name, value in base.items() if name not in ("name", "serial")}
        own = {name: value for name, value in value_at(self.data, path).items() if name != "like"}
        self.instead[path] = _laid_over(kept, own)

    def _lose_port(self, path: Path, by: Reference | None) -> None:
        """Let the wires fall that end at a port of a unit."""
        unit = path[:-2]
        for one in self._index.get(self._defined[unit], ()):
            if one.node.text[one.end :] == f".{path[-1]}" and not self._is_gone(one.at):
                self.lose(one.at, by)

    def _lose_intermediate(self, chain: Path, by: Reference | None) -> None:
        """Take intermediate switches out of a chain that has no pair of two-way switches any more."""
        passages = value_at(self.data, chain)
        left = [number for number in range(len(passages)) if (*chain, number) not in self.gone]
        kinds = {number: self._kind_of(chain, passages[number]) for number in left}
        if list(kinds.values()).count("two_way") >= 2:
            return
        for number in (number for number in left if kinds[number] == "intermediate"):
            self.lose((*chain, number), by)
            for one in self._index.get(("parts", _scope_of(chain), passages[number]), ()):
                if one.at[: len(chain) - 1] == chain[:-1] and "fuse" in one.at:
                    self._mend(one)

    def _kind_of(self, chain: Path, passage: str) -> str:
        parts = value_at(self.data, (*chain[: chain.index("wiring")], "parts"))
        part = parts.get(passage)
        return str(part.get("kind", "")) if isinstance(part, dict) else ""


def _scope_of(path: Path) -> str:
    """Return the composite that a path lies in, `U1/`."""
    units = [path[place + 1] for place in range(len(path) - 2) if path[place + 2] == "inside"]
    return "".join(f"{unit}/" for unit in units)


def _order(name: str | int) -> tuple[int, int, str]:
    """Return a key that sorts numbers by size, and apart from names."""
    return (0, name, "") if isinstance(name, int) else (1, 0, name)


def _laid_over(base: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """Return fields laid over others; maps are merged, all else is replaced."""
    merged = dict(base)
    for name, value in over.items():
        below = merged.get(name)
        both = isinstance(below, dict) and isinstance(value, dict)
        merged[name] = _laid_over(below, value) if both and isinstance(below, dict) else value
    return merged
