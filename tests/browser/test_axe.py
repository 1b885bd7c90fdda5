"""axe finds nothing wrong: every state of the page, by day and in the evening, large and small.

Rules: those of axe-core for WCAG 2.1 A and AA, and its best practices. What axe leaves open ("incomplete")
can only be contrast: of text inside a drawing, and of text with something laid over it. The tests of the
tokens compute that, pair by pair.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

DESKTOP, PHONE = (1440, 900), (390, 844)
SEEN_TO = {"color-contrast"}
#: The drawing has some 500 texts; it is looked into on both kinds of sheet, but not beside every slip.
WITH_DRAWING = {"wiring", "lists", "keys"}
BESIDE_DRAWING = {"exclude": ["#sheet > svg"]}


def at(address: str) -> Callable[[Page], None]:
    def go(page: Page) -> None:
        if address == "/start":
            page.goto(address)
            return
        with page.expect_response(lambda answer: "/board?" in answer.url):
            page.goto(address)
        page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list")""")
        expect(page.locator("#tabs [aria-current]")).to_be_visible()

    return go


def broken_text(page: Page) -> None:
    at("/?sheet=wiring-3&kind=wire&id=C4")(page)
    page.get_by_role("button", name="Text of the plan").click()
    expect(page.locator("#drawer textarea")).to_be_focused()
    page.keyboard.type("oops: ")
    expect(page.locator("#drawer .problems")).to_contain_text("Line 191")


def mended(page: Page) -> None:
    page.keyboard.press("Control+z")
    expect(page.locator("#drawer .problems")).to_be_hidden()


def keys(page: Page) -> None:
    at("/?sheet=system")(page)
    page.get_by_role("button", name="Keys").click()
    expect(page.locator("dialog#keys")).to_be_visible()


def saving(page: Page) -> None:
    at("/?sheet=wiring-1")(page)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#save-name")).to_be_focused()


def finding(page: Page) -> None:
    at("/?sheet=wiring-1")(page)
    page.locator("#ledge .finding").first.click()
    expect(page.locator("#slip h1")).to_be_focused()
    expect(page.locator("#flips h2")).to_be_visible()


def said(page: Page) -> None:
    at("/?sheet=wiring-3&kind=part&id=fan")(page)
    page.get_by_role("button", name="Point at the other end").click()
    expect(page.locator("#said")).to_contain_text("arrow keys")


def playing(page: Page) -> None:
    at("/?sheet=wiring-3&kind=wire&id=C4")(page)
    page.keyboard.press("p")
    expect(page.locator("#slip .now")).to_be_visible()
    expect(page.get_by_label("The state to begin from")).to_be_focused()


def played(page: Page) -> None:
    page.locator("#caution [data-act=stop-play]").click()
    expect(page.locator("#play")).to_be_hidden()


def nothing(page: Page) -> None:
    """The state needs no tidying up."""


#: What is looked at, how to get there, how to leave it.
STATES = {
    "wiring": (at("/?sheet=wiring-3"), nothing),
    "wire": (at("/?sheet=wiring-3&kind=wire&id=C4"), nothing),
    "part": (at("/?sheet=wiring-3&kind=part&id=fan"), nothing),
    "stud": (at("/?sheet=wiring-3&kind=stud&id=E3"), nothing),
    "finding": (finding, nothing),
    "add": (at("/?kind=add&id=part"), nothing),
    "new part": (at("/?kind=add&id=part.water_pump"), nothing),
    "unit": (at("/?kind=add&id=unit"), nothing),
    "van": (at("/?kind=entry&id=van"), nothing),
    "numbers": (at("/?kind=entry&id=labels"), nothing),
    "broken text": (broken_text, mended),
    "lists": (at("/?sheet=list&kind=wire&id=C4"), nothing),
    "start": (at("/start"), nothing),
    "keys": (keys, nothing),
    "save": (saving, nothing),
    "pointing": (said, nothing),
    "playing": (playing, played),
}


FEW = ("wire", "broken text", "playing")


@pytest.mark.parametrize(
    ("size", "light", "states"),
    [
        pytest.param(DESKTOP, "light", tuple(STATES), id="desktop, light"),
        pytest.param(PHONE, "dark", FEW, id="phone, dark"),
    ],
)
def test_axe_finds_nothing(browser: Browser, served: str, size, light, states):
    touch = size == PHONE
    context = browser.new_context(
        base_url=served,
        color_scheme=light,
        viewport={"width": size[0], "height": size[1]},
        has_touch=touch,
        is_mobile=touch,
        reduced_motion="reduce",
    )
    page = context.new_page()
    found, left_open = {}, {}
    for name in states:
        enter, leave = STATES[name]
        enter(page)
        told = Axe().run(page, context=None if name in WITH_DRAWING else BESIDE_DRAWING).response
        found |= {
            (name, one["id"]): [node["html"][:200] for node in one["nodes"]] for one in told["violations"]
        }
        left_open |= {(name, one["id"]): one["nodes"][0]["html"][:200] for one in told["incomplete"]}
        leave(page)
    context.close()
    assert found == {}
    assert {key: html for key, html in left_open.items() if key[1] not in SEEN_TO} == {}
