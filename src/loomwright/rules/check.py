"""All findings of a plan: the rules at both ends of what is unknown, and what the unknown decides.

A finding that holds at the good end stands. One that holds only at the bad end becomes a watch that names
what decides it and how to measure that; it is said once for each thing it is about.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from importlib import import_module

from loomwright.assessment.assess import Corners
from loomwright.assessment.banded import Bands, Progress, bands_of
from loomwright.assessment.record import Assessment
from loomwright.plan.model import Plan

from . import accepting
from .deciding import decided
from .finding import SEVERITIES, Finding
from .ranges import with_ranges_said
from .registry import Job, run_rules

#: Where the rules stand; importing a module registers its own.
MODULES = (
    "accepting",
    "batteries",
    "breaking",
    "breaks",
    "charging",
    "colours",
    "derating",
    "dimmers",
    "drops",
    "ends",
    "energy",
    "feeding_back",
    "guarding",
    "leads",
    "loading",
    "hook_up",
    "lying",
    "mains",
    "mains_cables",
    "mains_guards",
    "modes",
    "moved",
    "pitch_loads",
    "polarity",
    "series",
    "shell",
    "shorts",
    "starting",
    "studs",
    "supply",
    "terminals",
    "under_load",
    "vehicle",
    "zones",
    "weighing",
)
for _name in MODULES:
    import_module(f"{__package__}.{_name}")


@dataclass(frozen=True, slots=True)
class Checked:
    """An assessment with its findings, gravest first; the bands of its figures when they are asked for."""

    assessment: Assessment
    findings: tuple[Finding, ...]
    corners: Corners = field(compare=False, repr=False)
    _bands: list[Bands] = field(default_factory=list, init=False, compare=False, repr=False)

    @property
    def bands(self) -> Bands:
        """What each figure may be over all that is not known exactly."""
        return self.banded()

    def banded(self, progress: Progress | None = None) -> Bands:
        """Return the bands, worked out once; `progress` as for `bands_of`."""
        if not self._bands:
            self._bands.append(bands_of(self.corners, progress))
        return self._bands[0]


def check_plan(plan: Plan, *, told: bool = True) -> Checked:
    """Assess a plan and run every rule.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.
    told : bool
        False in a trial: rules that never say more than a note, what decides an open question, and which
        range a finding hangs on, are left out.

    Returns
    -------
    Checked
        The assessment at the bad end of what is unknown, and the findings.
    """
    corners = Corners(plan)
    findings = list(run_rules(Job(corners.bad), notes=told))
    open_rules = {one.rule for one in findings if one.unknown and one.severity != "note"}
    if open_rules:
        sure = list(run_rules(Job(corners.good), only=open_rules))
        findings = decided(corners, findings, sure, told=told)
    findings = accepting.marked(plan, with_ranges_said(corners, findings) if told else findings)
    findings += list(run_rules(Job(corners.bad, tuple(findings)), last=True, notes=told))
    return Checked(corners.bad, tuple(sorted(findings, key=Finding.order)), corners)


def count(findings: tuple[Finding, ...], severity: str) -> int:
    """Return how many findings have a severity."""
    return sum(1 for finding in findings if finding.severity == severity)


__all__ = ["MODULES", "SEVERITIES", "Checked", "check_plan", "count"]
