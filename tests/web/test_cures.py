"""Cures as a page gets them: as they are ready, of this revision, looked for once; applied as one step."""

from __future__ import annotations

import html
import json
import re
import threading
from collections.abc import Callable, Iterator

import pytest

from loomwright.rules.check import Checked
from loomwright.sizing.cures import Answer
from loomwright.web import curing
from loomwright.web.curing import BROKEN, Curing
from loomwright.web.examples import example_text
from loomwright.web.work import Work, copy_of
from tests.web.user import act


@pytest.fixture
def work() -> Work:
    return Work(copy_of(example_text("mossgrove"), "mossgrove.yaml"))


def all_cures(page, rev: int) -> dict[int, dict[str, str]]:
    """Ask as the page does until all have come."""
    known, have, done = {}, 0, False
    while not done:
        told = page.get("/cures", params={"rev": rev, "have": have}).json()
        known |= {cure["number"]: cure for cure in told["cures"]}
        have, done = told["have"], told["done"]
    return known


def edits_in(cure: dict[str, str]) -> list[dict[str, object]]:
    (edits,) = re.findall(r'data-edits="([^"]*)"', cure["html"])
    return json.loads(html.unescape(edits))


def test_a_cure_of_several_findings_clears_them_in_one_step(page, work):
    before = work.now()
    cures = all_cures(page, before.rev)
    assert sorted(cures) == [1, 2, 3, 4, 5, 6, 7, 8]
    assert cures[2]["key"] == cures[3]["key"] == cures[7]["key"] != cures[4]["key"]
    words = html.unescape(cures[3]["html"])
    assert 'Cure: own 2.5 mm² feed for pump from P1.4, 15 A. <span class="whole">Re-checked.</span>' in words
    assert "Loses 7.0 % before, 3.2 % after." in words
    assert "Cures 3 findings: 2, 3 and 7." in words

    act(page, "edit", edits=edits_in(cures[3]), says="cure")
    left = [one for one in work.now().reading.checked.findings if one.severity != "note"]
    assert [(one.rule, one.where) for one in left] == [
        ("missing_fuse", "W1"),
        ("fuse_above_cable_rating", "W4"),
        ("promised_charge_missed", "driving"),
        ("promised_days_missed", "rain"),
        ("fuse_breaks_too_little", "W7"),
    ]
    act(page, "undo")
    assert work.now().text == before.text
    again = page.get("/cures", params={"rev": work.now().rev}).json()
    assert again["done"]
    assert {cure["number"] for cure in again["cures"]} == set(cures)


def test_of_a_revision_that_is_not_there_any_more_nothing_is_told(page, work):
    told = page.get("/cures", params={"rev": work.now().rev + 1, "have": 2}).json()
    assert told == {"rev": work.now().rev, "have": 2, "done": True, "cures": []}


def test_why_there_is_none_is_told(page, work, monkeypatch):
    monkeypatch.setattr(
        curing, "cures_of", lambda *_, **__: iter([Answer(3, None, "no fuse < 15 A carries it")])
    )
    (cure,) = all_cures(page, work.now().rev).values()
    assert "No cure found." in cure["html"]
    assert "No fuse &lt; 15 A carries it." in cure["html"]
    assert (cure["key"], cure["brief"]) == ("", "No cure found")


class Engine:
    """Answers that come one by one, as the test lets them."""

    def __init__(self) -> None:
        self.may = threading.Semaphore(0)
        self.starts = 0

    def __call__(self, checked: Checked, go_on: Callable[[], bool]) -> Iterator[Answer]:
        self.starts += 1
        for number in range(1, 4):
            self.may.acquire()
            if not go_on():
                return
            yield Answer(number, None, f"answer {number}")


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Engine:
    made = Engine()
    monkeypatch.setattr(curing, "cures_of", made)
    return made


def numbers(answers: list[Answer]) -> list[int]:
    return [answer.number for answer in answers]


def test_answers_come_as_they_are_ready_and_are_found_once(engine, work):
    cures = Curing(lambda: work.now().reading.checked)
    engine.may.release()
    assert cures.more(0, lambda: True)[0][0].why == "answer 1"
    engine.may.release(2)
    have = 1
    while have < 3:
        have += len(cures.more(have, lambda: True)[0])
    assert numbers(cures.more(0, lambda: True)[0]) == [1, 2, 3]
    assert engine.starts == 1


def test_the_search_rests_when_another_plan_lies_there_and_goes_on_when_this_one_is_back(engine, work):
    cures = Curing(lambda: work.now().reading.checked)
    lies_there = True
    engine.may.release()
    assert numbers(cures.more(0, lambda: lies_there)[0]) == [1]
    lies_there = False
    engine.may.release()
    assert cures.more(1, lambda: lies_there) == ([], False)
    lies_there = True
    engine.may.release(10)
    done = False
    while not done:
        answers, done = cures.more(0, lambda: lies_there)
    assert numbers(answers) == [1, 2, 3]


def test_a_search_that_breaks_says_so_at_every_finding(monkeypatch, work):
    def breaks(*_: object, **__: object) -> Iterator[Answer]:
        raise AssertionError("no such path")

    monkeypatch.setattr(curing, "cures_of", breaks)
    cures = Curing(lambda: work.now().reading.checked)
    done = False
    while not done:
        answers, done = cures.more(0, lambda: True)
    assert [(answer.number, answer.why) for answer in answers] == [(n, BROKEN) for n in range(1, 9)]
