"""axe finds nothing wrong where findings stand with cures, in groups, and where a watch is accepted."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from loomwright.web.examples import example_text
from loomwright.web.work import Table, copy_of
from tests.browser.test_axe import BESIDE_DRAWING, DESKTOP, PHONE, SEEN_TO


@pytest.fixture
def table() -> Table:
    return copy_of(example_text("saltpan"), "saltpan.yaml")


def opened(page: Page, address: str) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto(address)
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list")""")
    expect(page.locator("#tabs [aria-current]")).to_be_visible()


def cure(page: Page) -> None:
    opened(page, "/?sheet=wiring-1&kind=wire&id=W4")
    expect(page.locator("#slip [data-cure-of]").first).to_contain_text("Re-checked.")
    expect(page.locator("#flips h2")).to_be_visible()


def form(page: Page) -> None:
    opened(page, "/?sheet=wiring-1")
    page.locator("#ledge .finding").filter(has_text="W6.return").click()
    expect(page.locator("#slip [data-cure-of]").first).to_contain_text("Re-checked.")
    page.get_by_text("Accept this watch ...").click()
    page.get_by_role("button", name="Accept it").click()
    expect(page.get_by_label("Why it may stay as it is")).to_have_attribute("aria-invalid", "true")


def accepted(page: Page) -> None:
    page.get_by_label("Why it may stay as it is").fill("the seat's own bolt")
    page.get_by_label("Accepted by, initials").fill("AB")
    page.get_by_role("button", name="Accept it").click()
    expect(page.locator("#slip .accepted")).to_contain_text("The seat's own bolt.")


def by_place(page: Page) -> None:
    opened(page, "/?sheet=list")
    page.locator("#by-list").click()
    expect(page.locator("#sheet .heading").first).to_contain_text("finding")
    expect(page.locator("#sheet [data-cure-of]").first).to_contain_text("Re-checked.")


STATES: dict[str, Callable[[Page], None]] = {
    "cure": cure,
    "form": form,
    "accepted": accepted,
    "by place": by_place,
}


@pytest.mark.parametrize(
    ("size", "light"),
    [
        pytest.param(DESKTOP, "light", id="desktop, light"),
        pytest.param(PHONE, "dark", id="phone, dark"),
    ],
)
def test_axe_finds_nothing(browser: Browser, served: str, size, light):
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
    found = {}
    for name, enter in STATES.items():
        enter(page)
        told = Axe().run(page, context=BESIDE_DRAWING).response
        for one in (*told["violations"], *(one for one in told["incomplete"] if one["id"] not in SEEN_TO)):
            found[name, one["id"]] = [node["html"][:200] for node in one["nodes"]]
    context.close()
    assert found == {}
