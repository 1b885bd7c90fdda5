"""How sure a verdict is: its band on a small scale, and what to measure, beside the drawing."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from loomwright.web.work import Table, copy_of
from tests.rules.test_deciding import SWITCHED


@pytest.fixture
def table() -> Table:
    return copy_of(SWITCHED.replace("length: 4 m", "length: 5 m"), "van.yaml")


def test_the_slip_shows_how_sure_a_verdict_is_and_what_would_settle_it(page: Page, tmp_path: Path):
    page.goto("/?sheet=wiring-1&kind=wire&id=C1")
    sure = page.locator("#flips")
    expect(sure.get_by_role("heading", name="How sure it is")).to_be_visible()
    scale = sure.get_by_role("img")
    expect(scale).to_have_accessible_name(
        "drop, running: 3.7 % at the least, typically 3.9 %, 5.2 % at the most; "
        "watch from 4.0 %, fault from 5.0 %"
    )
    expect(sure).to_contain_text("measure the volts across the closed contact of S1 at 10 A (good up to")
    expect(sure).to_contain_text("What decides it: parts.S1.resistance 100 %.")
    assert not [
        one["id"]
        for one in Axe().run(page, context="#slip").response["violations"]
        if one["id"] != "color-contrast"
    ]
    scale.scroll_into_view_if_needed()
    page.screenshot(path=tmp_path / "sure.png")
