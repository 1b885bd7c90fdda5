"""What else could be fitted: run beside the page when asked for, told by steps, stopped, and shown."""

import pytest
from fastapi.testclient import TestClient

from loomwright.web import choosing, yearly
from loomwright.web.board import Wanted, board
from loomwright.web.choosing import Choosing
from loomwright.web.examples import example_text
from loomwright.web.work import Work, copy_of


@pytest.fixture
def work() -> Work:
    """A van of few designs."""
    return Work(copy_of(example_text("amberquay"), "amberquay.yaml"))


def test_it_runs_when_asked_for_stops_and_is_shown(work: Work, page: TestClient, monkeypatch):
    """A button beside the year; stopped, it can be asked for again; then picture, picks, table."""
    for module in (yearly, choosing):
        monkeypatch.setattr(module, "YEARS", 3)
    moment = work.now()
    reading = moment.reading
    while reading.yearly.wait(lambda: True) is None:
        pass
    shown = board(moment, Wanted("energy"))["loom"]
    assert "What else could I fit?" in shown
    assert 'id="choose"' in shown
    assert reading.choosing.done == 0  # nobody asked
    told = page.get("/choice", params={"rev": moment.rev + 1}).json()
    assert not told["runs"]
    wrong = page.get("/choice", params={"rev": moment.rev, "roof": "big"})
    assert (wrong.status_code, "is no number of 0 or more" in wrong.json()["says"]) == (422, True)
    told = page.get("/choice", params={"rev": moment.rev}).json()
    page.post("/choice/stop", json={})
    while told["runs"]:
        told = page.get("/choice", params={"rev": moment.rev, "have": told["done"]}).json()
    assert (told["ready"], told["says"]) == (False, "Stopped.")
    typed = {"rev": moment.rev, "roof": "1,5", "nights": "20"}
    told, steps = page.get("/choice", params=typed).json(), []
    while not told["ready"]:
        steps.append(told["done"])
        told = page.get("/choice", params={"rev": moment.rev, "have": told["done"]}).json()
    assert steps == sorted(steps)
    shown = board(moment, Wanted("energy"))["loom"]
    assert "<svg" in shown
    for words in (
        "The plan: AGM 110 Ah",
        "The next 50 Wp would save",
        "Designs that no other beats",
        "alternator",
    ):
        assert words in shown
    assert 'value="1.5"' in shown
    assert reading.choosing.came.report.choice.most_wp == 300.0
    letters = reading.choosing.came.report.choice.letters
    assert all(f"<b>{letter}</b>" in shown for letter in letters.values())
    assert "#1E2327" in board(moment, Wanted("energy", evening=True))["loom"]


def test_it_ends_when_the_plan_goes_on(work: Work):
    one = Choosing(lambda: work.now().reading.checked)
    assert one.wait(lambda: False, 99) is None
    assert not one.runs
