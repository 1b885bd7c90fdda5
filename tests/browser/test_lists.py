"""Fields that take several, the folder of a save, and the sheets that must fit: as a user meets them."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from loomwright.plan.read import read_plan
from loomwright.web.work import Work


def ways(work: Work) -> list[str]:
    return list(read_plan(work.now().text).wiring["C4"].via or ())


def open_wire(page: Page) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto("/?sheet=wiring-3&kind=wire&id=C4")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)


def test_a_list_is_taken_out_of_moved_and_added_to_by_keys(page: Page, work: Work):
    open_wire(page)
    before = ways(work)
    assert len(before) == 2
    rows = page.locator("[data-items-of=f-via] li")
    expect(rows).to_have_count(2)

    page.get_by_role("button", name=f"{before[1]}: one earlier").press("Enter")
    expect(rows.first).to_contain_text(before[1])
    expect(page.locator("#f-via")).to_have_value(f"[{before[1]}, {before[0]}]")
    expect(page.get_by_role("button", name="Undo")).not_to_have_attribute("aria-disabled", "true")
    assert ways(work) == before[::-1]

    page.get_by_role("button", name=f"Take {before[1]} out").press("Enter")
    expect(rows).to_have_count(1)
    expect(page.get_by_role("button", name=f"Take {before[0]} out")).to_be_focused()
    page.wait_for_function(
        "() => document.querySelector('#f-via').dataset.was === document.querySelector('#f-via').value"
    )
    page.get_by_role("button", name=f"Take {before[0]} out").press("Enter")
    expect(rows).to_have_count(0)
    expect(page.locator("#f-via")).to_be_focused()
    page.get_by_label("One more: Lies in", exact=True).select_option("left_sill")
    expect(rows).to_have_count(1)
    expect(page.locator("#f-via")).to_have_value("left_sill")
    page.keyboard.press("Escape")
    expect(page.locator("#slip")).to_be_hidden()
    assert ways(work) == ["left_sill"]


def test_a_list_in_the_form_of_something_new(page: Page, work: Work):
    page.goto("/?kind=add&id=path")
    expect(page.locator("#slip h1")).to_have_text("New: path for cables")
    expect(page.locator("#tabs [aria-current]")).to_be_visible()
    more = page.get_by_label("One more: Runs past")
    for place in ("kitchen", "tank", "dash"):
        more.select_option(place)
    page.get_by_role("button", name="dash: one earlier").click()
    page.get_by_role("button", name="Take kitchen out").click()
    page.get_by_label("Short name").fill("behind")
    page.get_by_role("button", name="Add it").click()
    expect(page.locator("#slip h1")).to_contain_text("behind")
    assert [str(stop) for stop in read_plan(work.now().text).paths["behind"].along or ()] == ["dash", "tank"]


def test_change_it_goes_to_the_form(page: Page):
    open_wire(page)
    page.get_by_role("button", name="Change it").press("Enter")
    expect(page.locator("#f-area")).to_be_in_viewport()
    assert page.evaluate("document.activeElement.closest('#change') !== null")


def test_the_name_of_the_van_leads_to_everything_in_the_plan(page: Page):
    open_wire(page)
    page.locator("#block").get_by_role("button", name="Alderford").click()
    expect(page.locator("#slip h1")).to_have_text("The van itself")
    page.locator("#slip summary", has_text="Seasons of use").press("Enter")
    page.locator("#slip").get_by_role("button", name="summer", exact=True).click()
    expect(page.locator("#slip h1")).to_have_text("summer")


def test_another_folder_is_typed_when_a_plan_is_saved(page: Page, home: Path):
    open_wire(page)
    page.keyboard.press("Control+s")
    page.get_by_label("Name", exact=True).fill("ours")
    folder = page.get_by_label("Folder")
    folder.fill(str(home / "no" / "such"))
    folder.press("Enter")
    expect(page.locator("dialog .refused")).to_contain_text("There is no folder")
    expect(page.get_by_label("Name", exact=True)).to_have_value("ours")
    folder.fill("workshop")
    expect(page.locator("#save-place")).to_contain_text("workshop/ours.yaml")
    folder.press("Enter")
    expect(page.locator("#said")).to_contain_text(str(home / "workshop" / "ours.yaml"))
    assert (home / "workshop" / "ours.yaml").exists()
    page.goto("/start")
    expect(page.locator(".card.on")).to_contain_text("workshop/ours.yaml")


@pytest.mark.parametrize("light", ["light", "dark"])
def test_the_start_sheet_does_not_scroll_on_a_usual_screen(browser: Browser, served: str, light):
    page = browser.new_page(base_url=served, viewport={"width": 1440, "height": 900}, color_scheme=light)
    page.goto("/start")
    assert page.evaluate("document.documentElement.scrollHeight") == 900
    page.close()


def test_a_slip_is_as_wide_as_a_phone(browser: Browser, served: str):
    page = browser.new_page(base_url=served, viewport={"width": 390, "height": 844})
    page.goto("/?kind=entry&id=header")
    box = page.locator("#slip").bounding_box()
    assert box is not None
    assert (box["x"], box["width"]) == (0, 390)
    page.close()


def test_the_drawing_follows_what_is_added(page: Page):
    page.goto("/?sheet=wiring-1&kind=add&id=part.usb")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    page.get_by_label("Short name").fill("phone")
    page.get_by_label("Feed it from").select_option("U1")
    page.get_by_role("button", name="Add it").click()
    expect(page.locator("#slip h1")).to_contain_text("phone")
    expect(page.locator("#sheet g[data-kind=part][data-id=phone]").first).to_be_in_viewport()
    expect(page.locator("#said")).to_contain_text("phone is in the plan now")


def test_a_wire_is_found_by_colour_size_and_place(page: Page):
    open_wire(page)
    page.locator("#find-what").fill("violet 1,5 roof")
    expect(page.locator("#found button")).to_have_count(1)
    expect(page.locator("#found button").first).to_have_text(
        "C7, violet 1.5 mm², U1.way_7 > fan; rear left, middle rear roof (wire)"
    )
