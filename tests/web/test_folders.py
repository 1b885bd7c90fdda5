"""A plan is saved into the folder that its owner names, and found again there."""

from __future__ import annotations

import pytest

from loomwright.web import drafts, files
from tests.web.user import PLAN, act, opened


def begun():
    page = opened()
    act(page, "open-text", file="x.yaml", text=PLAN)
    return page


@pytest.mark.parametrize("typed", ["{home}/shed/new", "shed/new", "~/shed/new", "~/shed/../shed/new/"])
def test_another_folder_is_made_and_gone_on_with(home, typed):
    (home / "shed").mkdir()
    page = begun()
    board = act(page, "save", name="our", folder=typed.format(home=home)).json()
    path = home / "shed" / "new" / "our.yaml"
    assert (board["path"], path.read_text()) == (str(path), PLAN)
    later = opened()
    assert f'data-name="{path}"' in later.get("/start").text
    assert act(later, "open-plan", name=str(path)).json()["path"] == str(path)


def test_a_plan_in_the_usual_folder_is_listed_once(home):
    act(begun(), "save", name="our", folder=str(home / "vans"))
    assert opened().get("/start").text.count("our.yaml") == 2  # the button's name, and what is read


def test_a_plan_elsewhere_that_has_gone_is_listed_no_more(home):
    act(begun(), "save", name="our", folder=str(home))
    (home / "our.yaml").unlink()
    assert files.kept_elsewhere() == []
    assert act(opened(), "open-plan", name=str(home / "our.yaml")).status_code == 422


def test_only_plans_that_were_saved_here_are_opened_by_their_path(home):
    (home / "secret.yaml").write_text(PLAN)
    assert act(opened(), "open-plan", name=str(home / "secret.yaml")).status_code == 422


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("{home}/a/b", "There is no folder"),
        ("{home}/note.txt", "is a file"),
        ("{program}", "belongs to the program"),
        ("{program}/examples/mine", "belongs to the program"),
        ("{home}/new\u202e", "not seen"),
    ],
)
def test_a_folder_that_can_not_be_used_is_refused_in_words(home, typed, says):
    (home / "note.txt").write_text("a note")
    typed = typed.format(home=home, program=files.program_folder())
    page = begun()
    answer = act(page, "save", name="our", folder=typed)
    assert answer.status_code == 422
    assert says in answer.json()["says"]
    assert page.get("/board").json()["path"] == ""
    assert "Save this plan" in page.get("/save", params={"name": "our", "folder": typed}).json()["dialog"]


def test_a_name_taken_in_another_folder_is_asked_about_there(home):
    (home / "our.yaml").write_text("loomwright: 1\ntitle: Other\nregion: eu\n")
    page = begun()
    assert act(page, "save", name="our", folder=str(home)).status_code == 409
    dialog = page.get("/save", params={"name": "our", "folder": str(home)}).json()["dialog"]
    assert "There is a plan of this name" in dialog
    assert f'data-folder="{home}"' in dialog


def test_the_list_of_plans_elsewhere_is_a_help_only(home):
    drafts.folder().parent.parent.mkdir(parents=True)
    drafts.folder().parent.write_text("in the way")
    page = begun()
    assert act(page, "save", name="our", folder=str(home)).status_code == 200
    assert (home / "our.yaml").read_text() == PLAN
    assert files.kept_elsewhere() == []
