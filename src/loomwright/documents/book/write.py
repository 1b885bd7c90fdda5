"""The book as one PDF: pages from data through Typst, drawings as vectors, the same bytes every time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from importlib.resources import files

from loomwright.diagrams.energy import energy_sheets
from loomwright.diagrams.fuse_label import fuse_boxes, fuse_label_sheets
from loomwright.diagrams.loom import label_sheets, loom_sheets
from loomwright.diagrams.mains import mains_sheets
from loomwright.diagrams.modes import mode_sheets
from loomwright.diagrams.system import system_sheets
from loomwright.diagrams.wiring import wiring_sheets
from loomwright.documents.cured import Told, answers_of, told
from loomwright.documents.year import YearReport
from loomwright.drawing.ink import DAY
from loomwright.drawing.pdf import compiled, sheet_svg
from loomwright.rules.check import Checked
from loomwright.sizing.cures import Answer
from loomwright.sizing.nearest import nearest

from .content import Changes, content, shown
from .found import cure_words
from .rest import without_rest

_PAGES = ("main.typ", "marks.typ", "tables.typ", "found.typ", "loose.typ", "mains.typ", "promised.typ")


def book_pdf(
    checked: Checked, answers: Mapping[int, Answer] | None = None, year: YearReport | None = None
) -> bytes:
    """Return the van book.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    answers : mapping of int to Answer, or None
        The cure of each finding, if they have been looked for already.
    year : YearReport or None
        Its years of weather, if they were run; a book runs none by itself, they take as long as the book.

    Returns
    -------
    bytes
        PDF/A-2a and PDF/UA-1 as far as Typst sees to it; the sheets are A3, all else is A4.
    """
    cures = told(answers_of(checked) if answers is None else answers)
    in_margins = _with_cures(checked, cures)
    sheets = [
        *system_sheets(in_margins),
        *wiring_sheets(in_margins),
        *loom_sheets(in_margins),
        *mode_sheets(in_margins),
        *(energy_sheets(in_margins, year.year, year.said()) if year is not None else ()),
        *mains_sheets(in_margins),
    ]
    labels = [*(fuse_label_sheets(checked) if fuse_boxes(checked.assessment) else []), *label_sheets(checked)]
    changes = Changes(cures, nearest(checked))
    sheets, rests = without_rest(sheets)
    data = content(checked, sheets, labels, changes, rests, None if year is None else year.year)
    names = [f"sheet-{n}.svg" for n in range(len(sheets))] + [f"label-{n}.svg" for n in range(len(labels))]
    pages = files("loomwright.documents.book").joinpath("pages")
    return compiled(
        {
            **{name: pages.joinpath(name).read_bytes() for name in _PAGES},
            "inks.json": json.dumps(dict(DAY)).encode(),
            "book.json": json.dumps(shown(data, names)).encode(),
            **{name: sheet_svg(sheet) for name, sheet in zip(names, [*sheets, *labels], strict=True)},
        }
    )


def _with_cures(checked: Checked, cures: Mapping[int, Told]) -> Checked:
    """Return the findings as the margins of the sheets tell them: with the cure, where there is one."""
    findings = (
        replace(finding, do=cure_words(cures[number])) if number in cures and cures[number].cure else finding
        for number, finding in enumerate(checked.findings, 1)
    )
    return replace(checked, findings=tuple(findings))
