"""Accepting a watch, with a reason and initials, and taking that back: each one step."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, NamedTuple

from loomwright.errors import PlanError, Problem
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.model.life import Accepted
from loomwright.rules.accepting import accepted_by
from loomwright.rules.finding import Finding

from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .markup import fill
from .reading import Reading
from .work import Work

#: The fields of the form, with what is said where a needed one is left empty.
_FIELDS = {
    "because": "Write why this may stay as it is.",
    "by": "Write who accepts it, initials will do.",
    "date": "",
    "until": "",
}


class Taken(NamedTuple):
    """An entry of the plan that accepts a watch: its id, and what it says."""

    id: str
    entry: Accepted


def taken_of(plan: Plan, finding: Finding) -> Taken | None:
    """Return the entry that accepts a finding; None if none does, or if it is no watch."""
    id = accepted_by(plan, finding)
    return None if id is None else Taken(id, plan.accepted[id])


def accept_markup(reading: Reading, number: int) -> str:
    """Return the form that accepts a watch, or what was accepted; empty for all but a watch."""
    finding, plan = reading.checked.findings[number - 1], reading.plan
    if finding.severity != "watch":
        return ""
    taken = taken_of(plan, finding)
    back = (
        []
        if taken is None
        else [Edit("accepted" if len(plan.accepted) == 1 else f"accepted.{taken.id}", remove=True)]
    )
    today = date.today().isoformat()
    return fill("accept.html", number=number, finding=finding, taken=taken, back=back, today=today)


def accept(work: Work, asked: Mapping[str, Any]) -> Done:
    """Write that a watch is accepted."""
    rule, where = text_of(asked, "rule"), text_of(asked, "where")

    def change(text: str, reading: Reading) -> str:
        found = [one for one in reading.checked.findings if (one.rule, one.where) == (rule, where)]
        if not any(one.severity == "watch" for one in found):
            raise AskedWronglyError("Only a watch can be accepted.")
        id = _free_id(reading.plan)
        return apply_edits(text, [Edit(f"accepted.{id}", {"rule": rule, "where": where} | _typed(asked, id))])

    moment = work.change(change, f"accepting a watch at {where}", rev_of(asked), by_of(asked))
    return Done(
        moment, says="Accepted; it stays on the sheets and in the book with its reason. Undo takes it back."
    )


def _typed(asked: Mapping[str, Any], id: str) -> dict[str, str]:
    given = asked.get("typed")
    if not isinstance(given, Mapping):
        raise AskedWronglyError("typed: a map of field to text.")
    typed = {name: str(given.get(name, "")).strip() for name in _FIELDS}
    lacking = [
        Problem(1, 1, f"accepted.{id}.{name}", says)
        for name, says in _FIELDS.items()
        if says and not typed[name]
    ]
    if lacking:
        raise PlanError(lacking)
    return {name: value for name, value in typed.items() if value}


def _free_id(plan: Plan) -> str:
    return next(
        f"A{number}" for number in range(1, len(plan.accepted) + 2) if f"A{number}" not in plan.accepted
    )


ACTS: dict[str, Act] = {"accept": accept}
