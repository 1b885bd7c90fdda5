"""The van sheet as a drawing board: by mouse, by finger, by keys, as a list on a phone."""

from __future__ import annotations

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from loomwright.web.work import Table, Work, copy_of
from tests.browser.test_phone import TOO_SMALL, touch
from tests.web.test_van import TEXT

#: Axe leaves the contrast of text in a drawing open; the tests of the tokens compute it.
SEEN_TO = {"color-contrast"}


@pytest.fixture
def table() -> Table:
    return copy_of(TEXT, "board.yaml")


def opened(page: Page, sheet: str = "van") -> None:
    page.goto(f"/?sheet={sheet}")
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list.spots")""")


def at(work: Work, place: str) -> str:
    return next(
        line.strip() for line in work.now().text.splitlines() if line.strip().startswith(f"{place}: ")
    )


def middle(page: Page, id: str) -> tuple[float, float]:
    box = page.locator(f"#sheet g[data-kind=place][data-id={id}] circle").first.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def mm(page: Page) -> float:
    """Return how many pixels of the screen a millimetre of the paper is."""
    return float(page.locator("#sheet > svg").evaluate("svg => svg.clientWidth / svg.viewBox.baseVal.width"))


#: Where the middle of the longest line of a wire is on the screen.
ON_WIRE = """(id) => {
    const all = `[data-layer=wires] g[data-kind=wire][data-id="${id}"] path`;
    const paths = [...document.querySelectorAll(all)];
    const path = paths.reduce((a, b) => (b.getTotalLength() > a.getTotalLength() ? b : a));
    const [at, to] = [path.getPointAtLength(path.getTotalLength() / 2), path.getScreenCTM()];
    return [at.x * to.a + to.e, at.y * to.d + to.f];
}"""


def sound(page: Page) -> None:
    told = Axe().run(page).response
    assert [(one["id"], one["nodes"][0]["html"][:150]) for one in told["violations"]] == []
    assert {one["id"] for one in told["incomplete"]} <= SEEN_TO


def test_a_place_is_moved_by_mouse_and_keys(page: Page, work: Work):
    page.set_viewport_size({"width": 1440, "height": 900})
    opened(page)
    sound(page)
    scale = 1000.0 / work.now().reading.van("").layout.views[0].scale * mm(page)
    x, y = middle(page, "kitchen")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 0.52 * scale, y + 0.6 * scale, steps=4)
    expect(page.locator("#tip")).to_contain_text("kitchen: 1.10 m rearward, 0.05 m right")
    page.mouse.move(x + 0.52 * scale, y + 1.29 * scale, steps=2)
    page.mouse.up()
    said = page.locator("#said")
    expect(said).to_contain_text("on the other side now; fridge and tap move with it.")
    expect(said).to_contain_text(re.compile(r"3 wires longer: W1 \d\.\d → \d\.\d m"))
    expect(said).to_contain_text("Drop of fridge")
    expect(said).to_contain_text("The length of W2 is typed and does not follow.")
    assert at(work, "kitchen") == "kitchen: [1.10, -0.65, 0.50]   # by the door"
    page.keyboard.press("Control+z")
    expect(page.get_by_role("button", name="Undo")).to_have_attribute("aria-disabled", "true")
    assert work.now().text == TEXT

    # near a path it snaps to it, and Esc lets it go back
    x, y = middle(page, "kitchen")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 8, y, steps=2)
    page.mouse.move(x + 0.21 * scale, y - 0.1 * scale, steps=3)
    expect(page.locator("#tip")).to_contain_text("0.80 m right")
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator("#tip")).to_be_hidden()
    assert work.now().text == TEXT

    # keys: one breath is one move, and the keyboard stays on the place
    place = page.locator("#sheet g[data-kind=place][data-id=kitchen][role=button]")
    place.focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowDown", "Alt+ArrowUp"):
        page.keyboard.press(key)
    expect(said).to_contain_text("kitchen to 0.70 m rearward, 0.40 m right, 0.55 m up;")
    assert at(work, "kitchen") == "kitchen: [0.70, 0.40, 0.55]   # by the door"
    expect(page.locator("#sheet g[data-kind=place][data-id=kitchen]:focus")).to_have_count(1)
    corner = page.locator("#sheet g[data-kind=corner][data-id='sill 2'][role=button]")
    expect(corner).to_have_attribute("aria-label", "corner 2 of path sill")
    corner.focus()
    page.keyboard.press("ArrowUp")
    expect(said).to_contain_text("Corner 2 of sill to 1.20 m rearward, 0.85 m right")
    assert "[1.20, 0.85, 0.10]" in at(work, "sill")

    # a click opens the slip of a wire, without moving anything
    page.locator("#sheet g[data-kind=wire][data-id=W3][role=button]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_contain_text("W3")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Van")


