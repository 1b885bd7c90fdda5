"""Trying a plan with one figure changed: the verdicts, and how many trials are left."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from loomwright.plan.model import Plan, Run
from loomwright.rules.check import Checked, check_plan
from loomwright.rules.finding import SEVERITIES, Finding

#: What a finding is about, whatever its figures and its grade.
Matter = tuple[str, str, str]
#: A note is for information: one more or less changes no verdict.
_GRAVITY = {severity: -rank for rank, severity in enumerate(SEVERITIES) if severity != "note"}


def never_stop() -> bool:
    """Return True: go on until the trials are used up."""
    return True


def matter_of(finding: Finding) -> Matter:
    """Return what a finding is about: its rule, the thing, and what brings it about."""
    return finding.rule, finding.where, finding.cause


@dataclass(frozen=True, slots=True)
class Verdict:
    """The findings of one plan, and the gravest grade of each matter."""

    findings: tuple[Finding, ...]
    grades: Mapping[Matter, int]

    def worse_than(self, base: Verdict) -> bool:
        """Return whether something is found that was not found before, or is graver."""
        return any(grade > base.grades.get(matter, -len(SEVERITIES)) for matter, grade in self.grades.items())


def verdict_of(checked: Checked) -> Verdict:
    """Return the verdict of a checked plan."""
    grades: dict[Matter, int] = {}
    for finding in checked.findings:
        if finding.severity in _GRAVITY:
            matter, grade = matter_of(finding), _GRAVITY[finding.severity]
            grades[matter] = max(grade, grades.get(matter, grade))
    return Verdict(checked.findings, grades)


@dataclass(frozen=True, slots=True)
class Change:
    """What differs between two verdicts, notes left out.

    `gone` are findings of the first, `come` and `eased` those of the second: new or graver ones, and such
    as were graver before.
    """

    gone: tuple[Finding, ...] = ()
    come: tuple[Finding, ...] = ()
    eased: tuple[Finding, ...] = ()


def same(finding: Finding) -> tuple[str, str, frozenset[str], str]:
    """Return what makes two findings the same one: rule, what it is about, grade."""
    return finding.rule, finding.where, frozenset(finding.also), finding.severity


def change(base: Verdict, tried: Verdict) -> Change:
    """Return what a change of the plan does to its findings."""
    before, after = ({same(finding) for finding in one.findings} for one in (base, tried))
    gone = [one for one in base.findings if same(one) not in after and matter_of(one) not in tried.grades]
    new = [one for one in tried.findings if same(one) not in before and one.severity in _GRAVITY]
    eased = [one for one in new if _GRAVITY[one.severity] < base.grades.get(matter_of(one), -len(_GRAVITY))]
    come = [one for one in new if _GRAVITY[one.severity] > base.grades.get(matter_of(one), -len(SEVERITIES))]
    graded = (one for one in gone if one.severity in _GRAVITY)
    return Change(tuple(graded), tuple(come), tuple(eased))


class OutOfTrialsError(Exception):
    """So many trials were allowed and no more, or the caller asked to stop."""


@dataclass(slots=True)
class Bench:
    """A plan, its verdict, and the trials that are left.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.
    left : int
        So many trials may still be made.
    go_on : callable
        Asked before each trial; False ends them.
    """

    plan: Plan
    left: int
    go_on: Callable[[], bool] = never_stop
    checked: Checked = field(init=False)
    base: Verdict = field(init=False)

    def __post_init__(self) -> None:
        self.checked = check_plan(self.plan)
        self.base = verdict_of(self.checked)

    def verdict(self, plan: Plan) -> Verdict:
        """Return the verdict of a changed plan.

        Raises
        ------
        OutOfTrialsError
            No trial is left.
        """
        if self.left <= 0 or not self.go_on():
            raise OutOfTrialsError
        self.left -= 1
        return verdict_of(check_plan(plan, told=False))

    def with_run(self, id: str, run: Run) -> Plan:
        """Return the plan with one run changed."""
        return replace(self.plan, wiring={**self.plan.wiring, id: run})
