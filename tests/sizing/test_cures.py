"""Cures written into the text of the plan and judged anew: the finding is gone, nothing has come."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.plan.edit import apply_edits
from loomwright.rules.check import Checked, check_plan
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.sizing.cures import Answer, cures_of
from tests.plans import random_plan
from tests.scenarios.lines import EXAMPLES, VANS

GRAVITY = list(SEVERITIES)


def answers_of(checked: Checked) -> dict[int, Answer]:
    """Return the last answer for each finding, by its number."""
    return {answer.number: answer for answer in cures_of(checked)}


def key(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.where, finding.cause


def grades(findings: tuple[Finding, ...]) -> dict[tuple[str, str, str], int]:
    """Return the gravest severity of each matter that is more than a note, by its rank."""
    found: dict[tuple[str, str, str], int] = {}
    for finding in findings:
        if finding.severity != "note":
            rank = GRAVITY.index(finding.severity)
            found[key(finding)] = min(rank, found.get(key(finding), rank))
    return found


def assert_cures_hold(text: str) -> int:
    """Apply every cure of a plan by itself; return how many findings have none."""
    checked = check_plan(read_text(text))
    answers = answers_of(checked)
    graded = {number for number, one in enumerate(checked.findings, 1) if one.severity != "note"}
    assert set(answers) == graded
    before, applied = grades(checked.findings), {}
    for number, answer in answers.items():
        if answer.cure is None:
            assert answer.why
            continue
        assert answer.cure.says
        assert number in answer.cure.clears
        changed = apply_edits(text, answer.cure.edits)
        if changed not in applied:
            applied[changed] = grades(check_plan(read_text(changed)).findings)
        after = applied[changed]
        assert key(checked.findings[number - 1]) not in after, (number, answer)
        worse = {matter for matter, rank in after.items() if rank < before.get(matter, len(GRAVITY))}
        assert not worse, (number, answer, worse)
    return sum(answer.cure is None for answer in answers.values())


@pytest.mark.parametrize("van", VANS)
def test_cures_of_the_vans_hold(van):
    assert_cures_hold((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("tens", range(20))
def test_cures_of_random_plans_hold(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        assert_cures_hold(random_plan(seed, 5 + seed % 40))


def test_own_feed_for_the_pump():
    """One feed of its own for the pump: the lamps dip no more, and it loses less running and starting."""
    checked = check_plan(read_text((EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8")))
    dip = next(n for n, one in enumerate(checked.findings, 1) if one.rule == "dip_at_other_load")
    cure = answers_of(checked)[dip].cure
    assert cure is not None
    assert cure.says == "own 2.5 mm² feed for pump from P1.4, 15 A"
    cleared = {checked.findings[number - 1].rule for number in cure.clears}
    assert cleared == {"dip_at_other_load", "drop_too_large", "start_drop_too_large"}
