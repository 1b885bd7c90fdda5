"""The tab Energy: the mean day at once, then the picture of the year with its words."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect


def test_the_year_is_drawn_while_one_looks_on(page: Page):
    page.goto("/?sheet=energy")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Energy")
    drawing = page.locator("#sheet > svg")
    expect(page.locator("#sheet .list h2").or_(drawing)).to_be_visible()
    expect(drawing).to_contain_text("smallest margin", timeout=60_000)
    for words in ("flat nights", "January", "What stops first", "The vehicle's battery, parked"):
        expect(drawing).to_contain_text(words)
    expect(drawing).to_be_visible()
    page.locator("#loom summary").click()
    expect(page.locator("#loom .list")).to_be_visible()
    expect(page.locator("#loom")).to_contain_text("of 100 such stays")
    assert [one["id"] for one in Axe().run(page, context="#loom").response["violations"]] == []
