"""The three routes for other programs: the library's own objects, and the manual's examples as printed."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from loomwright import api
from loomwright.web.examples import example_text
from tests.web.user import PLAN

MANUAL = Path(__file__).resolve().parents[2] / "docs" / "api.md"
WORKED = re.findall(
    r"```http\nPOST (/api/\w+)\n(.*?)```\n.*?```(?:json|xml)\n(.*?)```", MANUAL.read_text("utf-8"), re.DOTALL
)
BROKEN = PLAN + "parts: {pump: {kind: pmup}}\n"


def holds(whole, part):
    """Return whether all that is in `part` is in `whole` at the same place."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(k in whole and holds(whole[k], v) for k, v in part.items())
    if isinstance(part, list):
        return isinstance(whole, list) and all(any(holds(one, want) for one in whole) for want in part)
    return whole == part


def test_the_manual_shows_one_worked_example_of_each():
    assert {path for path, _, _ in WORKED} == {"/api/read", "/api/check", "/api/draw"}


@pytest.mark.parametrize(("path", "asked", "shown"), WORKED)
def test_worked_examples_of_the_manual(page, path, asked, shown):
    answer = page.post(path, content=asked.encode(), headers={"Content-Type": "application/json"})
    if answer.headers["content-type"] == "application/json":
        assert holds(answer.json(), json.loads(shown))
    else:
        assert answer.text.startswith(shown.partition("...")[0].strip())


def test_check_is_the_report_of_the_command_line(page, tmp_path):
    path = tmp_path / "plan.yaml"
    path.write_text(example_text("alderford"))
    command = [sys.executable, "-c", "from loomwright.cli import main; main()", "check", "--json", str(path)]
    printed = subprocess.run(command, capture_output=True, text=True, check=False).stdout
    assert page.post("/api/check", json={"text": path.read_text()}).json() == json.loads(printed)


def test_read_gives_a_tree_that_can_be_sent_back(page):
    text = example_text("highcol")
    answer = page.post("/api/read", json={"text": text}).json()
    assert answer["title"] == "Highcol"
    assert page.post("/api/read", json={"plan": answer["plan"]}).json() == answer
    by_tree = page.post("/api/check", json={"plan": answer["plan"]}).json()
    assert by_tree == page.post("/api/check", json={"text": text}).json()


@pytest.mark.parametrize("sheet", api.SHEETS)
@pytest.mark.parametrize(
    ("to", "media_type", "begins"),
    [
        ("svg", "image/svg+xml", b"<svg"),
        ("pdf", "application/pdf", b"%PDF-"),
        ("dxf", "image/vnd.dxf", b"  0\nSECTION"),
    ],
)
def test_draw_gives_the_files_of_the_library(page, sheet, to, media_type, begins):
    text = example_text("mossgrove")
    drawn = api.draw(api.read_text(text), sheet, to)
    for number, data in enumerate(drawn, 1):
        answer = page.post("/api/draw", json={"text": text, "sheet": sheet, "to": to, "number": number})
        assert answer.content == data
        assert answer.content.startswith(begins)
        assert answer.headers["content-type"].partition(";")[0] == media_type
        assert answer.headers["sheets"] == str(len(drawn))


@pytest.mark.parametrize("path", ["/api/read", "/api/check", "/api/draw"])
def test_problems_come_with_line_and_column(page, path):
    answer = page.post(path, json={"text": BROKEN, "sheet": "wiring"})
    assert answer.status_code == 422
    problem = answer.json()["problems"][0]
    assert (problem["line"], problem["column"]) == (4, BROKEN.splitlines()[3].index("pmup") + 1)
    assert "pmup" in problem["says"]


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 400),
        (b"{", 400),
        (b"\xff", 400),
        (b"[" * 100_000, 400),
        (b"[]", 422),
        (b"{}", 422),
        (b'{"text": 1}', 422),
        (b'{"plan": []}', 422),
        (b'{"plan": NaN}', 422),
        (b'{"text": "a", "plan": {}}', 422),
        (b'{"text": "\\ud800"}', 422),
        (b'{"plan": {"title": NaN}}', 422),
        (b'{"text": "' + b"x" * 600_000 + b'"}', 422),
        (b'{"text": "' + b"x" * 1_000_000 + b'"}', 413),
    ],
)
def test_wrong_bodies_are_refused_in_words(page, body, status):
    answer = page.post("/api/check", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == status
    assert answer.json().get("says") or answer.json()["problems"]


@pytest.mark.parametrize(
    "asked", [{}, {"sheet": "cabinet"}, {"sheet": "wiring", "to": "png"}, {"sheet": ["wiring"]}]
    + [{"sheet": "wiring", "number": number} for number in (0, 99, "1", True, 1.0)]
)  # fmt: skip
def test_sheets_that_there_are_not_are_refused(page, asked):
    answer = page.post("/api/draw", json={"text": example_text("mossgrove"), **asked})
    assert answer.status_code == 422
    assert "one of" in answer.json()["says"] or "from 1 to" in answer.json()["says"]


def test_the_plan_on_the_table_is_left_alone(page, work):
    before = work.now()
    for path in ("read", "check", "draw"):
        page.post(f"/api/{path}", json={"text": PLAN, "sheet": "system"})
    assert work.now() == before


def test_foreign_pages_are_refused(page):
    answer = page.post("/api/read", json={"text": PLAN}, headers={"Origin": "http://evil.example"})
    assert answer.status_code == 403
