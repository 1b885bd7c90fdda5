"""Play: the van in a state set by hand, by mouse, finger and keys; the plan stays until one is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, Route, expect

OUT = Path(__file__).parents[1] / "out" / "play"
PHONE = {"width": 390, "height": 844}


def play(page: Page, sheet: str = "wiring-3") -> None:
    page.goto(f"/?sheet={sheet}")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    page.get_by_role("button", name="Play", exact=True).click()
    expect(page.locator("#play")).to_be_visible()


def sign(page: Page, device: str) -> Locator:
    return page.locator(f'#sheet [data-device="{device}"]').first


def press(page: Page, device: str) -> None:
    """Press on the contact of a device in the drawing."""
    box = sign(page, device).bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def knob(page: Page, device: str) -> Locator:
    return page.locator(f'#play [data-device="{device}"]')


def begin_from(page: Page, mode: str) -> None:
    page.get_by_label("The state to begin from").select_option(mode)


def picture(page: Page, name: str) -> None:
    OUT.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=OUT / f"{name}.png")


def test_a_switch_pressed_in_the_drawing_moves_and_its_lamp_goes_out(page: Page):
    play(page)
    expect(page.locator("#caution")).to_contain_text("as it stands: parked")
    lamp = page.locator("#sheet g[data-kind=part][data-id=kitchen_strip] [data-sign]").first
    expect(lamp).to_have_attribute("data-sign", "strip_lit")
    press(page, "S3")
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch")
    expect(lamp).to_have_attribute("data-sign", "strip")
    expect(page.locator("#said")).to_contain_text("S3")
    expect(page.locator("#said")).to_contain_text("is off")
    expect(page.locator("#caution")).to_contain_text("parked, changed")
    picture(page, "switch-off")


def test_a_relay_follows_the_panel_and_all_of_it_is_taken_back(page: Page):
    play(page, "wiring-2")
    contact = sign(page, "U1/KS")
    expect(contact).to_have_attribute("data-sign", "selector_2_5_2")
    press(page, "S0.selector")
    expect(contact).to_have_attribute("data-sign", "selector_2_5_1")
    expect(page.locator("#said")).to_contain_text("U1/KS")
    page.keyboard.press("Control+z")
    expect(contact).to_have_attribute("data-sign", "selector_2_5_2")
    page.keyboard.press("Control+Shift+z")
    expect(contact).to_have_attribute("data-sign", "selector_2_5_1")
    expect(page.locator("#block")).not_to_contain_text("not saved")


def test_a_pulled_fuse_leaves_its_wire_dead(page: Page):
    play(page)
    live = page.locator("#sheet [data-layer=overlay] g[data-kind=wire][data-id=C1]")
    expect(live).not_to_have_count(0)
    press(page, "fuse U1/way_light.1")
    expect(sign(page, "fuse U1/way_light.1")).to_have_attribute("data-sign", "fuse_pulled")
    expect(live).to_have_count(0)
    press(page, "fuse U1/way_light.1")
    expect(live).not_to_have_count(0)


def test_a_mode_is_begun_from_and_the_engine_takes_the_ignition_along(page: Page):
    play(page, "wiring-1")
    begin_from(page, "driving")
    expect(page.locator("#caution")).to_contain_text("as it stands: driving")
    expect(knob(page, "@engine")).to_contain_text("running")
    picture(page, "driving")
    knob(page, "@ignition").click()
    expect(knob(page, "@engine")).to_contain_text("stopped")
    expect(knob(page, "@ignition")).to_be_focused()
    knob(page, "@engine").click()
    expect(knob(page, "@ignition")).to_contain_text("on")


def test_who_feeds_this_now_stands_on_the_slip_of_a_wire(page: Page):
    play(page)
    page.locator("#sheet g[data-kind=wire][data-id=C1][role=button]").focus()
    page.keyboard.press("Enter")
    now = page.locator("#slip .now")
    expect(now).to_contain_text("leisure")
    expect(now).to_contain_text("through")
    expect(now).to_contain_text("U1/KL")
    expect(now).to_contain_text("1.25 A")
    knob(page, "S0.light").click()
    expect(now).to_contain_text("Nothing.")
    expect(now).to_contain_text("In the way of leisure: U1/KL is off, its coil waits for S0.light")
    picture(page, "who-feeds-this")


def test_all_of_it_by_keys(page: Page):
    page.goto("/?sheet=wiring-3")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    page.keyboard.press("p")
    expect(page.get_by_label("The state to begin from")).to_be_focused()
    knob(page, "S3").focus()
    page.keyboard.press("Enter")
    expect(knob(page, "S3")).to_contain_text("off")
    expect(knob(page, "S3")).to_be_focused()
    page.keyboard.press("Control+z")
    expect(knob(page, "S3")).to_contain_text("on")
    page.keyboard.press("Escape")
    expect(page.locator("#play")).to_be_hidden()
    expect(page.locator("#caution")).to_contain_text("at rest")
    expect(page.get_by_role("button", name="Play", exact=True)).to_be_focused()


def test_a_state_is_kept_as_a_mode_of_the_plan_and_undone(page: Page):
    play(page)
    press(page, "S3")
    page.get_by_label("Name of the state").fill("quiet_night")
    page.get_by_role("button", name="Keep as a state").click()
    expect(page.locator("#said")).to_contain_text("quiet_night is a state of the plan now")
    expect(page.locator("#slip h1")).to_contain_text("quiet_night")
    expect(page.get_by_label("The state to begin from").locator("option[value=quiet_night]")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(page.locator("#slip")).to_be_hidden()
    page.keyboard.press("Escape")
    expect(page.locator("#play")).to_be_hidden()
    page.keyboard.press("Control+z")
    expect(page.locator("#block")).not_to_contain_text("not saved")
    page.get_by_role("button", name="Play", exact=True).click()
    expect(page.get_by_label("The state to begin from").locator("option[value=quiet_night]")).to_have_count(0)


def test_a_name_that_can_not_be_is_refused_in_words(page: Page):
    play(page)
    page.get_by_label("Name of the state").fill("quiet night")
    page.get_by_role("button", name="Keep as a state").click()
    expect(page.locator("#said")).to_contain_text("quiet night")
    expect(page.locator("#block")).not_to_contain_text("not saved")


def test_the_plan_may_be_changed_while_it_is_played(page: Page):
    play(page)
    press(page, "S3")
    page.locator("#sheet g[data-kind=wire][data-id=C4][role=button]").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Area, mm²").fill("2.5")
    expect(page.locator("#sheet")).to_contain_text("BU 2.5")
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch")


def test_a_late_answer_undoes_nothing_that_was_chosen_since(page: Page):
    play(page)
    held: list[Route] = []
    page.route("**/board?*", lambda route: route.continue_() if held else held.append(route))
    press(page, "S3")
    page.locator("#sheet g[data-kind=wire][data-id=C4][role=button]").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Area, mm²")).to_be_visible()
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch")
    with page.expect_response("**/board?*"):
        held[0].continue_()
    page.wait_for_timeout(200)
    expect(page.get_by_label("Area, mm²")).to_be_visible()


@pytest.mark.parametrize("light", ["light", "dark"])
def test_on_a_phone_by_finger(browser, served: str, light):
    context = browser.new_context(base_url=served, viewport=PHONE, has_touch=True, color_scheme=light)
    page = context.new_page()
    play(page)
    page.locator(".knobs").evaluate("(knobs) => { knobs.scrollLeft = 400; }")
    knob(page, "S3").tap()
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch")
    smallest = page.locator("#play button").evaluate_all(
        "(all) => Math.min(...all.map((b) => b.offsetHeight))"
    )
    assert smallest >= 44
    picture(page, f"phone-{light}")
    context.close()


def test_a_finger_on_a_contact_in_the_drawing_moves_it(browser, served: str):
    """It may miss the middle of the sign by a little."""
    context = browser.new_context(base_url=served, viewport={"width": 1100, "height": 800}, has_touch=True)
    page = context.new_page()
    play(page)
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch_on")
    box = sign(page, "S3").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2 + 12, box["y"] + box["height"] / 2)
    expect(sign(page, "S3")).to_have_attribute("data-sign", "switch")
    context.close()
