"""Cures in the report: each change once, with its figures; the edits of the JSON clear what they say."""

from __future__ import annotations

import pytest

from loomwright import check, read_text
from loomwright.documents import report
from loomwright.documents.cured import joined
from loomwright.plan.edit import apply_edits, edits_from_data
from loomwright.rules.check import Checked, check_plan
from loomwright.sizing.cures import Answer
from tests.printed import report as report_on
from tests.scenarios.lines import EXAMPLES, VANS
from tests.scenarios.lines import checked as of_van

GRAVE = ("danger", "fault", "watch")


def text_of(van: str) -> str:
    return (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")


def matters(checked: Checked) -> list[tuple[str, str]]:
    return [(one.rule, one.where) for one in checked.findings if one.severity in GRAVE]


@pytest.mark.parametrize("van", VANS)
def test_the_edits_of_the_json_clear_the_finding_and_add_none(van):
    before = matters(of_van(van))
    for finding in report_on(van).as_dict()["findings"]:
        cure = finding["cure"]
        assert (cure is None) == (finding["severity"] == "note" or finding["no_cure"] != "")
        if cure is not None:
            assert cure["rechecked"] is True
            changed = apply_edits(text_of(van), edits_from_data(cure["edits"]))
            after = matters(check_plan(read_text(changed)))
            assert (finding["rule"], finding["where"]) not in after
            assert set(after) <= set(before)


def test_the_text_says_a_cure_of_several_once():
    text = check(read_text(text_of("mossgrove"))).as_text()
    assert text.count("own 2.5 mm² feed for pump from P1.4, 15 A (re-checked); cures 2, 3 and 7") == 1
    assert text.count("cure: that of 2 (re-checked)") == 2
    assert "loses 7.0 % before, 3.2 % after" in text


def test_why_there_is_none_is_said(monkeypatch):
    monkeypatch.setattr(report, "answers_of", lambda _: {3: Answer(3, None, "no such fuse is made")})
    done = check(read_text(text_of("mossgrove")))
    assert done.as_text().count("no cure found: no such fuse is made") == 1
    findings = done.as_dict()["findings"]
    assert [(one["cure"], one["no_cure"]) for one in findings[1:3]] == [
        (None, ""),
        (None, "no such fuse is made"),
    ]


def test_a_plan_without_findings_has_no_cures():
    done = check(read_text("loomwright: 1\ntitle: Empty\nregion: eu\n"))
    assert "cure" not in done.as_text()
    assert done.answers == {}


def test_numbers_as_one_says_them():
    assert (joined((3,)), joined((1, 4)), joined((1, 2, 5))) == ("3", "1 and 4", "1, 2 and 5")
