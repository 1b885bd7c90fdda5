"""What if on the page: picture and words for knobs, written into the plan by an edit, taken back by undo."""

import json

from fastapi.testclient import TestClient

from loomwright.web import yearly
from loomwright.web.board import Wanted, board
from loomwright.web.work import Work


def test_knobs_draw_write_and_are_taken_back(work: Work, page: TestClient, monkeypatch):
    monkeypatch.setattr(yearly, "YEARS", 2)
    moment = work.now()
    asked = {"rev": moment.rev, "years": 2, "panel": "260"}
    assert page.get("/what-if", params=asked).json()["drawing"] == ""  # no year yet: nothing to compare
    while moment.reading.yearly.wait(lambda: True) is None:
        pass
    shown = board(moment, Wanted("energy"))["loom"]
    assert 'aria-valuetext="180 Wp, as planned"' in shown
    told = page.get("/what-if", params=asked).json()
    assert "Panels 260 Wp instead of 180 Wp" in told["drawing"]
    assert "fewer flat nights a year" in told["says"][0]
    assert work.now().text == moment.text
    beside = page.get("/what-if", params={"rev": moment.rev, "years": 2, "dull": "1", "evening": True}).json()
    assert (beside["edits"], "#1E2327" in beside["drawing"]) == ("", True)
    for wrong in ({"panel": "9999"}, {"panel": "many"}, {"colour": "1"}):
        answer = page.get("/what-if", params={"rev": moment.rev, **wrong})
        assert (answer.status_code, "What if" in answer.json()["says"]) == (422, True)
    done = {"rev": moment.rev, "edits": json.loads(told["edits"]), "says": told["step"]}
    assert page.post("/change/edit", json=done).json()["undo"] == "what if: panels 260 Wp"
    assert "power: 260 Wp" in work.now().text
    assert page.get("/what-if", params=asked).json()["drawing"] == ""  # of a plan that is gone
    page.post("/change/undo", json={"rev": work.now().rev})
    assert work.now().text == moment.text
