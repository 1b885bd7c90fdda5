"""Edits of a plan: what the forms of the page write, and what a cure proposes.

An edit names a place by a dotted path, `wiring.W4.area` or `parts.U1.inside.parts.bridge.rests`, and says
what to write there, or that it goes. Edits given together are one step: they are applied to the data in
order, and what differs in the end is written into the text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from loomwright.errors import PlanError, Problem
from loomwright.plan.splice import rewrite
from loomwright.plan.tree import Map, Node, from_data, parse, to_data
from loomwright.plan.write import value_text

#: A dot between two digits is a decimal point: `basis.fuses.blade.7.5 A`.
_DOT = re.compile(r"(?<!\d)\.|\.(?!\d)")
#: Maps whose names may hold dots, as wire ids and outputs do: `labels.W4.return`.
_DOTTED_NAMES = frozenset({"labels", "switches"})


@dataclass(frozen=True, slots=True)
class Edit:
    """Something to write, or to remove, at one place of a plan.

    Attributes
    ----------
    at : str
        Dotted path of the place.
    write : str, list or dict
        The new value, whole; what it leaves out of a map is removed. None if nothing is written.
    remove : bool
        The entry or field goes.
    """

    at: str
    write: Any = None
    remove: bool = False

    def as_data(self) -> dict[str, Any]:
        """Return the edit as it stands in JSON."""
        return {"at": self.at, "remove": True} if self.remove else {"at": self.at, "write": self.write}


def edits_from_data(data: Any) -> tuple[Edit, ...]:
    """Return the edits of a JSON list of `{at: wiring.W4.area, write: 2.5 mm²}` or `{at: ..., remove: true}`.

    Raises
    ------
    PlanError
        It is not a list of such maps.
    """
    if not isinstance(data, list | tuple):
        raise PlanError([Problem(1, 1, "edits", "a list of maps with at and write, or at and remove.")])
    problems, edits = [], []
    for number, item in enumerate(data, 1):
        if isinstance(item, Mapping) and isinstance(item.get("at"), str):
            if item.keys() == {"at", "write"} and item["write"] is not None:
                edits.append(Edit(item["at"], item["write"]))
                continue
            if item.keys() == {"at", "remove"} and item["remove"] in (True, "true", "yes"):
                edits.append(Edit(item["at"], remove=True))
                continue
        says = f"edit {number} needs at, and either write (a value) or remove: true, and nothing else."
        problems.append(Problem(1, 1, "edits", says))
    if problems:
        raise PlanError(problems)
    return tuple(edits)


def apply_edits(text: str, edits: Sequence[Edit], file: str = "plan") -> str:
    """Return the text with the edits applied in order, as one step.

    Only the characters of what changed are touched. A new field goes to the end of its entry, a new entry to
    the end of its section, each in the style it finds; what is removed takes its line with it.

    Raises
    ------
    PlanError
        The text can't be read, or an edit names a place that is not there.

    Examples
    --------
    >>> text = "wiring:\\n  W4: {area: 1.0 mm², to: pump}   # rear\\n"
    >>> apply_edits(text, [Edit("wiring.W4.area", "2.5 mm²")])
    'wiring:\\n  W4: {area: 2.5 mm², to: pump}   # rear\\n'
    """
    tree = parse(text, file)
    data = to_data(tree)
    for edit in edits:
        apply_edit(edit, data, tree, file)
    if not any(key.text in data for key, _ in tree.entries):
        raise PlanError([Problem(1, 1, edits[-1].at, "nothing of the plan would be left.", file)])
    changed = rewrite(text, tree, data)
    if to_data(parse(changed, file)) != data:
        says = "this change can't be made in the text as it is laid out. Type it into the text itself."
        raise PlanError([Problem(*_place(tree, edits[-1].at), edits[-1].at, says, file)])
    return changed


def apply_edit(edit: Edit, data: dict[str, Any], tree: Map, file: str = "plan") -> None:
    """Change the data of a plan in place; its tree is for the places of problems.

    Raises
    ------
    PlanError
        The edit names a place that is not there.
    """
    try:
        holder, name = _find(edit, data)
        if edit.remove:
            del holder[name]
        else:
            holder.update(to_data(from_data({name: edit.write})))
    except _NoSuchPlaceError as wrong:
        raise PlanError([Problem(*_place(tree, edit.at), edit.at, str(wrong), file)]) from None
    except PlanError as wrong:
        place = _place(tree, edit.at)
        raise PlanError(Problem(*place, edit.at, problem.says, file) for problem in wrong.problems) from None


class _NoSuchPlaceError(Exception):
    """A path leads nowhere; the text says why."""


def _find(edit: Edit, data: dict[str, Any]) -> tuple[dict[str, Any], str]:
    """Return the map that holds the place, and the name in it. A section that is missing is made."""
    if not edit.remove and edit.write is None:
        raise _NoSuchPlaceError("nothing to write here. To take it out, say remove: true.")
    holder, walked = data, ""
    names = _DOT.split(edit.at)
    while True:
        name, names = _first_name(holder, names, dotted=walked in _DOTTED_NAMES)
        if name not in holder and (edit.remove or len(names) > 1 or (names and holder is not data)):
            raise _NoSuchPlaceError(_unknown(name, walked, holder))
        if not names:
            return holder, name
        if holder.get(name) is None:
            holder[name] = {}
        if not isinstance(holder[name], dict):
            says = f"{name} is one value here ({value_text(holder[name])[:40]}), without fields."
            raise _NoSuchPlaceError(f"{says} Write it whole, as a map.")
        holder, walked = holder[name], name


def _first_name(holder: Mapping[str, Any], names: list[str], dotted: bool) -> tuple[str, list[str]]:
    """Return the name that a path begins with, and what follows: the longest name there is, dots and all."""
    if dotted:
        return ".".join(names), []
    for count in range(len(names), 1, -1):
        if (name := ".".join(names[:count])) in holder:
            return name, names[count:]
    return names[0], names[1:]


def _unknown(name: str, walked: str, holder: Mapping[str, Any]) -> str:
    near = get_close_matches(name, holder, 1)
    meant = f' Did you mean "{near[0]}"?' if near else ""
    return f'{walked or "this plan"} has no "{name}".{meant}'


def _place(tree: Map, at: str) -> tuple[int, int]:
    """Return line and column of the last name of a path that the text has."""
    node: Node | None = tree
    names, name, place = _DOT.split(at), "", (1, 1)
    while isinstance(node, Map) and names:
        entries = {key.text: (key, value) for key, value in node.entries}
        name, names = _first_name(entries, names, dotted=name in _DOTTED_NAMES)
        if name not in entries:
            break
        key, node = entries[name]
        place = key.line, key.column
    return place
