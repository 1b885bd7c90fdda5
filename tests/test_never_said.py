"""No output says complies, certified, safe or approved: those are a person's words, who has seen the van.

Everything that the example vans come out as is searched for them as whole words: check as text and JSON,
every sheet in every format, the book and its lists, the page with all its slips, and what the commands say
of themselves. What the vans' owners typed happens to hold none of the words, so nothing is left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner
from fastapi.testclient import TestClient

from loomwright.api import FORMATS, SHEETS
from loomwright.cli import commands
from loomwright.diagrams.fuse_label import fuse_label_sheets
from loomwright.diagrams.loom import board_sheets, label_sheets, loom_sheets
from loomwright.diagrams.mains import mains_sheets
from loomwright.diagrams.modes import mode_sheets
from loomwright.diagrams.system import system_sheets
from loomwright.diagrams.van import van_sheets
from loomwright.diagrams.wiring import fault_sheets, wiring_sheets
from loomwright.documents.year import year_sheets
from loomwright.drawing.dxf import to_dxf
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import texts_of
from loomwright.drawing.svg import to_svg
from loomwright.plan.schema import plan_schema
from loomwright.web.app import make_app
from loomwright.web.board import tabs_of, things_of
from loomwright.web.slip import slip
from loomwright.web.work import Work, copy_of
from tests.printed import book, lists
from tests.printed import report as reported
from tests.scenarios.lines import VANS, checked, text_of

ROOT = Path(__file__).resolve().parent.parent
NEVER = re.compile(r"\b(complies|certified|safe|approved)\b", re.IGNORECASE)
DRAWN = {
    "system": system_sheets, "wiring": wiring_sheets, "fuse-label": fuse_label_sheets,
    "modes": mode_sheets, "faults": fault_sheets, "van": van_sheets, "loom": loom_sheets,
    "board": lambda checked: board_sheets(checked)[:4], "labels": label_sheets,
    "energy": lambda checked: year_sheets(checked, years=2), "mains": mains_sheets,
}  # fmt: skip
#: A text string of a PDF in UTF-16, as alternative texts and titles are written.
UTF_16 = re.compile(r"<FEFF([0-9A-F]+)>", re.IGNORECASE)


def said(text: str) -> list[str]:
    """Return the words of a text that must not be there, each with what stands around it."""
    return [text[max(0, hit.start() - 40) : hit.end() + 40] for hit in NEVER.finditer(text)]


def words_of(pdf: bytes) -> Iterator[str]:
    """Give the text of all pages, what stands about them, and the strings of all objects."""
    with pymupdf.open(stream=pdf) as document:
        yield from (page.get_text() for page in document)
        yield json.dumps(document.metadata)
        yield document.get_xml_metadata()
        for number in range(1, document.xref_length()):
            written = document.xref_object(number)
            yield written
            yield from (bytes.fromhex(hit).decode("utf-16-be") for hit in UTF_16.findall(written))


def test_the_search_finds_whole_words_only():
    assert len(said("It COMPLIES and is safe, \u201ccertified\u201d, approved.")) == 4
    assert said("largest_safe_a unsafe safety certificate disapproved") == []
    page = pymupdf.open()
    page.new_page().insert_text((72, 72), "tried and safe")
    assert any(said(text) for text in words_of(page.tobytes()))


@pytest.mark.parametrize("van", VANS)
def test_check(van):
    report = reported(van)
    assert said(report.as_text()) == []
    assert said(json.dumps(report.as_dict(), ensure_ascii=False)) == []


@pytest.mark.parametrize("van", VANS)
def test_sheets(van):
    assert (set(DRAWN), set(FORMATS)) == (set(SHEETS), {"svg", "dxf", "pdf"})
    for draw in DRAWN.values():
        sheets = list(draw(checked(van)))
        for sheet in sheets:
            assert said(" ".join(text.text for item in sheet.items for text in texts_of(item))) == []
            assert said(to_svg(sheet, inline_fonts=False).decode("utf-8")) == []
            assert said(to_dxf(sheet).decode("utf-8")) == []
        for text in words_of(to_pdf(sheets)) if sheets else ():
            assert said(text) == []


@pytest.mark.parametrize("van", VANS)
def test_book(van):
    for text in words_of(book(van)):
        assert said(text) == []
    for data in lists(van).values():
        assert said(data.decode("utf-8-sig")) == []


@pytest.mark.parametrize("van", VANS)
def test_page(van, monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    work = Work(copy_of(text_of(van, ""), f"{van}.yaml"))
    page = TestClient(make_app(work), base_url="http://127.0.0.1:8000")
    boards = ("/board?by=place", "/board?sheet=system", "/board?sheet=wiring-2", "/board?sheet=list")
    for address in ("/", "/start", "/start/picture", "/save", "/text", *boards):
        answer = page.get(address)
        assert answer.status_code == 200, address
        assert said(answer.text) == [], address
    moment = work.now()
    things = things_of(moment.reading, tabs_of(moment.reading))
    for thing in things:
        assert said(slip(moment, thing, things)) == [], thing


@pytest.mark.parametrize(
    "name", sorted(file.name for file in files("loomwright.web").joinpath("static").iterdir())
)
def test_what_the_page_runs(name):
    assert said(files("loomwright.web").joinpath("static", name).read_text(encoding="utf-8")) == []


def test_commands():
    for name in ("", *commands.commands):
        done = CliRunner().invoke(commands, [*name.split(), "--help"])
        assert done.exit_code == 0
        assert said(done.output) == []
    assert said(json.dumps(plan_schema())) == []


@pytest.mark.parametrize("page", ["docs/rules.md", "docs/plan-format.md"])
def test_manual(page):
    assert said((ROOT / page).read_text(encoding="utf-8")) == []
