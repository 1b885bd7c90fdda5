"""One hand on mouse and keyboard: does what a user does, and counts it."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect


class Hand:
    """Counts clicks and keys. A choice from a list is two clicks: open it, take the line."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.clicks = 0
        self.keys = 0

    def click(self, button: Locator) -> None:
        """Click a button or link."""
        button.click()
        self.clicks += 1

    def choose(self, label: str, value: str, within: Locator | Page | None = None) -> None:
        """Take a value from a list; nothing is done where it stands there already."""
        field = (within or self.page).get_by_label(label, exact=True)
        if field.input_value() != value:
            field.select_option(value)
            self.clicks += 2

    def write(self, label: str, text: str, within: Locator | Page | None = None) -> None:
        """Click into a field and type."""
        (within or self.page).get_by_label(label, exact=True).fill(text)
        self.clicks += 1
        self.keys += len(text)

    def press(self, key: str) -> None:
        """Press one key outside fields."""
        self.page.keyboard.press(key)
        self.keys += 1

    def add(self, words: str) -> Locator:
        """Open the form of a new part from the shelf; return its slip."""
        self.click(self.page.locator("#find").get_by_role("button", name="Add", exact=True))
        slip = self.page.locator("#slip")
        expect(slip.locator("h1")).to_have_text("Add to the van")
        self.click(slip.get_by_role("button", name=words, exact=True))
        expect(slip.locator("h1")).to_have_text(f"New: {words}")
        return slip

    def done(self, slip: Locator) -> str:
        """Send the form of a new part; return the id that the part got."""
        title = slip.locator("h1").inner_text()
        self.click(slip.get_by_role("button", name="Add it"))
        expect(slip.locator("h1")).not_to_have_text(title)
        return slip.locator("h1").inner_text().strip()
