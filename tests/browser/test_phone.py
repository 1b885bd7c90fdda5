"""The page in one hand: a window of 390 px, fingers instead of a mouse."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from pytest_playwright.pytest_playwright import CreateContextCallback

Point = tuple[float, float]
#: WCAG 2.1, 2.5.5: 44 by 44; links within a sentence are left out there.
TARGET_PX = 44
TOO_SMALL = """() => [...document.querySelectorAll("button, input, select, summary, textarea, a")]
    .filter((element) => element.checkVisibility() && !element.closest(".unseen"))
    .filter((element) => !element.closest("p:not(.keys)"))
    .map((element) => element.closest("label.tick") ?? element)
    .map((element) => [element.outerHTML.slice(0, 120), element.getBoundingClientRect()])
    .filter(([, box]) => box.height > 0 && box.height < 43.5)
    .map(([html, box]) => `${Math.round(box.width)} x ${Math.round(box.height)}: ${html}`)"""
TOO_WIDE = """() => document.documentElement.scrollWidth > innerWidth
    || [...document.querySelectorAll("#slip, #slip *, #caution *, #block *, #find *")]
        .filter((element) => element.checkVisibility() && !element.closest(".unseen"))
        .some((element) => element.getBoundingClientRect().right > innerWidth + 1)"""


@pytest.fixture
def context(new_context: CreateContextCallback, served: str) -> BrowserContext:
    return new_context(
        base_url=served,
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        reduced_motion="reduce",
    )


def touch(page: Page, *steps: Sequence[Point]) -> None:
    """Put fingers down, move them, and lift them: each step has the places of all fingers."""
    session = page.context.new_cdp_session(page)
    for number, points in enumerate(steps):
        places = [{"x": x, "y": y, "id": finger} for finger, (x, y) in enumerate(points)]
        session.send(
            "Input.dispatchTouchEvent",
            {"type": "touchMove" if number else "touchStart", "touchPoints": places},
        )
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def view(page: Page) -> list[float]:
    return [float(value) for value in str(page.locator("#sheet > svg").get_attribute("viewBox")).split()]


def opened(page: Page, address: str = "/?sheet=wiring-3") -> None:
    page.goto(address)
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)


def test_one_finger_moves_the_paper_and_it_stays_in_sight(page: Page):
    opened(page)
    before = view(page)
    touch(page, [(300, 450)], [(250, 450)], [(200, 450)], [(150, 450)])
    after = view(page)
    assert after[0] > before[0] + 20
    assert after[2:] == before[2:]
    for _ in range(6):
        touch(page, [(350, 450)], [(180, 450)], [(10, 450)])
    x, _, width, _ = view(page)
    assert x + width == pytest.approx(361.8, abs=1)
    assert page.evaluate("scrollX") == 0


def test_two_fingers_change_the_size(page: Page):
    opened(page)
    before = view(page)
    touch(page, [(180, 450), (220, 450)], [(150, 450), (250, 450)], [(100, 450), (300, 450)])
    after = view(page)
    assert after[2] < before[2] / 2
    touch(page, [(100, 450), (300, 450)], [(150, 450), (250, 450)], [(180, 450), (220, 450)])
    assert view(page)[2] > after[2]


def test_a_tap_beside_a_wire_chooses_it(page: Page):
    opened(page)
    wire = page.locator("#sheet g[data-kind=wire][data-id=C9] path").first.bounding_box()
    assert wire is not None
    page.touchscreen.tap(wire["x"] - 18, wire["y"] + 12)
    expect(page.locator("#slip h1")).to_contain_text("C9")


def test_the_slip_is_the_lower_half_and_what_is_chosen_stays_above(page: Page):
    opened(page)
    page.locator("#ledge .finding").filter(has_text="pump loses").tap()
    slip = page.locator("#slip")
    expect(slip).to_be_visible()
    box = slip.bounding_box()
    assert box is not None
    assert (box["x"], box["width"]) == (0, 390)
    assert box["y"] >= 844 * 0.45
    wire = page.locator("#sheet g[data-kind=wire][data-id=C4] path").first.bounding_box()
    assert wire is not None
    assert wire["y"] < box["y"]
    assert 0 < wire["x"] < 390
    field = page.locator("#f-length").bounding_box()
    assert field is not None
    assert field["width"] > 200
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.locator("dialog#save")).to_be_visible()


def test_pointing_has_the_whole_paper(page: Page):
    opened(page, "/?sheet=wiring-3&kind=part&id=fan")
    page.get_by_role("button", name="Point at the other end").tap()
    expect(page.locator("#slip")).to_be_hidden()
    expect(page.locator("#said")).not_to_be_empty()


@pytest.mark.parametrize(
    "address",
    [
        "/?sheet=wiring-3",
        "/?sheet=wiring-3&kind=wire&id=C4",
        "/?sheet=wiring-3&kind=part&id=fan",
        "/?kind=add&id=part",
        "/?kind=add&id=part.water_pump",
        "/?kind=add&id=unit",
        "/?kind=entry&id=van",
        "/?kind=entry&id=labels",
        "/?kind=entry&id=header",
        "/?sheet=list",
    ],
)
def test_targets_are_large_enough_and_nothing_is_wider_than_the_screen(page: Page, address: str):
    page.goto(address)
    expect(page.locator("#tabs [aria-current]")).to_be_visible()
    page.evaluate("document.querySelectorAll('#slip details').forEach((details) => { details.open = true; })")
    assert page.evaluate(TOO_SMALL) == []
    assert not page.evaluate(TOO_WIDE)


def test_tabs_scroll_to_the_sheet_that_is_shown(page: Page):
    page.goto("/?sheet=list")
    expect(page.locator("#tabs [aria-current]")).to_be_in_viewport(ratio=0.98)
    page.locator("#tabs").evaluate("tabs => tabs.scrollTo(0, 0)")
    expect(page.locator("#tabs [data-sheet=start]")).to_be_in_viewport(ratio=0.9)
