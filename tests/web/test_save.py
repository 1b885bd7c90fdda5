"""Saving: a name and a place for a plan, and nothing lost whatever comes between."""

from __future__ import annotations

import errno
import os
import random
import re
import subprocess
import sys
import time

import pytest

from loomwright import store
from loomwright.web import files, start
from loomwright.web.examples import example_text
from tests.web.user import PLAN, act, opened

OTHER = "loomwright: 1\ntitle: Of another program\nregion: eu\n"


def saved(home, name="our"):
    """Return a page whose plan has just been saved under a name, and its path."""
    page = opened()
    act(page, "open-text", file="x.yaml", text=PLAN)
    assert act(page, "save", name=name).status_code == 200
    return page, home / "vans" / f"{name}.yaml"


def dialog(page, name=""):
    return page.get("/save", params={"name": name}).json()["dialog"]


def test_a_plan_without_a_file_asks_for_a_name_made_from_its_title(home):
    page = opened()
    assert act(page, "save").status_code == 422
    asked = dialog(page)
    assert 'value="alderford"' in asked
    assert f'name="folder" value="{home / "vans"}"' in asked
    assert not (home / "vans").exists()


def test_saving_makes_the_folder_and_a_second_save_asks_nothing(home):
    page, path = saved(home)
    assert path.read_text() == PLAN
    changed = PLAN + "note: changed\n"
    board = act(page, "type", text=changed).json()
    assert (board["unsaved"], board["path"]) == (True, str(path))
    assert not act(page, "save").json()["unsaved"]
    assert path.read_text() == changed


def test_a_saved_plan_is_opened_again_as_it_was(home):
    _, path = saved(home, "Über Größe 🚐")
    assert opened(path).get("/text").json()["text"] == PLAN
    assert "Über Größe 🚐.yaml" in opened().get("/start").text


def test_unreadable_text_is_saved_as_typed(home):
    page, path = saved(home)
    broken = PLAN + "parts: {pump: {kind: pmup}}\n"
    act(page, "type", text=broken)
    act(page, "save")
    assert path.read_text() == broken


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("../x", "can't hold any of"),
        ("a/b", "can't hold any of"),
        ("C:\\x", "can't hold any of"),
        ("con", "device"),
        ("LPT1.yaml", "device"),
        ("aux.old.yaml", "device"),
        ("x" * 300, "too long"),
        ("🚐" * 60, "too long"),
        (".hidden", "begin with a dot"),
        ("..", "begin with a dot"),
        ("x.", "end with a dot"),
        (".yaml", "Give the plan a name"),
        ("   ", "Give the plan a name"),
        ("a\x00b", "not seen"),
        ("a\nb", "not seen"),
        ("a\u202eb", "not seen"),
    ],
)
def test_names_that_some_computer_can_not_hold_are_refused_in_words(home, name, says):
    page = opened()
    answer = act(page, "save", name=name)
    assert answer.status_code == 422
    assert says in answer.json()["says"]
    assert list(home.rglob("*.yaml")) == []
    assert "Save this plan" in dialog(page, name)


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Our van", "our-van"),
        ("  Über / Größe! ", "über-größe"),
        ("../../etc/passwd", "etc-passwd"),
        ("🚐", "van"),
        ("CON", "van-con"),
        ("x" * 100, "x" * 60),
    ],
)
def test_the_default_name_can_always_be_used(tmp_path, title, name):
    assert files.free_name(title, tmp_path) == name
    files.place(name, tmp_path).write_text("")
    assert files.free_name(title, tmp_path) == f"{name}-2"


def test_nothing_is_saved_in_the_programs_own_folder(home, monkeypatch):
    own = files.program_folder()
    page = opened(own / "examples" / "saltpan.yaml")
    act(page, "type", text=PLAN)
    assert act(page, "save").status_code == 422
    assert act(page, "save", name="saltpan").json()["path"] == str(home / "vans" / "saltpan.yaml")
    assert (own / "examples" / "saltpan.yaml").read_text() == example_text("saltpan")
    monkeypatch.setenv("HOME", str(own / "build"))
    answer = act(opened(), "save", name="x")
    assert "belongs to the program" in answer.json()["says"]
    assert not (own / "build" / "vans").exists()


def test_a_link_into_the_programs_own_folder_is_its_own_too(tmp_path):
    (tmp_path / "link").symlink_to(files.program_folder() / "examples")
    assert start.table_for(tmp_path / "link" / "saltpan.yaml").path is None


def test_a_name_that_exists_asks_and_replaces_only_what_was_looked_at(home):
    page, path = saved(home)
    path.with_name("taken.yaml").write_text(OTHER)
    refused = act(page, "save", name="taken")
    assert (refused.status_code, refused.json()["changed_meanwhile"]) == (409, True)
    asked = dialog(page, "taken")
    assert "There is a plan of this name" in asked
    digest = re.search(r'data-over="(\w+)"', asked)[1]
    path.with_name("taken.yaml").write_text(OTHER + "note: newer\n")
    assert act(page, "save", name="taken", over=digest).status_code == 409
    digest = re.search(r'data-over="(\w+)"', dialog(page, "taken"))[1]
    assert act(page, "save", name="taken", over=digest).status_code == 200
    assert path.with_name("taken.yaml").read_text() == PLAN


