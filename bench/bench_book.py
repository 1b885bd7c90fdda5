"""The van book of a generated van, from its finished assessment, and its lists."""

from __future__ import annotations

import time
from collections.abc import Callable
from io import BytesIO

import pypdf

from loomwright import read_text
from loomwright.documents.book import book_lists, book_pdf
from loomwright.rules.check import check_plan
from tests.plans import big_plan

TIMES = 2


def bench() -> list[tuple[str, float, str]]:
    """Return the time of a book of about 30 pages, how many it has, its size, and the time of its lists."""
    checked = check_plan(read_text(big_plan(36, 110)))
    seconds, made = _shortest(lambda: book_pdf(checked))
    pages = len(pypdf.PdfReader(BytesIO(made)).pages)
    return [
        ("book of 110 wires", seconds * 1e3, "ms"),
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
