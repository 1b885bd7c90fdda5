"""Light and room: by day and in the evening, on paper, in windows of all widths."""

from __future__ import annotations

import pymupdf
import pytest
from playwright.sync_api import Browser, Page, expect

MM_PER_POINT = 25.4 / 72
DAY_PAPER, EVENING_PAPER = "rgb(253, 252, 248)", "rgb(30, 35, 39)"


def paper(page: Page) -> str:
    return str(page.locator("#paper").evaluate("element => getComputedStyle(element).backgroundColor"))


def width(page: Page, what: str) -> float:
    box = page.locator(what).bounding_box()
    assert box is not None
    return box["width"]


def test_evening_as_the_system_has_it_then_as_chosen_and_kept(browser: Browser, served: str):
    context = browser.new_context(base_url=served, color_scheme="dark")
    page = context.new_page()
    page.goto("/?sheet=wiring-1")
    expect(page.locator("#sheet > svg rect[fill='#1E2327']").first).to_be_attached()
    assert paper(page) == EVENING_PAPER
    page.get_by_role("button", name="By day").click()
    expect(page.locator("#sheet > svg rect[fill='#FDFCF8']").first).to_be_attached()
    assert paper(page) == DAY_PAPER
    page.reload()
    expect(page.get_by_role("button", name="For the evening")).to_be_visible()
    assert paper(page) == DAY_PAPER
    context.close()


def test_wide_window_gives_the_paper_all_until_a_slip_lies_there(page: Page):
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto("/?sheet=wiring-1")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    assert width(page, "#paper") == pytest.approx(1404, abs=1)
    page.locator("#ledge .finding").first.click()
    expect(page.locator("#slip")).to_be_visible()
    assert width(page, "#paper") == pytest.approx(1004, abs=1)
    assert width(page, "#slip") == pytest.approx(382, abs=1)


@pytest.mark.parametrize("size", [(1024, 768), (1200, 800), (1439, 900)])
def test_the_slip_lies_over_the_paper_and_the_wire_beside_it(page: Page, size: tuple[int, int]):
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto("/?sheet=wiring-3&kind=wire&id=C7")
    slip = page.locator("#slip")
    expect(slip).to_be_visible()
    assert width(page, "#slip") == pytest.approx(360, abs=1)
    assert width(page, "#paper") == pytest.approx(size[0] - 36, abs=1)
    page.wait_for_timeout(250)
    wire = page.locator("#sheet g[data-kind=wire][data-id=C7] path").first.bounding_box()
    over = slip.bounding_box()
    assert wire is not None
    assert over is not None
    assert wire["x"] + wire["width"] < over["x"]


@pytest.mark.parametrize("size", [(1024, 768), (1440, 900), (1920, 1080)])
def test_the_page_does_not_scroll(page: Page, size: tuple[int, int]):
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for address in ("/?sheet=wiring-1", "/?sheet=wiring-3&kind=wire&id=C4", "/?sheet=list"):
        page.goto(address)
        expect(page.locator("#tabs [aria-current]")).to_be_visible()
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_view_stays_on_the_paper(page: Page):
    """Whatever is dragged, wheeled or found, the field is never left."""
    page.goto("/?sheet=wiring-3")
    svg = page.locator("#sheet > svg")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    box = svg.bounding_box()
    assert box is not None
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    for dx, dy in ((2000, 0), (-2000, 0), (0, 2000), (0, -2000), (3000, 3000)):
        page.mouse.move(*middle)
        page.mouse.wheel(0, -100)
        page.mouse.down()
        page.mouse.move(middle[0] + dx, middle[1] + dy, steps=4)
        page.mouse.up()
        x, y, w, h = (float(value) for value in str(svg.get_attribute("viewBox")).split())
        for at, seen, first, last in ((x, w, 19.6, 361.8), (y, h, 9.6, 249.4)):
            low, high = sorted((first, last - seen))
            assert low - 0.1 <= at <= high + 0.1
    for _ in range(20):
        page.keyboard.press("-")
    x, y, w, h = (float(value) for value in str(svg.get_attribute("viewBox")).split())
    assert h == pytest.approx(239.8, abs=0.1)
    assert x <= 19.7
    assert x + w >= 361.7


def test_the_zoom_keys_lie_beside_the_drawing(page: Page):
    for size in ((1440, 900), (1024, 768)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.goto("/?sheet=wiring-1")
        expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
        keys, drawing = page.locator("#zoom").bounding_box(), page.locator("#sheet").bounding_box()
        assert keys is not None
        assert drawing is not None
        assert keys["x"] + keys["width"] <= drawing["x"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_printed_sheet_is_alone_whole_and_in_the_inks_of_the_day(browser: Browser, served: str, scheme):
    context = browser.new_context(base_url=served, color_scheme=scheme)
    page = context.new_page()
    page.goto("/?sheet=wiring-3&kind=wire&id=C4")
    expect(page.locator("#sheet .leader")).to_be_attached()
    page.wait_for_timeout(250)
    before = page.locator("#sheet > svg").get_attribute("viewBox")
    printed = pymupdf.open(stream=page.pdf(prefer_css_page_size=True, print_background=True), filetype="pdf")
    assert printed.page_count == 1
    sheet = printed[0]
    assert sheet.rect.width * MM_PER_POINT == pytest.approx(420, abs=1)
    assert sheet.rect.height * MM_PER_POINT == pytest.approx(297, abs=1)
    words = sheet.get_text()
    assert all(there in words for there in ("C4", "Findings", "Alderford"))
    assert all(gone not in words for gone in ("Text of the plan", "Reasons"))
    frame = max(
        (drawing["rect"] for drawing in sheet.get_drawings() if drawing["color"]), key=lambda rect: rect.width
    )
    assert frame.width * MM_PER_POINT == pytest.approx(390, abs=1)
    corner = sheet.get_pixmap(dpi=36).pixel(20, 20)
    assert min(corner) > 240
    expect(page.locator("#sheet > svg")).to_have_attribute("viewBox", str(before))
    context.close()


def test_nothing_moves_where_that_is_not_wanted(browser: Browser, served: str):
    context = browser.new_context(
        base_url=served, reduced_motion="reduce", viewport={"width": 1024, "height": 768}
    )
    page = context.new_page()
    page.goto("/?sheet=wiring-3")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    page.evaluate(
        """() => {
            window.views = [];
            const note = () => views.push(document.querySelector("#sheet > svg").getAttribute("viewBox"));
            new MutationObserver(note).observe(document.querySelector("#sheet > svg"),
                { attributeFilter: ["viewBox"] });
        }"""
    )
    page.keyboard.press("/")
    page.keyboard.type("C7")
    page.keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_contain_text("C7")
    page.wait_for_timeout(300)
    assert page.evaluate("new Set(views).size") <= 2
    context.close()
