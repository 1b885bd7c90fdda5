"""What the plan accepts: a watch that an entry names is marked, and entries that do not hold are found.

Only a watch can be accepted. There is no clock here: an entry has run out if the plan's own date is later.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from loomwright.plan.model import Plan
from loomwright.plan.model.life import Accepted

from .finding import Finding
from .registry import WORKSHOP, Job, rule

GRAVE = ("danger", "fault")


def marked(plan: Plan, findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings with the watches that the plan accepts marked as such.

    Parameters
    ----------
    plan : Plan
        With its section `accepted`.
    findings : iterable of Finding
        Of its rules.
    """
    return [_marked(plan, finding) for finding in findings]


def _marked(plan: Plan, finding: Finding) -> Finding:
    key = accepted_by(plan, finding)
    return finding if key is None else replace(finding, accepted=_reason(plan.accepted[key]))


def accepted_by(plan: Plan, finding: Finding) -> str | None:
    """Return the id of the entry that accepts a finding; None if none does, or if it is no watch.

    Parameters
    ----------
    plan : Plan
        With its section `accepted`.
    finding : Finding
        Any of its findings.
    """
    if finding.severity != "watch":
        return None
    keys = (
        key for key, entry in plan.accepted.items() if _names(entry, finding) and not _ran_out(plan, entry)
    )
    return next(keys, None)


def _names(entry: Accepted, finding: Finding) -> bool:
    """True if an entry means a finding: its rule, and its wire, part or stud, or a place that it is at."""
    at = (finding.where, *finding.place.split(", "))
    return entry.rule == finding.rule and entry.where in at


def _reason(entry: Accepted) -> str:
    since = f", {entry.date}" if entry.date else ""
    until = f"; to be looked at again by {entry.until}" if entry.until else ""
    return f"{entry.because} ({entry.by}{since}{until})"


def _ran_out(plan: Plan, entry: Accepted) -> bool:
    return entry.until is not None and plan.date is not None and plan.date > entry.until


def _finding(job: Job, rule_name: str, key: str, says: str, do: str) -> Finding:
    where = job.assessment.plan.accepted[key].where
    return Finding(
        rule=rule_name,
        severity="fault" if rule_name == "cannot_be_accepted" else "note",
        where=where,
        place=job.place(where),
        says=f"accepted.{key} {says}",
        do=do,
        source=WORKSHOP,
        cause=key,
    )


@rule(
    worst="fault",
    asks="Is nothing accepted but watches?",
    why="A danger or fault hurts whoever uses the van, whatever somebody signed; only a watch is a choice.",
    last=True,
)
def cannot_be_accepted(job: Job) -> Iterator[Finding]:
    for key, entry in job.assessment.plan.accepted.items():
        grave = next((one for one in job.found if one.severity in GRAVE and _names(entry, one)), None)
        if grave is not None:
            yield _finding(
                job,
                "cannot_be_accepted",
                key,
                f"names a {grave.severity} ({grave.rule} at {grave.where}), which cannot be accepted",
                f"mend it, and take accepted.{key} out of the plan",
            )


@rule(
    worst="note",
    asks="Is each accepted watch still there?",
    why="An entry for what was mended long ago hides the same watch when it comes back.",
    last=True,
)
def accepted_not_found(job: Job) -> Iterator[Finding]:
    for key, entry in job.assessment.plan.accepted.items():
        if not any(_names(entry, finding) for finding in job.found):
            yield _finding(
                job,
                "accepted_not_found",
                key,
                f"names {entry.rule} at {entry.where}, which is no longer found",
                f"take accepted.{key} out of the plan",
            )


@rule(
    worst="note",
    asks="Has any acceptance run out?",
    why="What was good for one season is looked at again before the next.",
    last=True,
)
def acceptance_ran_out(job: Job) -> Iterator[Finding]:
    plan = job.assessment.plan
    for key, entry in plan.accepted.items():
        watches = (one for one in job.found if one.severity == "watch" and _names(entry, one))
        if _ran_out(plan, entry) and any(watches):
            yield _finding(
                job,
                "acceptance_ran_out",
                key,
                f"was good until {entry.until}, and the plan is of {plan.date}: the watch stands again",
                "look at it anew, and write another date at until, or mend it",
            )
