"""The cure of each finding: changes that a workshop would make, each tried on the plan before it is offered.

A change is offered only if the plan with it, worked out and judged anew, has the finding no more, and no
watch, fault or danger that was not there before or was less grave. The first such change is the cure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from loomwright.assessment.record import Assessment
from loomwright.errors import PlanError
from loomwright.plan.edit import Edit
from loomwright.plan.edited import edited
from loomwright.plan.model import Plan
from loomwright.rules.check import Checked, check_plan
from loomwright.rules.finding import Finding
from loomwright.rules.registry import Job

from .candidates import Base, Candidate, proposals, why_none
from .measures import Figure, before_and_after
from .trial import Verdict, change, matter_of, never_stop, verdict_of

#: So many changes are tried for one finding.
TRIES = 12
#: So many of those that clear it but bring something else are followed up, if it is no more than so much.
FOLLOWED, BROUGHT = 2, 2


@dataclass(frozen=True, slots=True)
class Cure:
    """A change that clears a finding and adds none.

    Attributes
    ----------
    says : str
        The change in a workshop's words: "C4 in 2.5 mm² instead of 1 mm²".
    edits : tuple of Edit
        The same for `apply_edits`, one step.
    before_after : tuple of Figure
        The figure of the finding as it is and with the change.
    clears : tuple of int
        Numbers of all findings that it clears, from 1, in the order of the check.
    """

    says: str
    edits: tuple[Edit, ...]
    before_after: tuple[Figure, ...]
    clears: tuple[int, ...]

    def as_dict(self) -> dict[str, object]:
        """Return the cure as it stands in JSON."""
        figures = [
            {"what": one.what, "before": one.before, "after": one.after, "unit": one.unit}
            for one in self.before_after
        ]
        edits = [edit.as_data() for edit in self.edits]
        return {"says": self.says, "edits": edits, "rechecked": True, "before_after": figures}


@dataclass(frozen=True, slots=True)
class Answer:
    """The cure of the finding of a number, from 1; or why there is none."""

    number: int
    cure: Cure | None
    why: str = ""


def cures(plan: Plan, *, go_on: Callable[[], bool] = never_stop) -> Iterator[Answer]:
    """Give the cure of each danger, fault and watch of a plan, as they are found.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.
    go_on : callable
        Asked before each trial; where it says False, no more come.

    Returns
    -------
    iterator of Answer
        One for each finding that is more than a note, in the order of the check. Several that one change
        clears have the same edits. A later answer of the same number stands in place of the first: then a
        change for another finding clears this one too.
    """
    yield from cures_of(check_plan(plan), go_on=go_on)


def cures_of(checked: Checked, *, go_on: Callable[[], bool] = never_stop) -> Iterator[Answer]:
    """Give the cures of a plan that has been checked; like `cures`."""
    trials = _Trials(checked)
    known: dict[int, Cure] = {}
    for number, finding in enumerate(checked.findings, 1):
        if finding.severity == "note":
            continue
        if number in known:
            yield Answer(number, known[number])
            continue
        tried: list[Candidate] = []
        nearly: list[_Tried] = []
        found: dict[int, Cure] = {}
        for candidate in islice(proposals(trials.start, finding), TRIES):
            if not go_on():
                return
            tried.append(candidate)
            outcome = trials.try_on(finding, candidate)
            if outcome is not None and not outcome.brings:
                found = trials.cures(outcome)
                break
            if outcome is not None and len(outcome.brings) <= BROUGHT and len(nearly) < FOLLOWED:
                nearly.append(outcome)
        found = found or trials.mended(finding, nearly, go_on)
        if not found:
            if not go_on():
                return
            yield Answer(number, None, why_none(finding, tried))
        for other, cure in found.items():
            better = other not in known or set(known[other].clears) < set(cure.clears)
            if better:
                known[other] = cure
            if better and other <= number:
                yield Answer(other, cure)


@dataclass(frozen=True, slots=True)
class _Tried:
    """A change that clears its finding, what the plan is with it, and what it brings that was not there."""

    candidate: Candidate
    checked: Checked
    verdict: Verdict
    brings: tuple[Finding, ...]


class _Trials:
    """A checked plan, and what has been tried on it."""

    def __init__(self, checked: Checked) -> None:
        self.checked = checked
        self.verdict = verdict_of(checked)
        self.start = Base(Job(checked.assessment))
        self.seen: dict[str, Verdict | None] = {}

    def try_on(self, finding: Finding, candidate: Candidate) -> _Tried | None:
        """Return what a change does; None if it does not clear the finding, or makes no plan."""
        key = str([edit.as_data() for edit in candidate.edits])
        if key in self.seen and not _is_cleared(finding, self.seen[key]):
            return None
        try:
            plan = edited(self.checked.assessment.plan, candidate.edits)
            checked = check_plan(plan, told=False)
        except PlanError:
            self.seen[key] = None
            return None
        verdict = self.seen[key] = verdict_of(checked)
        if not _is_cleared(finding, verdict):
            return None
        return _Tried(candidate, checked, verdict, change(self.verdict, verdict).come)

    def mended(
        self, finding: Finding, nearly: Sequence[_Tried], go_on: Callable[[], bool]
    ) -> dict[int, Cure]:
        """Return what is left when the things that a change brings are cured too, one after the other."""
        for start in nearly:
            tried: _Tried | None = start
            while tried is not None and tried.brings:
                tried = self._with_less(finding, tried, go_on)
            if tried is not None:
                return self.cures(tried)
        return {}

    def _with_less(self, finding: Finding, tried: _Tried, go_on: Callable[[], bool]) -> _Tried | None:
        """Return the change with a further one that leaves less of what it brings; None if there is none."""
        changed = Base(Job(tried.checked.assessment), was=self.start)
        for further in islice(proposals(changed, tried.brings[0]), TRIES // 2):
            if not go_on():
                return None
            outcome = self.try_on(finding, tried.candidate.then(further))
            if outcome is not None and len(outcome.brings) < len(tried.brings):
                return outcome
        return None

    def cures(self, tried: _Tried) -> dict[int, Cure]:
        """Return a change that brings nothing as the cure of each finding that it clears, by number."""
        numbers = self._cleared(tried.verdict)
        after = tried.checked.assessment
        return {number: self._cure(tried.candidate, after, number, numbers) for number in numbers}

    def _cure(self, candidate: Candidate, after: Assessment, number: int, clears: tuple[int, ...]) -> Cure:
        finding = self.checked.findings[number - 1]
        figures = before_and_after(self.checked.assessment, after, finding)
        return Cure(candidate.says, candidate.edits, figures, clears)

    def _cleared(self, verdict: Verdict) -> tuple[int, ...]:
        return tuple(
            number
            for number, finding in enumerate(self.checked.findings, 1)
            if finding.severity != "note" and matter_of(finding) not in verdict.grades
        )


def _is_cleared(finding: Finding, verdict: Verdict | None) -> bool:
    return verdict is not None and matter_of(finding) not in verdict.grades


__all__ = ["Answer", "Cure", "Figure", "cures", "cures_of"]