def test_shorts_are_told_metre_by_metre(page: Page, work: Work):
    opened(page)
    page.get_by_label("Bands", exact=True).select_option("opening")
    expect(page.locator("#sheet svg title").first).to_contain_text("opening time")
    along = work.now().reading.checked.assessment.faults.along["W3"]
    wire = page.locator("#sheet g[data-kind=wire][data-id=W3][role=button]")
    wire.focus()
    tip = page.locator("#tip")
    for presses, metre in ((0, 0.0), (4, 1.0), (1, 1.3)):
        for _ in range(presses):
            page.keyboard.press("ArrowRight")
        least, most = along.at(round(metre, 2) if metre != 1.3 else 1.25)
        expect(tip).to_contain_text(f"W3 at {metre:.1f} m: a short draws {least:.3g} to {most:.3g} A, over")
    page.mouse.move(*page.evaluate(ON_WIRE, "W3"))
    expect(tip).to_contain_text(re.compile(r"W3 at 2\.\d m: a short draws"))
    page.get_by_label("Bands", exact=True).select_option("current")
    expect(page.locator("#sheet svg title").first).to_contain_text("by current")
    wire.focus()
    expect(tip).to_have_text("W3: 1 A")
    opened(page, "faults-1")
    page.locator("#sheet g[data-kind=wire][data-id=W3][role=button]").focus()
    page.keyboard.press("Shift+ArrowRight")
    expect(tip).to_contain_text("W3 at 1.0 m: a short draws")


def test_on_a_phone_there_is_a_list_and_a_finger_moves_things(browser: Browser, served: str, work: Work):
    context = browser.new_context(
        base_url=served,
        viewport={"width": 390, "height": 844},
        color_scheme="dark",
        has_touch=True,
        is_mobile=True,
        reduced_motion="reduce",
    )
    page = context.new_page()
    opened(page)
    sound(page)
    assert page.evaluate(TOO_SMALL) == []
    assert not page.evaluate("() => document.documentElement.scrollWidth > innerWidth")
    page.locator("#van summary").click()
    page.get_by_role("button", name="Put loft in the middle").click()
    expect(page.locator("#said")).to_contain_text("loft is in the middle now")
    assert at(work, "loft") == "loft: [1.50, 0.00, 0.50]"
    page.keyboard.press("Escape")
    expect(page.locator("#slip")).to_be_hidden()
    field = page.get_by_label("rear: up, m")
    field.fill("0,9")
    field.press("Enter")
    expect(page.locator("#said")).to_contain_text("rear to 2.80 m rearward, 0.80 m left, 0.90 m up")
    field.fill("high")
    field.press("Enter")
    expect(field).to_have_attribute("aria-invalid", "true")

    page.get_by_role("button", name="Drawing").click()
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0']")""")
    scale = 1000.0 / work.now().reading.van("").layout.views[0].scale * mm(page)
    x, y = middle(page, "seat")
    touch(page, [(x, y)], [(x + 6, y + 6)], [(x + 0.3 * scale, y + 0.1 * scale)])
    expect(page.locator("#said")).to_contain_text("seat to 0.10 m ahead, 0.40 m right, 0.20 m up")
    assert at(work, "seat") == "seat: [-0.10, 0.40, 0.20]"
    context.close()
