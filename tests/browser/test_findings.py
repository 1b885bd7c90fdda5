"""Findings as a builder works through them: grouped, accepted, taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from loomwright.web.examples import example_text
from loomwright.web.work import Table, Work, copy_of


@pytest.fixture
def table() -> Table:
    return copy_of(example_text("saltpan"), "saltpan.yaml")


def opened(page: Page, address: str) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto(address)
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list")""")


def test_findings_by_place_and_the_choice_is_kept(page: Page):
    opened(page, "/?sheet=list")
    heads = page.locator("#ledge .group h2")
    expect(heads.first).to_contain_text("4 faults")
    page.locator("#ledge").get_by_role("button", name="By place", exact=True).click()
    expect(heads.first).to_contain_text("locker_top")
    expect(page.locator("#sheet .heading").first).to_have_text("locker_top: 5 findings")
    expect(page.locator("#ledge [data-by]")).to_be_focused()
    page.reload()
    expect(heads.first).to_contain_text("locker_top")
    page.locator("#sheet").get_by_role("button", name="By severity", exact=True).click()
    expect(heads.first).to_contain_text("4 faults")
    expect(page.locator("#by-list")).to_be_focused()


def test_a_watch_is_accepted_by_keys_and_taken_back(page: Page, work: Work):
    opened(page, "/?sheet=wiring-1&kind=finding&id=7")
    before = work.now().text
    slip = page.locator("#slip")
    slip.get_by_text("Accept this watch ...").press("Enter")
    slip.get_by_label("Accepted by, initials").fill("AB")
    slip.get_by_role("button", name="Accept it").press("Enter")
    reason = slip.get_by_label("Why it may stay as it is")
    expect(reason).to_be_focused()
    expect(reason).to_have_attribute("aria-invalid", "true")
    expect(slip).to_contain_text("Write why this may stay as it is.")

    reason.fill("the seat's own bolt is meant")
    reason.press("Enter")
    expect(slip).to_contain_text("The seat's own bolt is meant.")
    expect(page.locator("#ledge .finding[data-id='7']")).to_contain_text("Accepted by AB")
    expect(page.locator("#said")).to_contain_text("Accepted")
    expect(slip.locator("h1")).to_be_focused()

    slip.get_by_role("button", name="Take back").press("Enter")
    expect(slip.get_by_text("Accept this watch ...")).to_be_visible()
    assert "accepted" not in work.now().text
    page.keyboard.press("Control+z")
    expect(page.locator("#ledge .finding[data-id='7']")).to_contain_text("Accepted by AB")
    page.keyboard.press("Control+z")
    expect(page.locator("#ledge .finding[data-id='7']")).not_to_contain_text("Accepted by AB")
    assert work.now().text == before


def test_a_fault_is_not_offered_to_be_accepted(page: Page):
    opened(page, "/?sheet=wiring-1&kind=finding&id=4")
    expect(page.locator("#slip .about")).not_to_have_count(0)
    expect(page.locator("#slip .accept")).to_have_count(0)
