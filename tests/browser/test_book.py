"""The van book from the page: of what is on the board, by mouse and by keys, refused in plain words."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf
from playwright.sync_api import Page, expect


def opened(page: Page) -> None:
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto("/?sheet=system")
    expect(page.locator("#sheet svg")).to_be_visible()


def words(path: Path) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages)


def test_the_book_is_printed_of_what_is_typed_and_not_saved(page: Page):
    opened(page)
    page.get_by_role("button", name="Text of the plan").click()
    text = page.get_by_role("textbox", name="Text of the plan")
    expect(text).to_be_focused()
    text.fill("loomwright: 1\ntitle: Alderford in blue\nregion: uk\n")  # a small one is printed fast
    button = page.get_by_role("button", name="Print the book")
    button.focus()
    with page.expect_download() as kept:
        page.keyboard.press("Enter")
    assert kept.value.suggested_filename == "alderford-book.pdf"
    assert "Alderford in blue" in words(kept.value.path())
    expect(page.locator("#said")).to_have_text("Printed: alderford-book.pdf, among your downloads.")
    expect(button).to_be_focused()
    expect(button).not_to_have_attribute("aria-disabled", "true")


def test_no_book_of_a_text_with_errors(page: Page):
    opened(page)
    page.get_by_role("button", name="Text of the plan").click()
    text = page.get_by_role("textbox", name="Text of the plan")
    expect(text).to_be_focused()
    text.fill(text.input_value() + "oops: \n")
    page.get_by_role("button", name="Print the book").click()
    expect(page.locator("#said")).to_contain_text("Mend the text of the plan first")


def test_labels_are_printed_from_the_loom_tab_and_a_wire_there_opens_its_slip(page: Page):
    with page.expect_response(lambda answer: "/board?" in answer.url):
        page.goto("/?sheet=loom-1")
    with page.expect_download() as kept:
        page.get_by_role("button", name="Print the labels").click()
    assert kept.value.suggested_filename == "alderford-labels.pdf"
    assert "100 mm on a true print" in words(kept.value.path())
    page.locator('#sheet [data-kind="wire"][data-id="V3"]').first.click()
    expect(page.locator("#slip")).to_contain_text("V3")
