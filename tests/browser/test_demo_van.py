"""The demo van as a new user meets it: see, choose, read why, change, see it go, undo."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect


def open_pump_feed(page: Page) -> None:
    page.goto("/?sheet=wiring-3")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    wire = page.locator("#sheet g[data-kind=wire][data-id=C4] path").first
    box = wire.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 3)
    expect(page.locator("#slip h1")).to_contain_text("C4")


def findings_of_pump(page: Page) -> Locator:
    return page.locator("#ledge .finding").filter(has_text="pump loses")


def test_the_thin_feed_is_chosen_explained_changed_and_undone(page: Page):
    open_pump_feed(page)
    slip = page.locator("#slip")
    expect(slip).to_contain_text("1.36 V (11.3 %)")
    expect(slip).to_contain_text("Whole loop")
    expect(slip).to_contain_text("84.9")
    expect(findings_of_pump(page)).to_have_count(1)

    page.get_by_label("Area, mm²").fill("2.5")
    expect(findings_of_pump(page)).to_have_count(0)
    expect(slip).not_to_contain_text("11.3 %")
    expect(page.locator("#sheet")).to_contain_text("BU 2.5")
    expect(page.locator("#block")).to_contain_text("not saved")

    page.keyboard.press("Escape")
    expect(slip).to_be_hidden()
    page.keyboard.press("Control+z")
    expect(findings_of_pump(page)).to_have_count(1)
    page.keyboard.press("Control+Shift+z")
    expect(findings_of_pump(page)).to_have_count(0)


def test_what_would_flip_it_is_found_and_written(page: Page):
    open_pump_feed(page)
    page.get_by_role("button", name="Write 2.5 mm² into the plan").click()
    expect(findings_of_pump(page)).to_have_count(0)


def test_a_broken_line_is_told_where_and_the_drawing_stays(page: Page):
    open_pump_feed(page)
    page.get_by_role("button", name="Text of the plan").click()
    text = page.get_by_role("textbox", name="Text of the plan")
    expect(text).to_be_focused()
    page.keyboard.type("oops: ")
    problems = page.locator("#drawer .problems")
    expect(problems).to_contain_text("Line 191")
    expect(page.locator("#ledge")).to_contain_text("The drawing is the last good one.")
    expect(page.locator("#sheet g[data-kind=wire][data-id=C4]").first).to_be_attached()
    page.keyboard.press("Control+z")
    expect(problems).to_be_hidden()
    expect(findings_of_pump(page)).to_have_count(1)


def test_a_change_shows_in_every_window(page: Page, context):
    open_pump_feed(page)
    other = context.new_page()
    other.goto("/?sheet=wiring-3")
    expect(findings_of_pump(other)).to_have_count(1)
    page.get_by_label("Area, mm²").fill("2.5 mm²")
    expect(findings_of_pump(other)).to_have_count(0)
    expect(other.locator("#sheet")).to_contain_text("BU 2.5")


def test_a_change_made_while_a_window_still_opens_reaches_it(page: Page, context):
    """The answer to its first question is of the plan before the change, and comes after it."""
    open_pump_feed(page)
    other = context.new_page()
    late = []
    other.route("**/board?*", lambda route: late.append((route, route.fetch())), times=1)
    other.goto("/?sheet=wiring-3")
    expect(findings_of_pump(other)).to_have_count(1)
    other.wait_for_timeout(500)
    page.get_by_label("Area, mm²").fill("2.5 mm²")
    expect(findings_of_pump(page)).to_have_count(0)
    other.wait_for_timeout(500)
    ((route, answer),) = late
    route.fulfill(response=answer)
    expect(findings_of_pump(other)).to_have_count(0)


def test_a_value_that_can_not_be_read_stays_with_its_reason(page: Page):
    open_pump_feed(page)
    field = page.get_by_label("Length, one way, m")
    field.fill("long")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("long")
    expect(page.locator("#f-length-help")).to_contain_text("long")
    expect(page.locator("#block")).not_to_contain_text("not saved")
