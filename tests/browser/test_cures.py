"""Cures on the page: they arrive by themselves, one press applies one, one undo takes it back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from loomwright.web.examples import example_text
from loomwright.web.work import Table, Work, copy_of


@pytest.fixture
def table() -> Table:
    return copy_of(example_text("mossgrove"), "mossgrove.yaml")


def opened(page: Page, address: str) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto(address)
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list")""")


def test_a_cure_is_applied_by_keys_and_taken_back(page: Page, work: Work):
    opened(page, "/?sheet=wiring-1&kind=wire&id=W4")
    before = work.now().text
    slip = page.locator("#slip")
    first = slip.locator("[data-cure-of='2']")
    expect(first).to_contain_text("own 2.5 mm² feed for pump from P1.4, 15 A. Re-checked.")
    expect(first).to_contain_text("Dips by 2.02 V before, 0.14 V after.")
    expect(first).to_contain_text("Cures 3 findings: 2, 3 and 7.")
    expect(slip.locator("[data-cure-of='3']")).to_have_text("Cured with 2. Loses 7.0 % before, 3.2 % after.")
    expect(page.locator("#ledge .finding[data-id='2']")).to_contain_text("Cure: own 2.5 mm² feed")

    first.get_by_role("button", name="Apply this cure").press("Enter")
    expect(page.locator("#ledge .finding")).to_have_count(9)
    expect(page.locator("#said")).to_contain_text("Undo takes it back.")
    expect(slip.locator("h1")).to_be_focused()
    assert "W4b" in work.now().reading.plan.wiring
    page.keyboard.press("Control+z")
    expect(page.locator("#ledge .finding")).to_have_count(12)
    expect(first).to_contain_text("Re-checked.")
    assert work.now().text == before


def test_cures_in_the_list_of_findings(page: Page):
    opened(page, "/?sheet=list")
    rows = page.locator("#sheet .findings [data-cure-of]")
    expect(rows.nth(1)).to_contain_text("Cures 3 findings")
    expect(rows.nth(2)).to_contain_text("Cured with 2.")
    expect(rows.nth(3)).to_contain_text("W4 in 1.5 mm² instead of 1 mm². Re-checked.")
    rows.nth(3).get_by_role("button", name="Apply this cure").click()
    expect(rows).to_have_count(7)


def test_no_key_waits_for_cures(page: Page, work: Work):
    """Typing is answered while the search is held up for good."""
    page.route("**/cures?*", lambda _: None)
    opened(page, "/?sheet=wiring-1&kind=wire&id=W4")
    expect(page.locator("#slip [data-cure-of]").first).to_have_text("A cure is looked for ...")
    page.get_by_label("Area, mm²").fill("10")
    expect(page.locator("#sheet")).to_contain_text("10")
    expect(page.locator("#ledge .finding")).not_to_have_count(12)
