"""The year beside the page: steps are told, a change of the plan ends it, undo finds what was there."""

from fastapi.testclient import TestClient

from loomwright.assessment.energy.own_weather import own_weather
from loomwright.web.board import Wanted, board, tabs_of
from loomwright.web.examples import DEMO, example_text
from loomwright.web.work import Work, copy_of, from_file
from tests.energy.conftest import pvlib_data

#: A van of which nobody says when it is used.
BARE = "loomwright: 1\ntitle: Bare\nregion: uk\n"


def test_the_year_comes_step_by_step_and_is_kept(work: Work, page: TestClient):
    moment = work.now()
    assert "keeps up" in board(moment, Wanted("energy"))["drawing"]
    steps = [-1]
    while True:
        answer = page.get("/year", params={"rev": moment.rev, "have": steps[-1]}).json()
        if answer["ready"]:
            break
        assert "step" in answer["says"] or answer["done"] == 0
        steps.append(answer["done"])
    assert steps == sorted(steps)
    shown = board(moment, Wanted("energy"))
    assert shown["drawing"].startswith(("<svg", "<?xml"))
    assert "of 100 such stays" in shown["loom"]
    came = moment.reading.yearly.came
    assert moment.reading.yearly.wait(lambda: False) is came
    stale = page.get("/year", params={"rev": moment.rev + 1}).json()
    assert not stale["ready"]


def test_it_ends_when_the_plan_goes_on(work: Work):
    yearly = work.now().reading.yearly
    assert yearly.wait(lambda: False, 99) is None
    assert yearly.done == 0


def test_without_use_there_is_no_tab():
    bare = Work(copy_of(BARE, "bare.yaml")).now()
    assert "energy" not in {tab.key for tab in tabs_of(bare.reading)}
    assert board(bare, Wanted("energy"))["sheet"] != "energy"


def test_without_a_place_the_sheet_says_what_to_write():
    nowhere = example_text(DEMO).replace("  lat: 51\n", "", 1)
    reading = Work(copy_of(nowhere, "van.yaml")).now().reading
    came = reading.yearly.wait(lambda: True, 99)
    assert came is not None
    assert "site: {lat:" in came.why


def test_a_weather_file_beside_the_plan_is_read_and_a_broken_one_told(tmp_path):
    plan, file = tmp_path / "van.yaml", tmp_path / "w.csv"
    plan.write_text(example_text(DEMO).replace("\nsite:\n", "\nsite:\n  weather: w.csv\n", 1), "utf-8")
    file.write_bytes((pvlib_data() / "723170TYA.CSV").read_bytes())
    work = Work(from_file(plan))
    assert own_weather(work.now().reading.plan) is not None
    gone = work.now().text.replace("weather: w.csv", "weather: none.csv")
    moment = work.type(gone, work.now().rev)
    assert [problem.path for problem in moment.problems] == ["site.weather"]
    assert own_weather(moment.reading.plan) is not None, "the last that could be read"
