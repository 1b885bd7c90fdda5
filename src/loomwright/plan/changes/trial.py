"""A new entry read on trial, beside the plan that it is for: is it one that will read again?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loomwright.errors import PlanError
from loomwright.plan.checks import check_end, check_parts, check_ref
from loomwright.plan.columns import Entries, columns
from loomwright.plan.desk import SPACES, Desk, Scope
from loomwright.plan.model import Plan
from loomwright.plan.reader import Reader
from loomwright.plan.run_checks import check_run
from loomwright.plan.tree import Map, from_data


def check_new(plan: Plan, section: str, id: str, data: Mapping[str, Any] | str) -> None:
    """Read an entry against a plan; what it refers to has to be there.

    Raises
    ------
    PlanError
        With every problem, by the path of its field.
    """
    names = {what: dict.fromkeys(getattr(plan, name)) for space in SPACES for name, what in space.items()}
    names[_WHAT.get(section, section)] = {**names.get(_WHAT.get(section, section), {}), id: None}
    desk, scope = Desk("plan"), Scope(names, parts=dict(plan.parts))
    reader = Reader(desk)
    tree = from_data({section: {id: data}})
    kind = columns(Plan)[section].kind
    assert isinstance(kind, Entries), "only what has entries gets new ones"
    entries = tree.get(section)
    assert isinstance(entries, Map)
    read = reader.value(kind, entries, section, scope)
    for end in reader.ends:
        check_end(desk, end)
    for ref in reader.refs:
        check_ref(desk, ref, names)
    if section == "parts":
        check_parts(desk, {**plan.parts, **read}, entries, section)
    for run in reader.runs:
        check_run(desk, run, {})
    if desk.problems:
        raise PlanError(dict.fromkeys(desk.problems))


_WHAT = {section: what for space in SPACES for section, what in space.items()}
