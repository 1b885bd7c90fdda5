"""The example vans' cures and books, worked out once for all tests that run in one process."""

from __future__ import annotations

from functools import cache

from loomwright.documents.book import book_lists, book_pdf
from loomwright.documents.cured import answers_of
from loomwright.documents.report import Report
from loomwright.sizing.cures import Answer
from tests.scenarios.lines import checked


@cache
def answers(van: str) -> dict[int, Answer]:
    """Return the last answer for each finding of a van."""
    return answers_of(checked(van))


@cache
def report(van: str) -> Report:
    """Return the report on a van."""
    return Report(checked(van), answers(van))


@cache
def book(van: str) -> bytes:
    """Return the book of a van."""
    return book_pdf(checked(van), answers(van))


@cache
def lists(van: str) -> dict[str, bytes]:
    """Return the lists of a van."""
    return book_lists(checked(van))
