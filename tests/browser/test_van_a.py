"""Mossgrove built entry by entry on the page: `check` and the wire table come out as of the example."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from loomwright.plan.read import read_plan
from loomwright.plan.tree import parse, to_data
from loomwright.plan.write import value_text
from loomwright.rules.check import check_plan
from loomwright.web.entries import SINGLE, SORTS
from loomwright.web.examples import example_text
from loomwright.web.shelf import words_of
from loomwright.web.start import nothing
from loomwright.web.work import Table, Work

VAN = "mossgrove"


@pytest.fixture
def table() -> Table:
    return nothing()


@pytest.fixture
def wanted() -> dict[str, Any]:
    """The example as data; a value that is short for a field, with that field."""
    data = to_data(parse(example_text(VAN)))
    data["places"] = {
        id: {"at": place} if isinstance(place, list) else place for id, place in data["places"].items()
    }
    return data


def typed(value: Any) -> str:
    return value if isinstance(value, str) else value_text(value, in_brackets=True)


def fill(form: Locator, fields: dict[str, Any], live: bool = False) -> None:
    """Type every field of an entry into its form, opening what is folded away."""
    for fold in form.locator("details.more:not([open]) > summary").all():
        fold.click()
    for name, value in fields.items():
        control = form.locator(f"[name='{name}']")
        if isinstance(value, dict) and not live and form.locator(f"[data-pair][id$={name}]").count():
            rows(form, name, value)
        elif live:
            with form.page.expect_response("**/change/fields") as answer:
                enter(control, typed(value))
            assert answer.value.ok, answer.value.text()
        else:
            enter(control, typed(value))


def rows(form: Locator, name: str, pairs: dict[str, Any]) -> None:
    """Add a row for each entry of a field that has one row an entry."""
    for key, value in pairs.items():
        form.locator(f"[data-pair][id$={name}]").select_option(key)
        enter(form.get_by_label(key, exact=True), typed(value))


def enter(control: Locator, text: str) -> None:
    """Choose or type a value, and go on to the next field."""
    if control.evaluate("element => element.tagName") == "SELECT":
        control.select_option(value=text)
    else:
        control.fill(text)
        control.press("Tab")


class Builder:
    """Goes through the page as a user does who copies a plan from paper."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.slip = page.locator("#slip")

    def open_van(self) -> None:
        """Open the slip of the van itself."""
        self.page.locator("#find").get_by_role("button", name="Add", exact=True).click()
        self.slip.get_by_role("button", name="The van itself").click()
        expect(self.slip.locator("h1")).to_have_text("The van itself")

    def single(self, at: str, fields: dict[str, Any]) -> None:
        """Change the header, the vehicle ..."""
        self.open_van()
        self.slip.get_by_role("button", name=SINGLE[at], exact=True).click()
        expect(self.slip.locator("h1")).to_have_text(SINGLE[at])
        fill(self.slip.locator("form[data-at]").first, fields, live=True)

    def add(self, button: str, title: str, id: str, fields: dict[str, Any]) -> None:
        """Add an entry."""
        self.page.locator("#find").get_by_role("button", name="Add", exact=True).click()
        if title in {sort.one for sort in SORTS.values()} and not button.startswith(("An ", "A ")):
            self.slip.get_by_role("button", name="The van itself").click()
        self.slip.get_by_role("button", name=button, exact=True).click()
        expect(self.slip.locator("h1")).to_have_text(f"New: {title}")
        form = self.slip.locator("form")
        fill(form, {"new_id": id, **fields})
        for tick in form.locator("[name=joins]").all():
            tick.uncheck()
        if form.locator("[name=c_feed]").count():
            form.locator("[name=c_feed]").select_option("")
        form.get_by_role("button", name="Add it").click()
        expect(self.slip.locator("h1")).to_contain_text(id)

    def delete(self, id: str) -> None:
        """Take away what stands on the slip."""
        self.slip.get_by_role("button", name="Delete ...").click()
        self.slip.get_by_role("button", name="Delete it").click()
        expect(self.page.locator("#said")).to_contain_text(f"{id} is out of the plan")

    def choose(self, kind: str, id: str) -> None:
        """Open the slip of something by finding it."""
        self.page.locator("#find-what").fill(id)
        self.page.locator(f"#found button[data-kind={kind}][data-id={id}]").click()
        expect(self.slip.locator("h1")).to_contain_text(id)


def test_van_a_by_forms_alone(page: Page, work: Work, wanted: dict[str, Any]):
    page.goto("/start")
    page.locator("[data-questions]").click()
    page.get_by_label("What is the van called?").fill("Mossgrove")
    page.get_by_label("Where will it be used?").select_option("eu")
    page.get_by_role("button", name="Begin this van").click()
    expect(page).to_have_title("* Mossgrove · Loomwright")
    build = Builder(page)

    for id in ("E1", "E2"):
        build.choose("stud", id)
        build.delete(id)
    for kind, section in (("part", "parts"), ("place", "places")):
        for id in list(to_data(parse(work.now().text))[section]):
            build.choose(kind, id)
            build.delete(id)

    build.single("header", {name: wanted[name] for name in ("note", "customer", "budget")})
    for at in ("vehicle", "site", "basis"):
        build.single(at, wanted[at])
    for id, place in wanted["places"].items():
        build.add("A place", "place", id, place)
    for id, path in wanted["paths"].items():
        build.add("A path for cables", "path for cables", id, path)
    for id, stud in wanted["studs"].items():
        build.add("An earth stud", "earth stud", id, stud)
    for id, part in wanted["parts"].items():
        words = words_of(part["kind"])
        build.add(words, words, id, {name: value for name, value in part.items() if name != "kind"})
    for key, run in wanted["wiring"].items():
        build.add("A wire with everything", "wire with everything", key, run)
    for id, season in wanted["use"].items():
        build.add("+ season of use", "season of use", id, season)
    for id, promise in wanted["promises"].items():
        build.add("+ promise to the customer", "promise to the customer", id, promise)

    built, drawn = check_plan(work.now().reading.plan), check_plan(read_plan(example_text(VAN)))
    assert drawn.findings
    assert built.findings == drawn.findings
    assert built.assessment.wires == drawn.assessment.wires
