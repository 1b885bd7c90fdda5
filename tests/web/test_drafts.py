"""Drafts: what was not saved outlives the program, and goes when it is saved."""

from __future__ import annotations

import errno
import os
import re
import signal
import stat
import statistics
import time

import pytest

from loomwright.web import drafts, start
from loomwright.web.examples import example_text
from loomwright.web.work import Work
from tests.web.user import PLAN, act, opened, running

MINE = PLAN + "note: mine\n"


@pytest.fixture
def path(home):
    (home / "vans").mkdir()
    (home / "vans" / "our.yaml").write_text(PLAN)
    return home / "vans" / "our.yaml"


def offered(board):
    found = re.search(r'data-keep="take-up" data-draft="(\w+)"', board["notice"])
    return found and found[1]


def test_unsaved_work_of_a_killed_program_is_offered_and_taken_up(home, path):
    with running(home, str(path)) as (program, client):
        assert act(client, "type", text=MINE).json()["unsaved"]
        program.send_signal(signal.SIGKILL)
        program.wait(10)
    assert path.read_text() == PLAN
    page = opened(path)
    board = page.get("/board").json()
    assert board["title"] == "Our van"
    assert "Take up the unsaved work of" in board["notice"]
    board = act(page, "take-up", draft=offered(board)).json()
    assert (board["text"], board["unsaved"], offered(board)) == (MINE, True, None)
    assert act(page, "undo").json()["text"] == PLAN
    act(page, "redo")
    assert act(page, "save").status_code == 200
    assert path.read_text() == MINE
    assert drafts.all_drafts() == []


def test_unsaved_work_on_a_copy_is_offered_when_the_same_copy_is_opened():
    page = opened()
    act(page, "type", text=example_text("alderford") + "# mine\n")
    assert offered(opened().get("/board").json())
    assert not offered(act(opened(), "open-example", name="saltpan").json())


def test_work_that_is_left_is_offered_no_more_but_listed(path):
    act(opened(path), "type", text=MINE)
    page = opened(path)
    draft = offered(page.get("/board").json())
    assert not offered(act(page, "leave").json())
    assert f'data-draft="{draft}"' in page.get("/start").text
    assert act(page, "throw-away", draft=draft).status_code == 200
    assert drafts.all_drafts() == []
    assert act(page, "throw-away", draft=draft).status_code == 422


def test_work_that_can_not_be_read_is_taken_up_as_typed(path):
    broken = PLAN + "parts: {pump: {kind: pmup}}\n"
    act(opened(path), "type", text=broken)
    page = opened(path)
    board = act(page, "take-up", draft=offered(page.get("/board").json())).json()
    assert board["text"] == broken
    assert board["problems"][0]["line"] == 4
    assert not board["readable"]


def test_work_taken_up_does_not_overwrite_what_another_program_wrote_since(path):
    act(opened(path), "type", text=MINE)
    path.write_text(PLAN + "note: theirs\n")
    page = opened(path)
    act(page, "take-up", draft=offered(page.get("/board").json()))
    assert act(page, "save").json()["changed_meanwhile"]
    assert path.read_text() == PLAN + "note: theirs\n"


def test_work_on_a_file_that_is_gone_is_taken_up_from_the_start_sheet(path):
    act(opened(path), "type", text=MINE)
    path.unlink()
    page = opened()
    draft = drafts.all_drafts()[0].id
    assert act(page, "take-up", draft=draft).json()["text"] == MINE
    assert act(page, "save").json()["changed_meanwhile"]
    assert act(page, "save", over="gone").status_code == 200
    assert path.read_text() == MINE


def test_a_draft_that_says_what_the_file_says_is_not_offered(path):
    act(opened(path), "type", text=MINE)
    path.write_text(MINE)
    assert not offered(opened(path).get("/board").json())
    assert drafts.all_drafts() == []


def test_a_bare_van_is_unsaved_work_from_the_first(home):
    page = opened(home / "new.yaml")
    assert drafts.all_drafts() == []
    act(page, "begin", answers={})
    assert [draft.path for draft in drafts.all_drafts()] == [home / "new.yaml"]


def test_undoing_all_throws_the_draft_away(path):
    page = opened(path)
    act(page, "type", text=MINE)
    assert len(drafts.all_drafts()) == 1
    act(page, "undo")
    assert drafts.all_drafts() == []


def test_only_the_user_may_read_drafts(path):
    page = opened(path)
    act(page, "type", text=MINE)
    kept = drafts.folder() / f"{drafts.all_drafts()[0].id}.json"
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert stat.S_IMODE(kept.parent.stat().st_mode) == 0o700
    assert list(kept.parent.iterdir()) == [kept]


def test_the_state_folder_is_where_the_user_wants_it(monkeypatch, tmp_path, home):
    assert drafts.folder() == home / ".local" / "state" / "loomwright" / "drafts"
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert drafts.folder() == tmp_path / "loomwright" / "drafts"
    monkeypatch.setenv("XDG_STATE_HOME", "not/absolute")
    assert drafts.folder() == home / ".local" / "state" / "loomwright" / "drafts"


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"text": 1}', b"\xff", b'{"kept": "now"}'])
def test_a_spoilt_draft_is_passed_over(data):
    drafts.folder().mkdir(parents=True)
    (drafts.folder() / "0123456789ab.json").write_bytes(data)
    assert drafts.all_drafts() == []
    assert act(opened(), "take-up", draft="0123456789ab").status_code == 422


@pytest.mark.parametrize("id", ["../../x", "", "0123456789AB", "x" * 12])
def test_a_foreign_id_reaches_no_file(id):
    with pytest.raises(drafts.NoDraftError):
        drafts.draft(id)


def test_a_full_disk_stops_no_edit_and_is_told(path, monkeypatch):
    page = opened(path)

    def full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        board = act(page, "type", text=MINE).json()
    assert board["unsaved"]
    assert "No space left" in board["notice"]
    assert list(drafts.folder().iterdir()) == []
    board = act(page, "type", text=MINE + "# more\n").json()
    assert "No space left" not in board["notice"]
    assert len(drafts.all_drafts()) == 1


def test_keeping_a_draft_does_not_slow_an_edit():
    work = Work(start.example_table("alderford"))
    moment = work.type(example_text("alderford") + "# mine\n", 1)
    drafts.keep(moment)
    times = []
    for _ in range(50):
        began = time.perf_counter()
        drafts.keep(moment)
        times.append(time.perf_counter() - began)
    assert statistics.median(times) < 0.005
