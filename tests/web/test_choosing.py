"""What else could be fitted: run beside the page when asked for, told by steps, stopped, and shown."""

from fastapi.testclient import TestClient

from loomwright.web import choosing, yearly
from loomwright.web.board import Wanted, board
from loomwright.web.choosing import Choosing
from loomwright.web.work import Work


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
    told = page.get("/choice", params={"rev": moment.rev}).json()
    page.post("/choice/stop", json={})
    while told["runs"]:
        told = page.get("/choice", params={"rev": moment.rev, "have": told["done"]}).json()
    assert (told["ready"], told["says"]) == (False, "Stopped.")
    told, steps = page.get("/choice", params={"rev": moment.rev}).json(), []
    while not told["ready"]:
        steps.append(told["done"])
        told = page.get("/choice", params={"rev": moment.rev, "have": told["done"]}).json()
    assert steps == sorted(steps)
    shown = board(moment, Wanted("energy"))["loom"]
    assert "<svg" in shown
    for words in (
        "The plan: AGM 150 Ah",
        "The next 50 Wp would save",
        "Designs that no other beats",
        "alternator",
    ):
        assert words in shown
    letters = reading.choosing.came.report.choice.letters
    assert all(f"<b>{letter}</b>" in shown for letter in letters.values())
    assert "#1E2327" in board(moment, Wanted("energy", evening=True))["loom"]


def test_it_ends_when_the_plan_goes_on(work: Work):
    one = Choosing(lambda: work.now().reading.checked)
    assert one.wait(lambda: False, 99) is None
    assert not one.runs
