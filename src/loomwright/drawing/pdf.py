"""Sheets as one PDF, through Typst: vectors, real text, faces inside, the same bytes every time.

PDF/A-2a and PDF/UA-1 are asked of Typst, which refuses to write what breaks them; whether a file meets
them in full is for a checker to say. A letter that the faces lack shows as □.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib.resources import as_file, files
from typing import Any

from loomwright.drawing.lettering import clean, with_held_letters
from loomwright.drawing.scene import Drawn, Sheet, Symbol, Text
from loomwright.drawing.svg import to_svg

#: The moment that every PDF claims to be made, so that the same sheets give the same bytes.
MADE_AT = 1_700_000_000

_TEMPLATE = """\
#let sheets = json("sheets.json")
#set document(title: sheets.at(0).title, date: auto)
#set text(lang: "en", font: "Loomwright Sans")
#set page(margin: 0mm)
#show heading: it => place(hide(it.body))
#for (number, sheet) in sheets.enumerate() {
  page(width: sheet.width * 1mm, height: sheet.height * 1mm)[
    = #sheet.title
    #image("sheet-" + str(number) + ".svg", width: 100%, alt: sheet.alt)
  ]
}
"""


def to_pdf(sheets: Sequence[Sheet]) -> bytes:
    """Return sheets as the pages of one PDF.

    Parameters
    ----------
    sheets : Sequence[Sheet]
        In the order of the pages; the first one's title names the document.

    Returns
    -------
    bytes
        The PDF, by day colours.

    Raises
    ------
    ValueError
        No sheet is given.
    """
    if not sheets:
        raise ValueError("a PDF needs one sheet or more")
    pages = [_page(sheet) for sheet in sheets]
    return compiled(
        {
            "main.typ": _TEMPLATE.encode(),
            "sheets.json": json.dumps(pages).encode(),
            **{f"sheet-{n}.svg": sheet_svg(sheet) for n, sheet in enumerate(sheets)},
        }
    )


def compiled(documents: Mapping[str, bytes]) -> bytes:
    """Return the PDF that Typst makes of "main.typ" and what lies beside it, with our own faces only.

    Parameters
    ----------
    documents : Mapping[str, bytes]
        Name -> content; text of a user belongs into a JSON document, never into Typst source.

    Returns
    -------
    bytes
        PDF/A-2a and PDF/UA-1 as far as Typst sees to it.
    """
    import typst  # takes a tenth of a second, which only a PDF should cost

    held: Any = dict(documents)  # the stubs know no documents in memory
    with as_file(files("loomwright.drawing").joinpath("fonts")) as fonts:
        made: bytes = typst.compile(
            held,
            font_paths=[fonts],
            ignore_system_fonts=True,
            pdf_standards=["a-2a", "ua-1"],
            timestamp=MADE_AT,
        )
    return made


def sheet_svg(sheet: Sheet) -> bytes:
    """Return a sheet as the picture that a PDF takes in: no faces inside, □ for letters that they lack."""
    return to_svg(_with_held(sheet), inline_fonts=False)


def sheet_alt(sheet: Sheet) -> str:
    """Return what a reader who can't see the sheet is told of it."""
    title, description = clean(sheet.title) or "Drawing", clean(sheet.description)
    return f"{title}. {description}" if description else title


def _page(sheet: Sheet) -> dict[str, object]:
    title = clean(sheet.title) or "Drawing"
    return {"title": title, "alt": sheet_alt(sheet), "width": sheet.width, "height": sheet.height}


def _with_held(sheet: Sheet) -> Sheet:
    """Return the sheet with □ for every letter that the faces lack."""
    return replace(sheet, items=tuple(_held(item) for item in sheet.items))


def _held(item: Drawn) -> Drawn:
    if isinstance(item, Text):
        return replace(item, text=with_held_letters(item.text, item.weight, item.mono))
    if isinstance(item, Symbol) and item.values:
        weights = {slot.name: slot.weight for slot in item.sign.slots}
        held = ((name, with_held_letters(text, weights.get(name, 400))) for name, text in item.values)
        return replace(item, values=tuple(held))
    return item
