"""The tab Energy: the mean day at once, then the picture of the year with its words."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from loomwright.web import choosing


def test_the_year_is_drawn_while_one_looks_on(page: Page, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(choosing, "YEARS", 2)
    page.goto("/?sheet=energy")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Energy")
    drawing = page.locator("#sheet > svg")
    expect(page.locator("#sheet .list h2").or_(drawing)).to_be_visible()
    expect(drawing).to_contain_text("smallest margin", timeout=60_000)
    for words in ("flat nights", "January", "What stops first", "The vehicle's battery, parked"):
        expect(drawing).to_contain_text(words)
    expect(drawing).to_be_visible()
    page.get_by_text("The year in words").click()
    expect(page.locator("#loom .list").first).to_be_visible()
    expect(page.locator("#loom")).to_contain_text("of 100 such stays")
    page.get_by_text("What else could I fit?").click()
    page.get_by_role("button", name="Try other sizes").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#choose-said")).to_have_text("Stopped.")
    page.get_by_label("Room on the roof, m²").fill("1")
    page.get_by_role("button", name="Try other sizes").click()
    expect(page.locator(".choice svg")).to_contain_text("the plan: AGM 150 Ah", timeout=60_000)
    assert [one["id"] for one in Axe().run(page, context="#loom").response["violations"]] == []
