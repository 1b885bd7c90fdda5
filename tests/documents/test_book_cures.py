"""Cures and flips in the book, why there is none, and sheets that name the page of the findings."""

from __future__ import annotations

import re
from functools import cache

import pymupdf
import pytest

from loomwright.documents.book import book_pdf
from loomwright.documents.book.content import RECHECKED_MEANS
from loomwright.documents.cured import told
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.sizing.cures import Answer
from tests.plans import big_plan
from tests.printed import answers, book
from tests.scenarios.lines import checked as of_van


@cache
def pages(name: str) -> list[str]:
    return pages_of(book(name))


def pages_of(pdf: bytes) -> list[str]:
    """Return the text of each page, on one line, without places where a line may break."""
    with pymupdf.open(stream=pdf) as document:
        return [" ".join(page.get_text().replace("\u200b", "").split()) for page in document]


def page_of_findings(pages: list[str]) -> int:
    return next(n for n, text in enumerate(pages, 1) if "One number for each finding" in text)


@pytest.mark.parametrize("name", ["mossgrove", "saltpan"])
def test_every_cure_stands_whole_once_among_the_findings(name):
    first_sheet = next(n for n, text in enumerate(pages(name)) if "column.row" in text)
    findings = " ".join(pages(name)[page_of_findings(pages(name)) - 1 : first_sheet])
    all_told = told(answers(name)).values()
    assert any(one.first for one in all_told)
    for one in all_told:
        if one.cure is not None and not one.first:
            assert findings.count(f"Cure: {one.cure.says}. Re-checked.") == 1
    repeated = sum(1 for one in all_told if one.first)
    assert len(re.findall(r"Cure: that of \d+\. Re-checked\.", findings)) == repeated
    assert RECHECKED_MEANS in findings


def test_margins_of_the_sheets_tell_the_cure_too():
    sheets = [text for text in pages("mossgrove") if "column.row" in text]
    assert len(sheets) > 1
    assert all("Cure: own 2.5 mm² feed for pump from P1.4, 15 A. Re-checked." in text for text in sheets)


def test_figures_before_and_after_and_what_flips_it():
    words = " ".join(pages("mossgrove"))
    assert "Loses 7.0 % before, 3.2 % after." in words
    assert "Cures 2, 3 and 7." in words
    assert "What flips it, size of W4: 1.5 mm² instead of 1 mm² clears it and eases 1." in words
    assert "a book makes no more trials" not in words


def test_why_there_is_no_cure():
    words = " ".join(pages_of(book_pdf(of_van("mossgrove"), {3: Answer(3, None, "no such fuse is made")})))
    assert "No cure found. No such fuse is made." in words
    assert "Cure: " not in words


def test_a_plan_without_findings_says_nothing_of_cures():
    checked = check_plan(read_plan("loomwright: 1\ntitle: Empty\nregion: eu\n"))
    words = " ".join(pages_of(book_pdf(checked)))
    assert "Re-checked" not in words


def test_sheets_send_the_reader_to_the_page_of_the_findings():
    shown = pages("saltpan")
    wanted = page_of_findings(shown)
    sent = [int(page) for text in shown for page in re.findall(r"\d+ more, page (\d+)", text)]
    assert sent
    assert set(sent) == {wanted}
    assert not any("in the list of check" in text for text in shown)


def test_the_bound_of_trials_is_said():
    words = " ".join(pages_of(book_pdf(check_plan(read_plan(big_plan(22, 60))), {})))
    told = re.search(r"here for (\d+) of (\d+) findings, the gravest: a book makes no more trials", words)
    assert told is not None
    assert 0 < int(told[1]) < int(told[2])
