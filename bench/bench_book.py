"""The van book of a generated van, from its finished assessment: its cures, itself, its lists."""

from __future__ import annotations

import time
from collections.abc import Callable
from io import BytesIO

import pypdf

from loomwright import read_text
from loomwright.documents.book import book_lists, book_pdf
from loomwright.documents.cured import answers_of
from loomwright.rules.check import check_plan
from loomwright.sizing.nearest import nearest
from tests.plans import big_plan

TIMES = 2


def bench() -> list[tuple[str, float, str]]:
    """Return the time of a book of about 30 pages, of its flips and cures, its pages, size, and its lists."""
    checked = check_plan(read_text(big_plan(36, 110)))
    began = time.perf_counter()
    answers = answers_of(checked)
    cures_s = time.perf_counter() - began
    began = time.perf_counter()
    nearest(checked)
    flips_s = time.perf_counter() - began
    seconds, made = _shortest(lambda: book_pdf(checked, answers))
    pages = len(pypdf.PdfReader(BytesIO(made)).pages)
    return [
        ("book of 110 wires, its cures known", seconds * 1e3, "ms"),
        ("  of that what flips the verdicts", flips_s * 1e3, "ms"),
        ("  its cures, before", cures_s * 1e3, "ms"),
        ("  its pages", float(pages), ""),
        ("  its size", len(made) / 1e3, "kB"),
        ("  its lists as CSV", _shortest(lambda: b"".join(book_lists(checked).values()))[0] * 1e3, "ms"),
    ]


def _shortest(work: Callable[[], bytes]) -> tuple[float, bytes]:
    """Return the shortest time of several runs, and what the last one made. [s]"""
    best, made = float("inf"), b""
    for _ in range(TIMES):
        began = time.perf_counter()
        made = work()
        best = min(best, time.perf_counter() - began)
    return best, made
