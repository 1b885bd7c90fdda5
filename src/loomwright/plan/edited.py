"""A plan with edits tried on it: nothing is written, no text is parsed again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from loomwright.plan.edit import Edit, apply_edit
from loomwright.plan.model import Plan
from loomwright.plan.read import read_data
from loomwright.plan.tree import to_data

#: What ties a variant or an as-built record to its parents; laid over them it stands alone.
_TIES = ("of", "removed", "serial", "readings")


def document(plan: Plan) -> dict[str, Any]:
    """Return what is typed in a plan as plain maps, lists and texts; a new copy each time.

    Examples
    --------
    >>> from loomwright.plan.read import read_plan
    >>> document(read_plan("loomwright: 1\\ntitle: First van\\nregion: eu"))["title"]
    'First van'
    """
    data = dict(to_data(plan.tree))
    if plan.document != "plan":
        for name in _TIES:
            data.pop(name, None)
        data["document"] = "plan"
    return data


def edited(plan: Plan, edits: Sequence[Edit]) -> Plan:
    """Return the plan as it would read with some edits.

    Parameters
    ----------
    plan : Plan
        As `read_plan` or `read_data` gives it.
    edits : sequence of Edit
        Applied in order, as one step.

    Raises
    ------
    PlanError
        An edit names a place that is not there, or what comes out is no plan.
    """
    data = document(plan)
    for edit in edits:
        apply_edit(edit, data, plan.tree)
    return replace(read_data(data), weather_data=plan.weather_data)
