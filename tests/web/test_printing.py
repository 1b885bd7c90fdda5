"""The book of what is on the board, unsaved text too; refused in words where that is not what is shown."""

from __future__ import annotations

import io

import pypdf
import pytest

from loomwright.web import printing
from tests.web.user import act


def words(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_the_book_is_of_the_unsaved_text(page, work):
    changed = "loomwright: 1\ntitle: Alderford in blue\nregion: uk\n"  # a small one is printed fast
    rev = act(page, "type", text=changed).json()["rev"]
    answer = page.get("/book", params={"rev": rev})
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == "attachment; filename*=UTF-8''alderford-book.pdf"
    assert "Alderford in blue" in words(answer.content)


def test_no_book_of_a_plan_that_is_not_the_one_shown(page, work):
    answer = page.get("/book", params={"rev": work.now().rev + 1})
    assert answer.status_code == 409
    assert "another window" in answer.json()["says"]


def test_no_book_of_a_text_with_errors(page, work):
    rev = act(page, "type", text=work.now().text + "oops: \n").json()["rev"]
    answer = page.get("/book", params={"rev": rev})
    assert answer.status_code == 422
    assert answer.json()["says"].startswith("Mend the text of the plan first")


def test_a_book_that_breaks_is_told_as_our_mistake(page, work, monkeypatch):
    def breaks(*_: object) -> bytes:
        raise AssertionError("no room")

    monkeypatch.setattr(printing, "book_pdf", breaks)
    answer = page.get("/book", params={"rev": work.now().rev})
    assert answer.status_code == 500
    assert "a mistake of ours" in answer.json()["says"]


def test_other_programs_get_the_book_of_the_plan_that_they_send(page):
    answer = page.post("/api/book", json={"text": "loomwright: 1\ntitle: Highcol\nregion: eu\n"})
    assert answer.headers["content-type"] == "application/pdf"
    assert "Highcol" in words(answer.content)
    assert page.post("/api/book", json={"text": "parts: ["}).json()["problems"]


@pytest.mark.parametrize(
    ("sheet", "paper", "size_mm"),
    [
        ("loom", "a4", (420, 297)),
        ("board", "a3", (420, 297)),
        ("board", "a4", (297, 210)),
        ("labels", "a4", (210, 297)),
        ("mains", "a4", (420, 297)),
    ],
)
def test_looms_boards_and_labels_are_printed_of_what_is_shown(page, work, sheet, paper, size_mm):
    answer = page.get("/print", params={"rev": work.now().rev, "sheet": sheet, "paper": paper})
    assert answer.headers["content-disposition"] == f"attachment; filename*=UTF-8''alderford-{sheet}.pdf"
    box = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx([mm * 72 / 25.4 for mm in size_mm], abs=0.6)


def test_sheets_and_papers_that_there_are_not_are_refused(page, work):
    rev = work.now().rev
    assert page.get("/print", params={"rev": rev, "sheet": "wiring"}).status_code == 422
    assert page.get("/print", params={"rev": rev, "sheet": "board", "paper": "a5"}).status_code == 422
    assert page.get("/print", params={"rev": rev + 1, "sheet": "labels"}).status_code == 409


def test_the_loom_tab_offers_what_can_be_printed(page):
    told = page.get("/board", params={"sheet": "loom-1"}).json()["loom"]
    assert told.count("data-print") == 4
    assert page.get("/board", params={"sheet": "van"}).json()["loom"] == ""
