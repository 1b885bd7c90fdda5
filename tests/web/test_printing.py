"""The book of what is on the board, unsaved text too; refused in words where that is not what is shown."""

from __future__ import annotations

import io

import pypdf

from loomwright.web import printing
from loomwright.web.examples import example_text
from tests.web.user import act


def words(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_the_book_is_of_the_unsaved_text(page, work):
    changed = work.now().text.replace("title: Alderford", "title: Alderford in blue")
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
    answer = page.post("/api/book", json={"text": example_text("highcol")})
    assert answer.headers["content-type"] == "application/pdf"
    assert "Highcol" in words(answer.content)
    assert page.post("/api/book", json={"text": "parts: ["}).json()["problems"]
