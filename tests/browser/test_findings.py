"""Findings as a builder works through them: grouped, accepted, taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from loomwright.web.examples import example_text
from loomwright.web.grouping import grouped
from loomwright.web.work import Table, Work, copy_of


@pytest.fixture
def table() -> Table:
    return copy_of(example_text("saltpan"), "saltpan.yaml")


def number(work: Work, rule: str, where: str) -> int:
    """Return the number of a finding."""
    found = [(one.rule, one.where) for one in work.now().reading.checked.findings]
    return found.index((rule, where)) + 1


def opened(page: Page, address: str) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto(address)
    page.wait_for_function("""() => document.querySelector("#sheet g[tabindex='0'], #sheet .list")""")


def test_findings_by_place_and_the_choice_is_kept(page: Page, work: Work):
    opened(page, "/?sheet=list")
    by_severity, by_place = (
        grouped(work.now().reading.checked.findings, by)[0] for by in ("severity", "place")
    )
    heads = page.locator("#ledge .group h2")
    expect(heads.first).to_contain_text(by_severity.name)
    page.locator("#ledge").get_by_role("button", name="By place", exact=True).click()
    expect(heads.first).to_contain_text(by_place.name)
    expect(page.locator("#sheet .heading").first).to_have_text(f"{by_place.name}: {by_place.words}")
    expect(page.locator("#ledge [data-by]")).to_be_focused()
    page.reload()
    expect(heads.first).to_contain_text(by_place.name)
    page.locator("#sheet").get_by_role("button", name="By severity", exact=True).click()
    expect(heads.first).to_contain_text(by_severity.name)
    expect(page.locator("#by-list")).to_be_focused()


def test_a_watch_is_accepted_by_keys_and_taken_back(page: Page, work: Work):
    watch = number(work, "stud_not_named", "W6.return")
    opened(page, f"/?sheet=wiring-1&kind=finding&id={watch}")
    at_ledge = page.locator(f"#ledge .finding[data-id='{watch}']")
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
    expect(at_ledge).to_contain_text("Accepted by AB")
    expect(page.locator("#said")).to_contain_text("Accepted")
    expect(slip.locator("h1")).to_be_focused()

    slip.get_by_role("button", name="Take back").press("Enter")
    expect(slip.get_by_text("Accept this watch ...")).to_be_visible()
    assert "accepted" not in work.now().text
    page.keyboard.press("Control+z")
    expect(at_ledge).to_contain_text("Accepted by AB")
    page.keyboard.press("Control+z")
    expect(at_ledge).not_to_contain_text("Accepted by AB")
    assert work.now().text == before


def test_a_fault_is_not_offered_to_be_accepted(page: Page, work: Work):
    fault = number(work, "wrong_voltage_class", "W9")
    opened(page, f"/?sheet=wiring-1&kind=finding&id={fault}")
    expect(page.locator("#slip .about")).not_to_have_count(0)
    expect(page.locator("#slip .accept")).to_have_count(0)
