"""All findings of a plan: the rules at both ends of what is unknown, and what the unknown decides.

A finding that holds at the good end stands. One that holds only at the bad end becomes a watch that names
the fields to fill in; it is said once for each thing it is about.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from importlib import import_module

from loomwright.assessment.assess import Corners
from loomwright.assessment.banded import Bands, bands_of
from loomwright.assessment.record import Assessment
from loomwright.plan.model import Plan

from . import accepting
from .finding import SEVERITIES, Finding
from .registry import Job, run_rules

#: Where the rules stand; importing a module registers its own.
MODULES = (
    "accepting",
    "batteries",
    "breaking",
    "colours",
    "dimmers",
    "drops",
    "ends",
    "feeding_back",
    "guarding",
    "leads",
    "loading",
    "mains",
    "modes",
    "moved",
    "series",
    "starting",
    "studs",
    "supply",
    "terminals",
    "under_load",
    "vehicle",
)
for _name in MODULES:
    import_module(f"{__package__}.{_name}")
#: So many fields are named in one watch.
NAMED = 3


@dataclass(frozen=True)
class Checked:
    """An assessment with its findings, gravest first; the bands of its figures when they are asked for."""

    assessment: Assessment
    findings: tuple[Finding, ...]
    corners: Corners = field(compare=False, repr=False)

    @cached_property
    def bands(self) -> Bands:
        """What each figure may be over all that is not known exactly."""
        return bands_of(self.corners)


def check_plan(plan: Plan) -> Checked:
    """Assess a plan and run every rule.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.

    Returns
    -------
    Checked
        The assessment at the bad end of what is unknown, and the findings.
    """
    corners = Corners(plan)
    findings = list(run_rules(Job(corners.bad)))
    open_rules = {one.rule for one in findings if one.unknown and one.severity != "note"}
    if open_rules:
        findings = _decided(findings, list(run_rules(Job(corners.good), only=open_rules)))
    findings = accepting.marked(plan, findings)
    findings += list(run_rules(Job(corners.bad, tuple(findings)), last=True))
    return Checked(corners.bad, tuple(sorted(findings, key=Finding.order)), corners)


def _decided(worst: list[Finding], sure: list[Finding]) -> list[Finding]:
    """Keep what holds at both ends; turn the rest into one watch per thing, naming what is not known."""
    held = {(finding.rule, finding.where, finding.also): finding for finding in sure}
    kept: list[Finding] = []
    open_questions: dict[str, Finding] = {}
    for finding in worst:
        match = held.get((finding.rule, finding.where, finding.also))
        if match is not None and match.severity == finding.severity:
            kept.append(finding)
        elif match is not None:
            kept.append(match)
        elif finding.severity == "note" or not finding.unknown:
            kept.append(finding)
        else:
            open_questions.setdefault(finding.where, finding)
    return kept + [_question(finding) for finding in open_questions.values()]


def _question(finding: Finding) -> Finding:
    fields = ", ".join(finding.unknown[:NAMED])
    return replace(
        finding,
        rule="unknown_figure_decides",
        at_worst=finding.rule,
        severity="watch",
        says=f"not known well enough to judge: at the worst {finding.says}",
        do=f"measure or look up, and fill in {fields}",
    )


def count(findings: tuple[Finding, ...], severity: str) -> int:
    """Return how many findings have a severity."""
    return sum(1 for finding in findings if finding.severity == severity)


__all__ = ["MODULES", "SEVERITIES", "Checked", "check_plan", "count"]
