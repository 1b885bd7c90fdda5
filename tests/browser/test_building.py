"""Pointing with mouse, finger and keys; a unit by form; deleting and undoing; what is refused."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Route, expect
from pytest_playwright.pytest_playwright import CreateContextCallback

from loomwright.plan.read import read_plan
from loomwright.web.work import Table, Work, copy_of

PLAN = """loomwright: 1
title: First van
region: eu
places: {seat_base: [-0.40, -0.45, 0.12], ceiling: [1.20, -0.30, 1.85]}
studs: {E1: {place: seat_base}}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 95 Ah}
  P1: {kind: fuse_box, place: seat_base, ways: 4}
  S1: {kind: switch, place: ceiling}
  lamp: {kind: lamp, place: ceiling, running: 3 W}
  fan: {kind: fan, place: ceiling, running: 1 A}
wiring:
  earth: {from: leisure.minus, to: E1}
  main: {from: leisure.plus, to: P1, fuse: auto}
"""


@pytest.fixture
def table() -> Table:
    return copy_of(PLAN, "first.yaml")


def thing(page: Page, kind: str, id: str) -> Locator:
    """Return the first of what is drawn of a thing."""
    return page.locator(f"#sheet g[data-kind={kind}][data-id='{id}']").first


def middle(page: Page, kind: str, id: str) -> tuple[float, float]:
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)  # the first answer is there
    box = thing(page, kind, id).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def point_from(page: Page, kind: str, id: str) -> None:
    """Open the slip of a thing and begin to point."""
    page.goto(f"/?sheet=wiring-1&kind={kind}&id={id}")
    page.locator("#slip").get_by_role("button", name="Point at the other end").click()
    expect(page.locator("#said")).to_contain_text("point at the other end")


def test_a_way_is_joined_to_a_lamp_through_a_switch_with_the_mouse(page: Page, work: Work):
    point_from(page, "terminal", "P1.3")
    page.mouse.click(*middle(page, "part", "S1"))
    expect(page.locator("#said")).to_contain_text("From P1.3 through S1")
    page.mouse.click(*middle(page, "part", "lamp"))
    expect(page.locator("#slip h1")).to_contain_text("W1")
    run = work.now().reading.plan.wiring["W1"]
    assert (str(run.from_), [one.part for one in run.through], str(run.to[0])) == ("P1.3", ["S1"], "lamp")
    assert run.return_ is not None
    assert str(run.return_.to) == "E1"


def test_what_can_not_be_joined_is_told_and_escape_leaves(page: Page, work: Work):
    point_from(page, "part", "P1")
    page.mouse.click(*middle(page, "stud", "E1"))
    expect(page.locator("#said")).to_contain_text("short circuit")
    expect(page.locator("#said")).to_contain_text("From P1: point at the other end")
    page.mouse.click(*middle(page, "part", "fan"))
    expect(page.locator("#slip h1")).to_contain_text("W1")
    point_from(page, "part", "P1")
    page.keyboard.press("Escape")
    expect(page.locator("#said")).to_have_text("")
    expect(page.locator("#sheet")).not_to_have_class("picking")
    assert len(work.now().reading.plan.wiring) == 3


def test_a_terminal_that_is_drawn_can_be_pointed_at(page: Page, work: Work):
    point_from(page, "part", "fan")
    page.mouse.click(*middle(page, "terminal", "P1.1"))
    expect(page.locator("#slip h1")).to_contain_text("W1")
    point_from(page, "part", "lamp")
    page.mouse.click(*middle(page, "terminal", "P1.3"))
    expect(page.locator("#slip h1")).to_contain_text("W2")
    wiring = work.now().reading.plan.wiring
    assert [str(wiring[key].from_) for key in ("W1", "W2")] == ["P1.1", "P1.3"]


def test_keys_point_as_well(page: Page, work: Work):
    page.goto("/?sheet=wiring-1&kind=part&id=P1")
    expect(page.locator("#slip h1")).to_contain_text("P1")
    page.keyboard.press("c")
    expect(page.locator("#said")).to_contain_text("From P1")
    page.locator("#sheet g[data-kind=part][data-id=fan][tabindex]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_contain_text("W1")
    assert str(work.now().reading.plan.wiring["W1"].to[0]) == "fan"


class TestFinger:
    @pytest.fixture
    def context(self, new_context: CreateContextCallback, served: str) -> BrowserContext:
        return new_context(base_url=served, has_touch=True, viewport={"width": 1024, "height": 768})

    def test_a_finger_points(self, page: Page, work: Work):
        page.goto("/?sheet=wiring-1&kind=part&id=P1")
        page.locator("#slip").get_by_role("button", name="Point at the other end").tap()
        expect(page.locator("#said")).to_contain_text("From P1")
        page.touchscreen.tap(*middle(page, "part", "fan"))
        expect(page.locator("#slip h1")).to_contain_text("W1")
        assert str(work.now().reading.plan.wiring["W1"].to[0]) == "fan"


def test_a_part_goes_with_what_hangs_on_it_and_undo_brings_all_back(page: Page, work: Work):
    before = work.now().text
    page.goto("/?sheet=wiring-1&kind=part&id=P1")
    slip = page.locator("#slip")
    slip.get_by_role("button", name="Delete ...").click()
    expect(slip.locator("#asked")).to_contain_text("main goes too")
    slip.get_by_role("button", name="Leave it").click()
    expect(slip.locator("#asked")).to_be_empty()
    assert work.now().text == before
    slip.get_by_role("button", name="Delete ...").click()
    slip.get_by_role("button", name="Delete it").click()
    expect(slip).to_be_hidden()
    assert "P1" not in work.now().reading.plan.parts
    assert "main" not in work.now().reading.plan.wiring
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#sheet g[data-id=P1]").first).to_be_attached()
    assert work.now().text == before


def test_a_combined_unit_by_form_is_drawn_and_its_ways_are_pointed_at(page: Page, work: Work):
    page.goto("/?kind=add&id=unit")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)  # the first answer is there
    slip = page.locator("#slip")
    slip.get_by_label("Short name").fill("U1")
    for number, name in enumerate(("1", "pump", "light"), 1):
        slip.get_by_label(f"Way {number}", exact=True).fill(name)
    slip.get_by_role("button", name="One more way").click()
    slip.get_by_label("Way 5", exact=True).fill("heater")
    slip.locator("[name=way_fed_by_2]").fill("pump")
    slip.get_by_label("Relay 1", exact=True).fill("pump")
    slip.get_by_label("It switches").fill("pump")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator("h1")).to_contain_text("U1")
    plan = work.now().reading.plan
    assert {"plus", "minus", "way_1", "way_pump", "way_light", "way_heater"} <= set(plan.parts["U1"].ports)
    assert any(part.kind == "control_panel" for part in plan.parts.values())

    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    slip.get_by_role("button", name="Point at the other end").click()
    page.mouse.click(*middle(page, "terminal", "U1.way_pump"))
    expect(slip.locator("h1")).to_contain_text("W1")
    assert str(work.now().reading.plan.wiring["W1"].from_) == "U1.way_pump"


def test_what_is_refused_stays_with_its_reason_and_no_click_is_lost(page: Page, work: Work):
    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    slip = page.locator("#slip")
    slip.get_by_label("Runs at", exact=True).fill("fast")
    slip.get_by_role("button", name="Duplicate with its circuit").click()
    expect(slip.locator("h1")).to_contain_text("fan_2")
    assert "fast" not in work.now().text

    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    slip.get_by_label("Runs at", exact=True).fill("fast")
    slip.get_by_label("Name", exact=True).fill("Roof fan")
    expect(slip.locator("#f-running-help")).to_contain_text("fast")
    expect(page.locator("#block")).to_contain_text("not saved")
    slip.get_by_label("How many").fill("2")
    slip.get_by_label("How many").press("Tab")
    expect(slip.get_by_label("Runs at", exact=True)).to_have_value("fast")
    expect(slip.locator("#f-running-help")).to_contain_text("fast")
    slip.get_by_label("Runs at", exact=True).fill("1.2 A")
    slip.get_by_label("Runs at", exact=True).press("Tab")
    expect(slip.get_by_label("Runs at", exact=True)).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("#sheet")).to_contain_text("1.2 A")  # the answer is there
    assert "fan: {kind: fan, place: ceiling, running: 1.2 A, name: Roof fan, count: 2}" in work.now().text


def test_what_is_wrong_with_a_unit_is_said_where_it_stands(page: Page, work: Work):
    page.goto("/?kind=add&id=unit")
    slip = page.locator("#slip")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    slip.get_by_label("Way 1").fill("pump")
    slip.get_by_label("It switches").fill("master, pump")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.get_by_label("It switches")).to_be_focused()
    expect(slip.locator("#u-panel_outputs-help")).to_contain_text("no relay of that name")

    slip.get_by_label("Relay 1").fill("pump")
    slip.locator("[name=way_fed_by_1]").fill("pmup")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.get_by_role("alert")).to_contain_text('nothing called "pmup"')
    expect(slip.get_by_role("alert")).to_be_in_viewport()
    slip.locator("[name=way_fed_by_1]").fill("pump")
    slip.get_by_label("Charger gives, A").fill("some")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator("#u-charger_a-help")).to_contain_text('"some" is no figure')
    slip.get_by_label("Charger gives, A").fill("")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator("h1")).to_contain_text("U1")
    assert "way_pump" in read_plan(work.now().text).parts["U1"].ports

    slip.get_by_role("button", name="Feed it from leisure").click()  # of the wires that it is offered
    expect(slip.locator("h1")).to_contain_text("W1")
    run = read_plan(work.now().text).wiring["W1"]
    assert (str(run.from_), str(run.to[0])) == ("leisure.plus", "U1.plus")


@pytest.mark.parametrize("pause", [False, True])
def test_what_is_typed_before_the_first_answer_is_not_lost(page: Page, work: Work, pause: bool):
    held: list[Route] = []
    page.route("**/board?**", lambda route: held.append(route), times=1)
    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    slip = page.locator("#slip")
    slip.get_by_label("Runs at", exact=True).fill("1.2 A")
    if pause:
        page.wait_for_timeout(800)  # longer than the pause after which a field is written
    held[0].continue_()
    expect(page.locator("#sheet")).to_contain_text("1.2 A")
    expect(slip.get_by_label("Runs at", exact=True)).to_have_value("1.2 A")
    assert "fan: {kind: fan, place: ceiling, running: 1.2 A}" in work.now().text


def test_what_is_refused_before_the_first_answer_stays_as_typed(page: Page):
    held: list[Route] = []
    page.route("**/board?**", lambda route: held.append(route), times=1)
    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    slip = page.locator("#slip")
    slip.get_by_label("Runs at", exact=True).fill("fast")
    slip.get_by_label("Runs at", exact=True).press("Tab")
    held[0].continue_()
    expect(slip.locator("#f-running-help")).to_contain_text("fast")
    expect(slip.get_by_label("Runs at", exact=True)).to_have_value("fast")


def test_a_new_part_typed_before_the_first_answer_is_not_lost(page: Page):
    held: list[Route] = []
    page.route("**/board?**", lambda route: held.append(route), times=1)
    page.goto("/?kind=add&id=path")
    slip = page.locator("#slip")
    slip.get_by_label("Short name").fill("behind")
    slip.get_by_label("One more: Runs past").select_option("ceiling")
    held[0].continue_()
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)  # the first answer is there
    expect(slip.get_by_label("Short name")).to_have_value("behind")
    expect(slip.get_by_role("button", name="Take ceiling out")).to_be_visible()


def test_pointing_begun_before_the_first_answer_is_still_asked_for_after_it(page: Page):
    held: list[Route] = []
    page.route("**/board?**", lambda route: held.append(route), times=1)
    page.clock.install(time=0)
    page.clock.pause_at(1000)
    page.goto("/?sheet=wiring-1&kind=part&id=fan")
    page.locator("#slip").get_by_role("button", name="Point at the other end").click()
    expect(page.locator("#said")).to_contain_text("point at the other end")
    page.clock.run_for(400)
    expect(page.locator("#said")).to_have_text("Working ...")  # the answer takes its time
    held[0].continue_()
    expect(page.locator("#said")).to_contain_text("point at the other end")
