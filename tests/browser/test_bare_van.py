"""A bare van is made whole by forms and pointing alone: charger, leisure battery, fuse box, six loads.

What is asked of the figures: nothing is typed that the program can work out, and `check` ends without danger,
fault or watch. Clicks and keys are counted as a user does them.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from loomwright.web.start import nothing
from loomwright.web.work import Table, Work
from tests.browser.hand import Hand

#: More is not needed for the whole van, begun on the start sheet.
MOST_CLICKS, MOST_KEYS = 60, 25
LOADS = (
    ("water pump", "kitchen", "4 A"),
    ("fridge", "kitchen", "4 A"),
    ("USB socket", "bed", "2 A"),
    ("fan", "ceiling", "2 A"),
)


@pytest.fixture
def table() -> Table:
    return nothing()


def begin(hand: Hand) -> None:
    """Answer the start sheet."""
    page = hand.page
    page.goto("/start")
    hand.click(page.locator("[data-questions]"))
    hand.choose("Where will it be used?", "eu")
    hand.write("How large is the vehicle's own battery?", "80")
    hand.choose("Where is the vehicle's own battery?", "engine_bay")
    hand.choose("Which sort of leisure battery?", "agm")
    hand.write("How large is the leisure battery?", "95")
    hand.choose("Where will the leisure battery be?", "seat_base")
    hand.click(page.get_by_role("button", name="Begin this van"))
    expect(page).to_have_title("* New van · Loomwright")  # told once the page is ready


def test_a_bare_van_is_made_whole_with_few_clicks(page: Page, work: Work):
    hand = Hand(page)
    begin(hand)

    slip = hand.add("battery-to-battery charger")
    hand.write("Current, A (needed)", "30")
    hand.done(slip)

    slip = hand.add("fuse box")
    hand.choose("Place", "kitchen")
    hand.done(slip)
    hand.click(slip.locator(".next button[data-change]"))

    slip = hand.add("lamp")
    hand.choose("Place", "ceiling")
    hand.write("Runs at", "10 W")
    hand.done(slip)
    hand.click(slip.get_by_role("button", name="Duplicate with its circuit"))
    for words, place, running in LOADS:
        slip = hand.add(words)
        hand.choose("Place", place)
        hand.write("Runs at", running)
        hand.choose("Through", "+switch")
        hand.done(slip)

    findings = work.now().reading.checked.findings
    assert [finding for finding in findings if finding.severity != "note"] == []
    assert hand.clicks <= MOST_CLICKS
    assert hand.keys <= MOST_KEYS
