"""Findings in groups: by severity, by place; every one stands in one group, under its own number."""

from __future__ import annotations

import re

import pytest

from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from loomwright.rules.registry import WORKSHOP
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


def finding(severity: str, place: str) -> Finding:
    return Finding(rule="r", severity=severity, where="W1", says="s", place=place, source=WORKSHOP)


def test_heads_of_the_groups():
    findings = [
        finding("fault", "locker, void"),
        finding("watch", ""),
        finding("watch", "locker"),
        finding("note", "dash"),
    ]
    by_severity = [(group.name, group.words) for group in grouped(findings, "severity")]
    assert by_severity == [("1 fault", "fix before handover"), ("2 watches", ""), ("1 note", "")]
    by_place = [(group.name, group.words) for group in grouped(findings, "place")]
    assert by_place == [("locker", "2 findings"), (NO_PLACE, "1 finding"), ("dash", "1 finding")]


@pytest.mark.parametrize("by", ["severity", "place"])
def test_the_ledge_and_the_lists_follow_the_choice(page, work, by):
    work.change(lambda *_: example_text("saltpan"), "other van", work.now().rev)
    groups = grouped(work.now().reading.checked.findings, by)
    board = page.get("/board", params={"sheet": "list", "by": by}).json()
    assert re.findall(r'class="group" aria-label="(.*?)"', board["ledge"]) == [group.name for group in groups]
    heads = re.findall(r'<tr class="heading"><td colspan="5">(.*?)<', board["drawing"])
    assert heads == [f"{group.name}: {group.words}" if group.words else group.name for group in groups]
