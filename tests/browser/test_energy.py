"""The tab Energy: the mean day at once, then the picture of the year with its words."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from loomwright.web import choosing, yearly
from loomwright.web.work import Work


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
    assert [one["id"] for one in Axe().run(page).response["violations"]] == []


def test_a_slider_draws_the_year_anew_and_writes_it_when_told(
    page: Page, work: Work, monkeypatch: pytest.MonkeyPatch
):
    """By keys alone, then with another light; the plan is as it was until it is written into it."""
    monkeypatch.setattr(yearly, "YEARS", 2)
    page.set_viewport_size({"width": 390, "height": 844})
    text = work.now().text
    page.goto("/?sheet=energy")
    drawing, said = page.locator("#sheet > svg"), page.locator("#what-if-said")
    expect(drawing).to_contain_text("smallest margin", timeout=60_000)
    covered = page.locator("#loom").bounding_box(), page.locator("#sheet").bounding_box()
    assert covered[0]["y"] + covered[0]["height"] <= covered[1]["y"] + 1.0, "nothing lies over the picture"
    page.get_by_text("What if?").focus()
    page.keyboard.press("Enter")
    slider = page.get_by_label("Panels")
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    expect(drawing).to_contain_text("Panels 210 Wp instead of 180 Wp")
    expect(said).to_contain_text("fewer flat nights")
    assert slider.get_attribute("aria-valuetext") == "210 Wp"
    assert work.now().text == text
    page.get_by_role("button", name="For the evening").click()
    expect(slider).to_have_value("210")
    expect(drawing).to_contain_text("Panels 210 Wp")
    assert [one["id"] for one in Axe().run(page).response["violations"]] == []
    page.get_by_role("button", name="As planned").click()
    expect(drawing).not_to_contain_text("What if")
    expect(slider).to_be_focused()
    page.keyboard.press("End")
    page.get_by_role("button", name="Write it into the plan").click()
    expect(page.locator("#said")).to_contain_text("Look at its findings")
    assert "power: 390 Wp" in work.now().text
