"""New entries by form: parts, studs, places, paths."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from loomwright.errors import PlanError
from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.ids import check_new_id, free_id
from loomwright.plan.changes.trial import check_new
from loomwright.plan.desk import unknown_id
from loomwright.plan.edit import Edit
from loomwright.plan.kinds import KINDS
from loomwright.plan.model import Plan


class New(NamedTuple):
    """A new entry: its id and the edits that write it."""

    id: str
    edits: tuple[Edit, ...]


def new_part(plan: Plan, kind: str, fields: Mapping[str, Any] | None = None, id: str | None = None) -> New:
    """Return a new part of a kind.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    kind : str
        `lamp`, `fuse_box` ...
    fields : mapping, optional
        Fields as they are typed. A needed one that is left out is written as `unknown` where that may stand.
    id : str, optional
        Else it is made from the name, or from the kind.

    Raises
    ------
    PlanError
        There is no such kind, the id is taken, or a field is not of its kind.
    """
    if kind not in KINDS:
        refuse("parts", unknown_id(kind, "kind", KINDS))
    given = dict(fields or {})
    id = _id(plan, "parts", id, str(given.get("name") or kind))
    data = {"kind": kind, **given}
    for name in KINDS[kind].needed:
        if name not in data and _may_be_unknown(plan, id, data, name):
            data[name] = "unknown"
    return _new(plan, "parts", id, data)


def new_stud(plan: Plan, place: str, fields: Mapping[str, Any] | None = None, id: str | None = None) -> New:
    """Return a new earth stud at a place.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    place : str
        The id of its place.
    fields : mapping, optional
        Further fields as they are typed.
    id : str, optional
        Else the next one like the last stud: E1, E2 ...

    Raises
    ------
    PlanError
        There is no such place, the id is taken, or a field is not of its kind.
    """
    last = ["E1", *plan.studs][-1]
    return _new(plan, "studs", _id(plan, "studs", id, last), {"place": place, **(fields or {})})


def new_place(plan: Plan, name: str, fields: Mapping[str, Any] | None = None, id: str | None = None) -> New:
    """Return a new place; one with coordinates alone is written `kitchen: [0.6, 0.7, 0.5]`.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    name : str
        What it is called; its id is made from this.
    fields : mapping, optional
        `at`, `zones` ... as they are typed.
    id : str, optional
        Another id than the one made from the name.

    Raises
    ------
    PlanError
        The id is taken, or a field is not of its kind.
    """
    data: Any = dict(fields or {})
    if data.keys() == {"at"} and isinstance(data["at"], list | tuple):
        data = list(data["at"])
    return _new(plan, "places", _id(plan, "places", id, name), data)


def new_path(plan: Plan, name: str, fields: Mapping[str, Any] | None = None, id: str | None = None) -> New:
    """Return a new path that a loom may run in.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    name : str
        What it is called; its id is made from this.
    fields : mapping, optional
        `along`, `hole` ... as they are typed.
    id : str, optional
        Another id than the one made from the name.

    Raises
    ------
    PlanError
        The id is taken, or a field is not of its kind.
    """
    return _new(plan, "paths", _id(plan, "paths", id, name), dict(fields or {}))


def _id(plan: Plan, section: str, id: str | None, wish: str) -> str:
    if id is None:
        return free_id(plan, section, wish)
    check_new_id(plan, section, id)
    return id


def _new(plan: Plan, section: str, id: str, data: Any) -> New:
    check_new(plan, section, id, data)
    return New(id, (Edit(f"{section}.{id}", data),))


def _may_be_unknown(plan: Plan, id: str, data: Mapping[str, Any], name: str) -> bool:
    """Return whether `unknown` is a value of a field, whatever else is wrong with the part."""
    try:
        check_new(plan, "parts", id, {**data, name: "unknown"})
    except PlanError as wrong:
        return not any(problem.path == f"parts.{id}.{name}" for problem in wrong.problems)
    return True
