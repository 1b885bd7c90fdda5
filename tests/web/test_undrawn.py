"""A sheet that can't be drawn says so; the rest of the page goes on."""

from __future__ import annotations

from loomwright.web import reading


def test_a_drawing_that_fails_does_not_take_the_page_with_it(page, work, monkeypatch):
    def fails(_: object) -> None:
        raise AssertionError("no room")

    monkeypatch.setattr(reading, "WiringDrawing", fails)
    board = page.get("/board", params={"sheet": "wiring-1", "kind": "wire", "id": "C4"}).json()
    assert "could not be drawn" in board["drawing"]
    assert "11.3 %" in board["slip"]
    assert page.post("/change/undo", json={"rev": work.now().rev}).status_code == 200
    assert page.get("/board", params={"sheet": "system"}).json()["drawing"].startswith("<svg")


def test_undo_takes_the_reading_that_was_made_before(work):
    first = work.now().reading
    work.type(first.text + "# more\n", work.now().rev)
    assert work.undo(work.now().rev).reading is first
