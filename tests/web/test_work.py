"""One plan, many pages: steps back and forth, stale changes, unreadable text."""

from __future__ import annotations

import pytest

from loomwright.errors import PlanError
from loomwright.web.work import StaleError, UnreadableError, Work, copy_of

PLAN = "loomwright: 1\ntitle: One\nregion: eu\n"


@pytest.fixture
def work() -> Work:
    return Work(copy_of(PLAN, "one.yaml"))


def typed(work: Work, text: str, by: str = "") -> None:
    work.type(text, work.now().rev, by)


def test_undo_and_redo_are_one_for_text_and_forms(work):
    typed(work, PLAN.replace("One", "Two"))
    work.change(lambda text, _: text.replace("Two", "Three"), "rename", work.now().rev)
    assert work.now().undo == "rename"
    titles = [work.undo(work.now().rev).reading.plan.title for _ in range(3)]
    assert titles == ["Two", "One", "One"]
    titles = [work.redo(work.now().rev).reading.plan.title for _ in range(3)]
    assert titles == ["Two", "Three", "Three"]


def test_a_change_after_undo_ends_the_way_forth(work):
    typed(work, PLAN.replace("One", "Two"))
    work.undo(work.now().rev)
    typed(work, PLAN.replace("One", "Three"))
    assert work.now().redo == ""


def test_typing_in_one_breath_is_one_step(work):
    for title in ("T", "Tw", "Two"):
        typed(work, PLAN.replace("One", title), by="me")
    assert work.undo(work.now().rev).text == PLAN


def test_typing_in_another_window_is_another_step(work):
    typed(work, PLAN.replace("One", "Two"), by="me")
    typed(work, PLAN.replace("One", "Three"), by="you")
    assert work.undo(work.now().rev).reading.plan.title == "Two"


def test_a_stale_change_is_refused(work):
    rev = work.now().rev
    typed(work, PLAN.replace("One", "Two"))
    with pytest.raises(StaleError):
        work.type(PLAN, rev)
    assert work.now().reading.plan.title == "Two"


def test_unreadable_text_stays_as_typed_with_the_last_good_drawing_beside_it(work):
    typed(work, PLAN + "parts: {pump: {kind: pmup}}\n")
    moment = work.now()
    assert moment.problems[0].line == 4
    assert moment.reading.text == PLAN
    assert "pmup" in moment.text
    with pytest.raises(UnreadableError):
        work.change(lambda text, _: text, "form", moment.rev)
    assert work.undo(moment.rev).problems == ()


def test_a_form_that_would_break_the_text_changes_nothing(work):
    before = work.now()
    with pytest.raises(PlanError):
        work.change(lambda text, _: text + "parts: {pump: {kind: pmup}}\n", "form", before.rev)
    assert work.now() == before


def test_unsaved_is_told_and_saving_never_overwrites(work, tmp_path):
    assert not work.now().unsaved
    typed(work, PLAN.replace("One", "Two"))
    assert work.now().unsaved
    path = tmp_path / "two.yaml"
    work.save(path)
    assert path.read_text() == PLAN.replace("One", "Two")
    assert not work.now().unsaved
    assert work.undo(work.now().rev).unsaved
