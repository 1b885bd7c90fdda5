"""A watch is accepted with a reason and initials, stays in sight, is taken back; each is one step of undo."""

from __future__ import annotations

import html
import json
import re

import pytest
from fastapi.testclient import TestClient

from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.web.accepting import taken_of
from loomwright.web.app import make_app
from loomwright.web.examples import ABOUT, example_text
from loomwright.web.work import Work, copy_of
from tests.web.user import ADDRESS, act

TYPED = {"because": "the seat's own bolt, 3 mΩ measured", "by": "AB", "date": "2026-03-01", "until": ""}


@pytest.fixture
def work() -> Work:
    return Work(copy_of(example_text("saltpan"), "saltpan.yaml"))


def numbered(work: Work, severity: str) -> tuple[int, dict[str, str]]:
    findings = list(enumerate(work.now().reading.checked.findings, 1))
    number, finding = next((number, one) for number, one in findings if one.severity == severity)
    return number, {"rule": finding.rule, "where": finding.where}


def raw_slip(page, number: int) -> str:
    return page.get("/board", params={"kind": "finding", "id": number}).json()["slip"]


def slip(page, number: int) -> str:
    return html.unescape(raw_slip(page, number))


def take_back(page, number: int) -> list[dict[str, object]]:
    """Return the edits of the button that takes back what was accepted."""
    (button,) = re.findall(r'data-edits="([^"]*)"[^>]*>Take back', raw_slip(page, number))
    return json.loads(html.unescape(button))


def test_an_accepted_watch_stays_with_reason_and_initials_and_is_taken_back(page, work):
    number, watch = numbered(work, "watch")
    before = work.now()
    board = act(page, "accept", **watch, typed=TYPED).json()
    assert "Accepted by AB" in board["ledge"]
    assert work.now().undo == f"accepting a watch at {watch['where']}"
    (entry,) = read_plan(work.now().text).accepted.values()
    assert (entry.rule, entry.where, entry.by) == (watch["rule"], watch["where"], "AB")
    assert "Accepted by AB, 2026-03-01: The seat's own bolt, 3 mΩ measured." in slip(page, number)
    assert "AB: The seat's own bolt" in html.unescape(
        page.get("/board", params={"sheet": "list"}).json()["drawing"]
    )

    act(page, "edit", edits=take_back(page, number), says="back")
    assert work.now().text.rstrip() == before.text.rstrip()
    act(page, "undo")
    act(page, "undo")
    assert work.now().text == before.text


@pytest.mark.parametrize("severity", ["fault", "note"])
def test_what_is_no_watch_is_neither_offered_nor_taken(page, work, severity):
    number, other = numbered(work, severity)
    assert f"Accept watch {number}" not in slip(page, number)
    answer = act(page, "accept", **other, typed=TYPED)
    assert answer.status_code == 422
    assert answer.json()["says"] == "Only a watch can be accepted."


@pytest.mark.parametrize(
    ("lacking", "at"), [({"because": " "}, "because"), ({"by": ""}, "by"), ({"until": "soon"}, "until")]
)
def test_what_is_lacking_is_told_at_its_field(page, work, lacking, at):
    _, watch = numbered(work, "watch")
    answer = act(page, "accept", **watch, typed=TYPED | lacking)
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["at"].split(".")[-1] == at
    assert read_plan(work.now().text).accepted == {}


def test_of_two_that_are_accepted_one_is_taken_back(page, work):
    watches = [one for one in work.now().reading.checked.findings if one.severity == "watch"][:2]
    for watch in watches:
        act(page, "accept", rule=watch.rule, where=watch.where, typed=TYPED)
    now = [(one.rule, one.where) for one in work.now().reading.checked.findings]
    number = now.index((watches[0].rule, watches[0].where)) + 1
    act(page, "edit", edits=take_back(page, number), says="back")
    assert [one.where for one in read_plan(work.now().text).accepted.values()] == [watches[1].where]


@pytest.mark.parametrize("name", ABOUT)
def test_every_watch_of_the_examples_can_be_accepted(name):
    work = Work(copy_of(example_text(name), f"{name}.yaml"))
    page = TestClient(make_app(work), base_url=ADDRESS)
    watches = [one for one in work.now().reading.checked.findings if one.severity == "watch"]
    for watch in watches:
        assert act(page, "accept", rule=watch.rule, where=watch.where, typed=TYPED).status_code == 200
    checked = check_plan(read_plan(work.now().text))
    again = [one for one in checked.findings if one.severity == "watch"]
    assert [(one.rule, one.where) for one in again] == [(one.rule, one.where) for one in watches]
    assert all(taken_of(checked.assessment.plan, one) for one in again)
