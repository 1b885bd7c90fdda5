"""What hangs on a range that the plan states: such a finding stands, and says so.

A range counts with its worse end. Where the better end of all ranges would not bring a finding, or would
bring a milder one, each range is turned for itself, and those that do it are named.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from loomwright.assessment.assess import Corners
from loomwright.assessment.inputs import Corner
from loomwright.assessment.record import Assessment

from .finding import Finding
from .registry import Job, run_rules

#: So many ranges are turned one by one; of more, all are named together.
TURNED = 8

_Key = tuple[str, str, tuple[str, ...], str]
_Held = dict[_Key, str]


def with_ranges_said(corners: Corners, findings: list[Finding]) -> list[Finding]:
    """Return findings, those that hang on a stated range with that in their words.

    Parameters
    ----------
    corners : Corners
        The plan's assessments.
    findings : list of Finding
        Of all rules.
    """
    ranges = [one.field for one in corners.unsure.values() if one.typed]
    graver = [one for one in findings if one.severity != "note"]
    if not ranges or not graver:
        return findings
    rules = {one.at_worst or one.rule for one in graver}
    kept = _held(corners.at(Corner.RANGES_BETTER).assessment, rules)
    hanging = {id(one) for one in graver if _hangs(one, kept)}
    if not hanging:
        return findings
    turned: dict[str, _Held] = {}
    if len(ranges) <= TURNED:
        for field in ranges:
            job = corners.at(Corner.BAD, turned=frozenset([field])).assessment
            turned[field] = _held(job, rules)
    return [_said(one, ranges, turned) if id(one) in hanging else one for one in findings]


def _said(finding: Finding, ranges: list[str], turned: dict[str, _Held]) -> Finding:
    alone = [field for field, held in turned.items() if _hangs(finding, held)]
    names = alone or ranges
    many = "ranges" if len(names) > 1 else "range"
    how = "each alone" if len(alone) > 1 else "together" if len(names) > 1 else ""
    says = f"{finding.says}; hangs on the {many} at {' and '.join(names)}{how and f', {how}'}"
    return replace(finding, says=says)


def _held(job: Assessment, rules: Iterable[str]) -> _Held:
    return {_key(one): one.severity for one in run_rules(Job(job), only=set(rules))}


def _hangs(finding: Finding, held: _Held) -> bool:
    """True if a finding is not held as it is; of one that is not sure only that it is gone counts."""
    severity = held.get(_key(finding))
    return severity is None or (severity != finding.severity and not finding.at_worst)


def _key(finding: Finding) -> _Key:
    return finding.at_worst or finding.rule, finding.where, finding.also, finding.mode
