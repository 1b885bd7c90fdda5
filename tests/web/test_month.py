"""The month of the system sheet on the page: chosen from the months of use, or none."""

from fastapi.testclient import TestClient

from loomwright.web.board import Wanted, board
from loomwright.web.work import Work, copy_of


def test_the_mean_day_of_a_month_is_drawn(work: Work, page: TestClient):
    shown = board(work.now(), Wanted("system"))
    assert "A mean day in October" in shown["drawing"]
    assert '<option value="oct" selected>October, the smallest margin</option>' in shown["loom"]
    june = page.get("/board", params={"sheet": "system", "month": "jun"}).json()
    assert "A mean day in June" in june["drawing"]
    assert '<option value="jun" selected>' in june["loom"]
    assert "A mean day" not in board(work.now(), Wanted("system", month="none"))["drawing"]
    assert board(work.now(), Wanted("system", month="<b>")) == shown  # no such month
    asked = {"sheet": "system", "month": "jun", "text": work.now().text}
    assert "A mean day in June" in page.post("/api/draw", json=asked).text
    wrong = page.post("/api/draw", json=asked | {"month": "juin"})
    assert (wrong.status_code, "month" in wrong.json()["says"]) == (422, True)


def test_a_van_of_which_no_use_is_known_has_no_month():
    bare = Work(copy_of("loomwright: 1\ntitle: Bare\nregion: uk\n", "bare.yaml")).now()
    assert board(bare, Wanted("system"))["loom"] == ""
