"""The numbered sign of a finding, as tables and lists of the book carry it, and what was accepted."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.plan.model import Plan
from loomwright.plan.model.life import Accepted
from loomwright.rules.check import Checked
from loomwright.rules.finding import Finding, Severity


@dataclass(frozen=True, slots=True)
class Mark:
    """Number and severity of a finding: its sign."""

    number: int
    severity: Severity


def marks_of(checked: Checked, id: str) -> tuple[Mark, ...]:
    """Return the signs of the findings that are about a thing of this id, gravest first."""
    return tuple(
        Mark(number, finding.severity)
        for number, finding in enumerate(checked.findings, 1)
        if id == finding.where or id in finding.also
    )


def accepted(plan: Plan, finding: Finding) -> Accepted | None:
    """Return the plan's entry that accepts a finding; a danger or a fault can't be accepted.

    Parameters
    ----------
    plan : Plan
        With its section `accepted`.
    finding : Finding
        Any finding.
    """
    if finding.severity not in ("watch", "note"):
        return None
    entries = (
        one for one in plan.accepted.values() if (one.rule, one.where) == (finding.rule, finding.where)
    )
    return next(entries, None)
