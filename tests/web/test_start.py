"""The ways to begin, as a user takes them: demo van, bare van, example, file, plans kept before."""

from __future__ import annotations

import os
import re
import signal

import pytest
from fastapi.testclient import TestClient

from loomwright.plan.changes.starter import QUESTIONS
from loomwright.web import files, start
from loomwright.web.app import make_app
from loomwright.web.examples import ABOUT, DEMO, example_names, example_reading, example_text
from loomwright.web.work import Work
from tests.web.user import ADDRESS, PLAN, act, opened, running

HOSTILE = "<img src=x onerror=alert(1)>\"'</script>{{7*7}}"


def test_bare_open_shows_the_demo_van_and_says_what_to_try_first(home):
    page = opened()
    board = page.get("/board").json()
    finding = example_reading(DEMO).checked.findings[0]
    assert board["title"] == "Alderford"
    assert board["sheet"] == "wiring-1"
    assert not board["has_file"]
    assert not board["unsaved"]
    assert f'data-id="{finding.where}"' in board["notice"]
    assert finding.says.split(";")[0] in board["notice"]
    assert list(home.iterdir()) == []


def test_what_to_try_first_goes_once_the_demo_van_is_changed():
    page = opened()
    text = page.get("/text").json()["text"].replace("title: Alderford", "title: Mine")
    assert act(page, "type", text=text).json()["notice"].strip() == ""


def test_a_bare_van_says_what_comes_next_until_something_is_wired():
    page = opened()
    begun = act(page, "begin", answers={"title": "Heron", "vehicle_battery": "95 Ah"}).json()
    assert "Nothing is wired yet" in begun["notice"]
    assert 'data-add="unit"' in begun["notice"]
    act(page, "add", what="stud", typed={"new_id": "E9", "place": "seat_base"})
    wired = act(page, "connect", typed={"start": "starter.minus", "end": "E9"}).json()
    assert wired["notice"].strip() == ""


def test_every_example_is_offered_with_a_line_about_it():
    sheet = opened().get("/start").text
    assert set(ABOUT) == set(example_names())
    for name in example_names():
        assert f'data-open="open-example" data-name="{name}"' in sheet
        assert ABOUT[name] in sheet


def test_the_start_sheet_has_picture_caution_and_an_empty_title_block():
    page = TestClient(make_app(Work(start.nothing())), base_url=ADDRESS)
    sheet = page.get("/start").text
    assert "<svg" in sheet.partition('id="picture"')[2]
    assert "never a certificate" in sheet
    assert "none open" in sheet
    assert page.get("/", follow_redirects=False).headers["location"] == "/start"


@pytest.mark.parametrize("name", sorted(ABOUT))
def test_an_example_opens_as_a_copy(name):
    page = opened()
    board = act(page, "open-example", name=name).json()
    assert board["title"] == name.capitalize()
    assert not board["has_file"]
    assert page.get("/text").json()["text"] == example_text(name)


def test_a_file_of_the_user_opens_as_a_copy(home):
    board = act(opened(), "open-text", file="our.yaml", text=PLAN).json()
    assert (board["title"], board["file"], board["has_file"]) == ("Our van", "our.yaml", False)


def test_a_file_that_is_no_plan_is_refused_with_its_lines_and_the_table_stays():
    page = opened()
    answer = act(page, "open-text", file="x.yaml", text=PLAN + "parts: {pump: {kind: pmup}}\n")
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["line"] == 4
    assert page.get("/board").json()["title"] == "Alderford"


def test_plans_kept_before_are_listed_newest_first_and_open_with_their_file(home):
    folder = home / "vans"
    folder.mkdir()
    for age, name in enumerate(("new.yaml", "old.yml")):
        (folder / name).write_text(PLAN.replace("Our van", name))
        os.utime(folder / name, (1e9 - age, 1e9 - age))
    (folder / "notes.txt").write_text("no plan")
    (folder / ".hidden.yaml").write_text(PLAN)
    page = opened()
    sheet = page.get("/start").text
    assert re.findall(r'data-open="open-plan" data-name="([^"]*)"', sheet) == ["new.yaml", "old.yml"]
    board = act(page, "open-plan", name="new.yaml").json()
    assert board["has_file"]
    assert board["path"] == str(folder / "new.yaml")
    assert act(page, "open-plan", name="../new.yaml").status_code == 422
    assert act(page, "open-plan", name="gone.yaml").status_code == 422


