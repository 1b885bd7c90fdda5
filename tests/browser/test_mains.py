"""The tab Mains: choose, compare, load again; by keys, on a phone, with axe."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from loomwright.web.examples import example_text
from loomwright.web.work import Table, copy_of
from tests.browser.test_phone import TOO_SMALL, TOO_WIDE


@pytest.fixture
def table() -> Table:
    return copy_of(example_text("amberquay"), "amberquay.yaml")


def choose(page: Page, group: str, name: str, number: int = 0) -> None:
    page.get_by_role("group", name=group, exact=True).nth(number).get_by_role(
        "button", name=name, exact=True
    ).click()


def opened(page: Page) -> None:
    page.goto("/?sheet=mains")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Mains")


def test_the_same_van_on_two_pitches_and_loaded_again(page: Page):
    opened(page)
    choose(page, "Pitch", "large, 16 A")
    expect(page.locator("#sheet .says")).to_contain_text(
        "On large (TN earth) a live case at S1 stands at 115 V"
    )
    page.get_by_role("button", name="Compare with another pitch").click()
    expect(page.locator("#sheet .says").nth(1)).to_contain_text("On electrode (TT earth)")
    expect(page.locator("#sheet .says").nth(1)).to_contain_text("229 V")
    boxes = [page.locator("svg.case").nth(k).bounding_box() for k in (0, 1)]
    assert boxes[0] is not None
    assert boxes[1] is not None
    assert boxes[1]["x"] > boxes[0]["x"] + boxes[0]["width"], "side by side"
    choose(page, "What goes wrong", "a hand on the line")
    expect(page.locator("#said")).to_contain_text("a hand on the line at S1 meets 230 V")
    expect(page.locator("[data-mains=fault][data-to=hand]")).to_be_focused()
    page.reload()
    expect(page.locator("#sheet .says").nth(1)).to_contain_text("On electrode (TT earth) a hand on the line")
    page.get_by_role("button", name="Put this pitch away").click()
    expect(page.locator("#sheet .says")).to_have_count(1)


def test_by_keys_alone(page: Page):
    opened(page)
    page.keyboard.press("2")
    expect(page.locator("#sheet > svg")).to_be_visible()
    page.keyboard.press("8")
    button = page.get_by_role("group", name="Polarity").get_by_role("button", name="reversed")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#sheet .says")).to_contain_text("reversed")
    expect(page.get_by_role("group", name="Polarity").get_by_role("button", name="reversed")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("2")
    page.keyboard.press("8")
    expect(page.locator("#sheet .says")).to_contain_text("reversed")


@pytest.mark.parametrize(
    ("size", "light"),
    [((1440, 900), "light"), ((1440, 900), "dark"), ((390, 844), "light"), ((390, 844), "dark")],
)
def test_axe_finds_nothing_and_fingers_find_their_targets(browser: Browser, served: str, size, light):
    touch = size[0] < 500
    context = browser.new_context(
        base_url=served,
        color_scheme=light,
        viewport={"width": size[0], "height": size[1]},
        has_touch=touch,
        is_mobile=touch,
    )
    page = context.new_page()
    opened(page)
    page.get_by_role("button", name="Compare with another pitch").click()
    expect(page.locator("#sheet .says")).to_have_count(2)
    page.locator("#sheet summary").first.click()
    told = Axe().run(page, context="#paper").response
    assert [(one["id"], one["nodes"][0]["html"][:160]) for one in told["violations"]] == []
    if touch:
        assert page.evaluate(TOO_SMALL) == []
        assert not page.evaluate(TOO_WIDE)
        wide = (
            "() => { const s = document.getElementById('sheet'); return s.scrollWidth > s.clientWidth + 1; }"
        )
        assert not page.evaluate(wide)
        choose(page, "What goes wrong", "a hand on the line")
        expect(page.locator("[data-mains=fault][data-to=hand]")).to_be_in_viewport(ratio=0.9)
    context.close()


@pytest.mark.parametrize("table", [copy_of(example_text("mossgrove"), "mossgrove.yaml")])
def test_a_van_without_mains_leads_on(page: Page):
    opened(page)
    expect(page.locator("#sheet")).to_contain_text("This van has no 230 V or 120 V side.")
    page.get_by_role("button", name="Add an inlet").click()
    expect(page.locator("#slip h1")).to_contain_text("inlet")
