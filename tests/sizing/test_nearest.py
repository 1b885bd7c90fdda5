"""The figure nearest to flipping each verdict: it does so on the plan judged anew, within the bound."""

from __future__ import annotations

import pytest

from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.sizing.flip import TRIALS
from loomwright.sizing.nearest import nearest
from tests.plans import big_plan
from tests.scenarios.lines import EXAMPLES


def text_of(van: str) -> str:
    return (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("van", ["alderford", "highcol", "mossgrove", "planeshed"])
def test_each_flip_clears_its_finding_when_judged_anew(van):
    checked = check_plan(read_plan(text_of(van)))
    found = nearest(checked)
    assert found.left == ()
    assert found.flips
    for number, flip in found.flips.items():
        finding = checked.findings[number - 1]
        after = check_plan(read_plan(apply_edits(text_of(van), flip.edits))).findings
        assert (finding.rule, finding.where) not in [(one.rule, one.where) for one in after]


def test_the_nearest_by_its_ratio_is_told():
    """Pump of Alderford: 2.5 mm² for 1 mm² is 2.5 times as much, 0.7 m for 2.7 m is 3.9 times as little."""
    flip = nearest(check_plan(read_plan(text_of("alderford")))).flips[2]
    assert (flip.field, flip.typed_now, flip.typed_then) == ("area", "1 mm²", "2.5 mm²")


def test_no_more_trials_than_the_bound(monkeypatch):
    made = 0

    def counted(plan, **how):
        nonlocal made
        made += 1
        return check_plan(plan, **how)

    checked = check_plan(read_plan(big_plan(22, 60)))
    monkeypatch.setattr("loomwright.sizing.trial.check_plan", counted)
    found = nearest(checked, wires_tried=1)
    assert made <= 1 + TRIALS  # the plan itself, and what is tried on it
    graded = [n for n, finding in enumerate(checked.findings, 1) if finding.severity != "note"]
    assert [*found.asked, *found.left] == graded
    assert found.asked
    assert found.left
    assert set(found.flips) <= set(found.asked)