def test_a_file_changed_by_another_program_is_not_overwritten(home):
    page, path = saved(home)
    act(page, "type", text=PLAN + "note: mine\n")
    path.write_text(OTHER)
    assert act(page, "save").json()["changed_meanwhile"]
    assert path.read_text() == OTHER
    asked = dialog(page)
    assert "Another program has changed this file" in asked
    digest = re.search(r'data-over="(\w+)"', asked)[1]
    assert act(page, "save", over=digest).status_code == 200
    assert path.read_text() == PLAN + "note: mine\n"


def test_the_other_version_can_be_looked_at_and_mine_taken_up_again(home):
    page, path = saved(home)
    act(page, "type", text=PLAN + "note: mine\n")
    path.write_text(OTHER)
    board = act(page, "other-version").json()
    assert board["title"] == "Of another program"
    draft = re.search(r'data-keep="take-up" data-draft="(\w+)"', board["notice"])[1]
    act(page, "take-up", draft=draft)
    assert page.get("/text").json()["text"] == PLAN + "note: mine\n"
    assert act(page, "save").json()["changed_meanwhile"]
    assert act(page, "undo").json()["title"] == "Of another program"


def test_another_version_that_is_no_plan_is_told_and_mine_stays(home):
    page, path = saved(home)
    act(page, "type", text=PLAN + "note: mine\n")
    path.write_text("no: [plan")
    assert act(page, "other-version").status_code == 422
    assert page.get("/text").json()["text"] == PLAN + "note: mine\n"


def test_a_file_deleted_meanwhile_is_written_again_knowingly_only(home):
    page, path = saved(home)
    path.unlink()
    act(page, "type", text=PLAN + "note: mine\n")
    assert act(page, "save").status_code == 409
    asked = dialog(page)
    assert "not there any more" in asked
    assert act(page, "save", over=re.search(r'data-over="(\w+)"', asked)[1]).status_code == 200
    assert path.read_text() == PLAN + "note: mine\n"


def test_a_full_disk_is_told_and_nothing_is_lost(home, monkeypatch):
    page, path = saved(home)
    changed = PLAN + "note: mine\n"
    act(page, "type", text=changed)

    def full(descriptor):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        answer = act(page, "save")
    assert answer.status_code == 507
    assert "No space left" in answer.json()["says"]
    assert str(path) in answer.json()["says"]
    assert path.read_text() == PLAN
    assert list(path.parent.iterdir()) == [path]
    board = page.get("/board").json()
    assert board["unsaved"]
    assert act(page, "save").status_code == 200
    assert path.read_text() == changed


def test_a_read_only_file_is_told_and_kept(home, monkeypatch):
    page, path = saved(home)
    act(page, "type", text=PLAN + "note: mine\n")
    monkeypatch.setattr(
        os, "access", lambda *_: False
    )  # root may write anything, so the answer is given here
    answer = act(page, "save")
    assert answer.status_code == 507
    assert "read-only" in answer.json()["says"]
    assert path.read_text() == PLAN


def test_a_folder_that_can_not_be_made_is_told(home):
    (home / "vans").write_text("a file in the way")
    answer = act(opened(), "save", name="x")
    assert answer.status_code == 507
    assert (home / "vans").read_text() == "a file in the way"


def test_of_two_windows_the_stale_one_is_told(home):
    page, path = saved(home)
    rev = page.get("/board").json()["rev"]
    newer = {"rev": rev, "by": "one", "text": PLAN + "note: of one\n"}
    older = {"rev": rev, "by": "two", "text": PLAN + "note: of two\n"}
    assert page.post("/change/type", json=newer).status_code == 200
    assert page.post("/change/type", json=older).status_code == 409
    act(page, "save")
    assert path.read_text() == newer["text"]


def test_a_save_killed_at_any_moment_leaves_one_whole_text(tmp_path):
    """SIGKILL at 20 moments: the file always holds one of the texts, whole."""
    path = tmp_path / "big.yaml"
    texts = [example_text("alderford") + f"# {mark * 200_000}\n" for mark in "ab"]
    path.write_text(texts[0])
    saving = """
import sys
from pathlib import Path
from loomwright import store
path, texts = Path(sys.argv[1]), [Path(name).read_text() for name in sys.argv[2:]]
while True:
    for text in texts:
        store.save(path, text, store.stamp_of(path))
    print("saving", flush=True)
"""
    names = []
    for number, text in enumerate(texts):
        names.append(tmp_path / f"text-{number}")
        names[-1].write_text(text)
    moments = random.Random(5)
    for _ in range(20):
        command = [sys.executable, "-c", saving, str(path), *map(str, names)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
            assert program.stdout.readline() == "saving\n"
            time.sleep(moments.uniform(0, 0.03))
            program.kill()
        assert store.load(path).text in texts
