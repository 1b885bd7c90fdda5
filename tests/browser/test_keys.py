"""The keyboard alone does everything, and is never lost on the way."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

#: The keyboard is on something, and that is outlined, or is the heading of what has just been opened.
SEEN = """() => {
    const on = document.activeElement;
    return on && on !== document.body
        && (on.matches("h1, #sheet") || getComputedStyle(on).outlineStyle === "solid");
}"""


class Keyboard:
    """Hands on the keys: after each act the keyboard must be on something, and that must show."""

    def __init__(self, page: Page) -> None:
        self.page = page

    @property
    def on(self) -> Locator:
        return self.page.locator(":focus")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
        self.check()

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.check()

    def check(self) -> None:
        self.page.wait_for_function(SEEN, timeout=5000)

    def tab_to(self, wanted: Locator, most: int = 100) -> None:
        for _ in range(most):
            if wanted.evaluate("element => element === document.activeElement"):
                return self.check()
            self.page.keyboard.press("Tab")
        pytest.fail(f"{wanted} is not reached by {most} times Tab")

    def find(self, what: str) -> None:
        self.press("/")
        self.type(what)
        self.press("Enter")
        expect(self.page.locator("#slip h1")).to_be_focused()


@pytest.fixture
def keyboard(page: Page) -> Keyboard:
    page.goto("/?sheet=wiring-1")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Wiring 1")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)
    return Keyboard(page)


def kind_and_id(keyboard: Keyboard) -> tuple[str, str]:
    thing = keyboard.on
    return str(thing.get_attribute("data-kind")), str(thing.get_attribute("data-id"))


def findings_of_pump(page: Page) -> Locator:
    return page.locator("#ledge .finding").filter(has_text="pump loses")


def test_find_change_undo_and_save(page: Page, keyboard: Keyboard, home):
    keyboard.find("C4")
    expect(page.locator("#slip h1")).to_contain_text("C4")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Wiring 3")

    keyboard.tab_to(page.locator("#f-area"))
    keyboard.press("Control+a")
    keyboard.type("2.5")
    expect(findings_of_pump(page)).to_have_count(0)
    keyboard.check()
    keyboard.press("Escape")
    expect(page.locator("#slip")).to_be_hidden()
    assert kind_and_id(keyboard) == ("wire", "C4")

    keyboard.press("Control+z")
    expect(findings_of_pump(page)).to_have_count(1)
    keyboard.check()
    keyboard.press("Control+Shift+z")
    expect(findings_of_pump(page)).to_have_count(0)
    keyboard.press("Control+s")
    expect(page.locator("#save-name")).to_be_focused()
    keyboard.type("with keys")
    keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Saved")
    keyboard.check()
    assert "area: 2.5" in (home / "vans" / "with keys.yaml").read_text()


def test_undo_and_redo_by_their_buttons(page: Page, keyboard: Keyboard):
    keyboard.find("C4")
    keyboard.tab_to(page.locator("#f-area"))
    keyboard.press("Control+a")
    keyboard.type("2.5")
    expect(findings_of_pump(page)).to_have_count(0)
    keyboard.press("Escape")
    undo = page.get_by_role("button", name="Undo")
    keyboard.tab_to(undo)
    keyboard.press("Enter")
    expect(undo).to_have_attribute("aria-disabled", "true")
    expect(undo).to_be_focused()


def test_findings_by_tab_and_back_to_where_one_came_from(page: Page, keyboard: Keyboard):
    finding = findings_of_pump(page)
    keyboard.tab_to(finding)
    keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_be_focused()
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Wiring 3")
    keyboard.press("Escape")
    expect(page.locator("#slip")).to_be_hidden()
    expect(findings_of_pump(page)).to_be_focused()


def test_drawer_and_dialogs_give_the_keyboard_back(page: Page, keyboard: Keyboard):
    keyboard.find("C4")
    keyboard.press("Escape")
    wire = page.locator("#sheet g[data-id=C4][tabindex='0']")
    expect(wire).to_be_focused()
    keyboard.press("t")
    expect(page.locator("#drawer textarea")).to_be_focused()
    keyboard.press("Escape")
    expect(page.locator("#drawer")).to_be_hidden()
    expect(wire).to_be_focused()
    keyboard.press("?")
    expect(page.locator("dialog#keys")).to_be_visible()
    keyboard.press("Escape")
    expect(wire).to_be_focused()


def test_arrows_go_along_a_wire_from_part_to_part(page: Page, keyboard: Keyboard):
    keyboard.find("C4")
    keyboard.press("Escape")
    expect(page.locator("#sheet g[data-id=C4][tabindex='0']")).to_be_focused()
    way = []
    for _ in range(8):
        keyboard.press("ArrowDown")
        way.append(kind_and_id(keyboard))
        if way[-1] == ("stud", "E3"):
            break
    wires_and_parts = [thing for thing in way if thing[0] != "terminal"]
    assert wires_and_parts[:2] == [("part", "pump"), ("wire", "C4.return")]
    assert way[-1] == ("stud", "E3")

    page.keyboard.press("ArrowRight")
    assert kind_and_id(keyboard) != ("stud", "E3")
    expect(page.locator("#sheet g[tabindex='0']")).to_have_count(1)


def test_add_a_part_and_connect_it(page: Page, keyboard: Keyboard, work):
    keyboard.press("a")
    expect(page.locator("#slip h1")).to_be_focused()
    keyboard.tab_to(page.get_by_role("button", name="LED strip"))
    keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_contain_text("New: LED strip")
    expect(page.locator("#slip h1")).to_be_focused()
    keyboard.tab_to(page.locator("#f-running"))
    keyboard.type("1 A")
    keyboard.tab_to(page.get_by_label("Feed it from"))
    keyboard.type("not yet")
    keyboard.tab_to(page.get_by_label("Short name"))
    keyboard.type("awning_strip")
    keyboard.tab_to(page.get_by_role("button", name="Add it"))
    keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_contain_text("awning_strip")
    keyboard.check()
    assert "awning_strip" in work.now().reading.plan.parts

    keyboard.press("c")
    expect(page.locator("#sheet")).to_have_class(re.compile("picking"))
    keyboard.check()
    keyboard.press("Escape")
    expect(page.locator("#sheet")).not_to_have_class(re.compile("picking"))
    assert all("awning_strip" not in wire.to for wire in work.now().reading.checked.assessment.wires.values())

    keyboard.press("c")
    keyboard.press("/")
    keyboard.type("FC1")
    keyboard.press("Enter")
    expect(page.locator("#sheet g[data-kind=part][data-id=FC1]:focus")).to_have_count(1)
    keyboard.press("Enter")
    expect(page.locator("#slip h1")).to_be_focused()
    ends = [(wire.from_, wire.to) for wire in work.now().reading.checked.assessment.wires.values()]
    assert any("awning_strip" in end for pair in ends for end in pair)


def test_page_keys_go_through_everything(page: Page, keyboard: Keyboard):
    things = page.locator("#sheet g[role=button]")
    assert things.count() > 20
    page.locator("#sheet g[tabindex='0']").focus()
    seen = {kind_and_id(keyboard)}
    for _ in range(things.count()):
        page.keyboard.press("PageDown")
        seen.add(kind_and_id(keyboard))
    assert len(seen) == things.count()


def test_sheets_and_size_by_single_keys(page: Page, keyboard: Keyboard):
    keyboard.find("C4")
    keyboard.press("Escape")
    svg = page.locator("#sheet > svg")
    page.wait_for_timeout(250)  # the paper has just become wider
    whole = svg.get_attribute("viewBox")
    keyboard.press("+")
    assert svg.get_attribute("viewBox") != whole
    keyboard.press("0")
    expect(svg).to_have_attribute("viewBox", str(whole))
    keyboard.press("1")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("System")
    keyboard.check()
    keyboard.press("3")
    expect(page.locator("#tabs [aria-current]")).to_contain_text("Van")
    keyboard.press("4")
    expect(page.locator("#tabs [aria-current]")).to_have_text("Loom 1")
    keyboard.check()
    keyboard.press("4")
    expect(page.locator("#tabs [aria-current]")).to_have_text("Loom 2")
    words = "tabs => tabs.map((tab) => tab.innerText.match(/[A-Za-z]+/)[0])"
    names = page.locator("#tabs .tab").evaluate_all(words)
    assert names == [
        "Start",
        "System",
        "Wiring",
        "Van",
        "Loom",
        "Modes",
        "Faults",
        "Energy",
        "Mains",
        "Lists",
    ]