def test_another_plan_over_unsaved_work_asks_first():
    page = opened()
    act(page, "type", text=PLAN)
    refused = act(page, "open-example", name="highcol")
    assert refused.status_code == 409
    assert refused.json()["unsaved"]
    assert page.get("/board").json()["title"] == "Our van"
    assert act(page, "open-example", name="highcol", keep=True).json()["title"] == "Highcol"
    assert 'data-open="take-up"' in page.get("/start").text


def test_unsaved_work_that_is_newer_than_what_was_looked_at_is_not_put_aside():
    page = opened()
    seen = act(page, "type", text=PLAN).json()["rev"]
    act(page, "type", text=PLAN + "note: newer\n")
    answer = page.post("/change/open-example", json={"rev": seen, "keep": True, "name": "highcol"})
    assert answer.status_code == 409
    assert "newer" in page.get("/text").json()["text"]


def test_a_missing_path_asks_how_to_begin_and_makes_the_file_at_the_first_save_only(home):
    path = home / "deep" / "our.yaml"
    page = opened(path)
    assert page.get("/", follow_redirects=False).headers["location"] == "/start"
    sheet = page.get("/start").text
    assert str(path) in sheet
    assert re.search(r'<form id="questions"[^>]*>', sheet)[0].endswith("novalidate >")
    board = act(page, "begin", answers={}).json()
    assert (board["path"], board["unsaved"], board["begun"]) == (str(path), True, True)
    assert not path.exists()
    assert act(page, "save").status_code == 200
    assert path.read_text() == page.get("/text").json()["text"]


def test_a_bare_van_is_begun_from_a_few_answers():
    page = opened()
    sheet = page.get("/start").text
    for question in QUESTIONS:
        assert f'name="{question.name}"' in sheet
    answers = {"title": "Our <i>van</i>", "load_space": "3.1 x 1.8 x 1.9 m", "leisure_capacity": "95"}
    board = act(page, "begin", answers=answers).json()
    assert (board["title"], board["has_file"], board["unsaved"]) == ("Our <i>van</i>", False, True)
    assert "capacity: 95 Ah" in page.get("/text").json()["text"]
    assert "<i>van" not in page.get("/").text + page.get("/start").text


def test_wrong_answers_are_told_by_question():
    page = opened()
    answer = act(page, "begin", answers={"load_space": "large", "alternator": "150 V"})
    assert answer.status_code == 422
    assert {problem["at"] for problem in answer.json()["problems"]} == {"load_space", "alternator"}
    for answers in (None, [], {"title": 1}):
        assert act(page, "begin", answers=answers).status_code == 422
    assert page.get("/board").json()["title"] == "Alderford"


def test_a_missing_path_can_begin_as_a_copy_of_an_example(home):
    page = opened(home / "our.yaml")
    act(page, "open-example", name="saltpan")
    assert act(page, "save").json()["path"] == str(home / "our.yaml")
    assert (home / "our.yaml").read_text() == example_text("saltpan")


def test_a_plan_of_the_programs_own_folder_opens_as_a_copy():
    path = files.program_folder() / "examples" / "mossgrove.yaml"
    board = opened(path).get("/board").json()
    assert (board["title"], board["has_file"]) == ("Mossgrove", False)
    assert not start.table_for(path.with_name("not-there.yaml")).begun


def test_put_away_leaves_an_empty_table():
    page = opened()
    assert not act(page, "clear").json()["begun"]
    assert "none open" in page.get("/start").text


def test_hostile_names_are_inert(home):
    folder = home / "vans"
    folder.mkdir()
    title = "<img src=x onerror=alert(1)> {{7*7}}"
    text = PLAN.replace("Our van", f'"{title}"')
    (folder / "<b>x.yaml").write_text(text)
    page = opened()
    act(page, "open-text", file=HOSTILE, text=text)
    act(page, "type", text=text + "note: changed\n")
    act(page, "clear", keep=True)
    act(page, "open-text", file=HOSTILE, text=text)
    for markup in (page.get("/start").text, page.get("/").text, page.get("/save").json()["dialog"]):
        assert "<img" not in markup
        assert "<b>x" not in markup
    assert "&lt;img src=x onerror=alert(1)&gt; {{7*7}}" in page.get("/start").text


def test_the_command_opens_the_demo_van_says_where_and_ends_cleanly(home):
    with running(home) as (program, client):
        assert "Alderford" in client.get("/").text
        program.send_signal(signal.SIGINT)
        assert program.wait(10) == 0
        assert program.stderr.read() == ""
