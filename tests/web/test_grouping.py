"""Findings in groups: by severity, by place; every one stands in one group, under its own number."""

from __future__ import annotations

import re

import pytest

from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.web.examples import ABOUT, example_text
from loomwright.web.grouping import NO_PLACE, grouped


@pytest.mark.parametrize("by", ["severity", "place"])
@pytest.mark.parametrize("name", ABOUT)
def test_every_finding_stands_once_and_in_order(name, by):
    findings = check_plan(read_plan(example_text(name))).findings
    groups = grouped(findings, by)
    assert sorted(pair for group in groups for pair in group.findings) == sorted(enumerate(findings, 1))
    firsts = [group.findings[0][0] for group in groups]
    assert firsts == sorted(firsts)
    for group in groups:
        assert (
            len({one.severity if by == "severity" else one.place.split(",")[0] for _, one in group.findings})
            == 1
        )


def test_heads_of_the_groups():
    findings = check_plan(read_plan(example_text("saltpan"))).findings
    by_severity = [(group.name, group.words) for group in grouped(findings, "severity")]
    assert by_severity == [("4 faults", "fix before handover"), ("6 watches", ""), ("1 note", "")]
    by_place = [group.name for group in grouped(findings, "place")]
    assert by_place[:2] == ["locker_top", "locker"]
    assert NO_PLACE in by_place


def test_the_ledge_and_the_lists_follow_the_choice(page, work):
    work.change(lambda *_: example_text("saltpan"), "other van", work.now().rev)

    def heads(by: str) -> tuple[list[str], list[str]]:
        board = page.get("/board", params={"sheet": "list", "by": by}).json()
        return re.findall(r'class="group" aria-label="(.*?)"', board["ledge"]), re.findall(
            r'<tr class="heading"><td colspan="5">(.*?)<', board["drawing"]
        )

    ledge, lists = heads("severity")
    assert ledge == ["4 faults", "6 watches", "1 note"]
    assert lists == ["4 faults: fix before handover", "6 watches", "1 note"]
    ledge, lists = heads("place")
    assert ledge[0] == "locker_top"
    assert lists[0] == "locker_top: 5 findings"
