"""PDF: pages of the right size, text that is text, tags and faces inside, the same bytes again."""

from io import BytesIO

import pymupdf
import pypdf
import pytest

from loomwright.drawing.lettering import REPLACEMENT
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Sheet, Text, texts_of


@pytest.fixture(scope="module")
def written(framed_sheet, small_scene, all_signs):
    return to_pdf([framed_sheet, small_scene, all_signs])


def test_one_page_per_sheet_in_true_size(written, framed_sheet, small_scene):
    pages = pypdf.PdfReader(BytesIO(written)).pages
    assert len(pages) == 3
    for page, sheet in zip(pages, (framed_sheet, small_scene), strict=False):
        size_mm = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert size_mm == pytest.approx([sheet.width, sheet.height], abs=0.01)


def test_text_stays_text(written, framed_sheet):
    with pymupdf.open(stream=written) as document:
        words = document[0].get_text().split()
    for item in framed_sheet.items:
        for text in texts_of(item):
            assert set(text.text.split()) <= set(words), text.text


def test_it_is_tagged_and_names_itself(written):
    """What PDF/UA-1 (ISO 14289-1) asks of the document as a whole; Typst refuses to write what breaks it."""
    reader = pypdf.PdfReader(BytesIO(written))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/StructTreeRoot"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == "Wiring diagram"
    assert [entry["/Title"] for entry in reader.outline] == ["Wiring diagram", "Sample", "Signs"]
    claims = root["/Metadata"].get_object().get_data()
    assert b"<pdfaid:part>2" in claims
    assert b"<pdfaid:conformance>A" in claims
    assert b"<pdfuaid:part>1" in claims


def test_sheets_are_vectors_in_our_faces(written):
    reader = pypdf.PdfReader(BytesIO(written))
    assert all(not page.images for page in reader.pages)
    with pymupdf.open(stream=written) as document:
        faces = {font[3].partition("+")[2] for page in document for font in page.get_fonts()}
    assert faces == {
        "LoomwrightSans-Regular",
        "LoomwrightSans-Medium",
        "LoomwrightSans-SemiBold",
        "LoomwrightMono-Regular",
    }


def test_same_sheets_same_bytes(written, framed_sheet, small_scene, all_signs):
    assert to_pdf([framed_sheet, small_scene, all_signs]) == written


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("</svg> & \"x\" 'y' #let $a$", "</svg> & \"x\" 'y' #let $a$"),
        ("🚐 van", f"{REPLACEMENT} van"),
        ("\x00\ud800", REPLACEMENT * 2),
        ("Größe Łódź 100 Ω", "Größe Łódź 100 Ω"),
    ],
)
def test_hostile_text_is_text(typed, shown):
    sheet = Sheet(
        width=60,
        height=20,
        title=typed,
        description=typed,
        items=(Text((5, 10), typed), Text((5, 15), typed, mono=True)),
    )
    with pymupdf.open(stream=to_pdf([sheet])) as document:
        lines = document[0].get_text().splitlines()
    assert lines[0] == shown
    assert len(lines) == 2


def test_a_pdf_of_nothing_is_refused():
    with pytest.raises(ValueError, match="one sheet or more"):
        to_pdf([])
