"""The van book and sheets of the plan that lies on the table, as files for the browser to keep."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from urllib.parse import quote

from loomwright.diagrams.loom import PAPERS, board_sheets, label_sheets, loom_sheets
from loomwright.diagrams.mains import mains_sheets
from loomwright.documents.book import book_pdf
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Sheet
from loomwright.errors import LoomwrightError

from .work import Moment, StaleError, UnreadableError

_log = logging.getLogger(__name__)


class UnprintedError(LoomwrightError):
    """The book could not be made: a mistake of ours."""


def book(moment: Moment, rev: int) -> bytes:
    """Return the book of what is on the board, saved or not.

    Parameters
    ----------
    moment : Moment
        What lies on the table.
    rev : int
        The revision that the page shows.

    Raises
    ------
    StaleError
        There is a newer revision than the one that the page shows.
    UnreadableError
        The text has errors at the moment: the drawing is not of what is typed.
    UnprintedError
        A plan that breaks the book; its trace is in the log.
    """
    reading = moment.reading
    came = reading.yearly.came  # whoever looked at the energy has its sheet in the book
    year = None if came is None else came.report
    return _printed(moment, rev, lambda: book_pdf(reading.checked, reading.cures.every(), year))


def sheet(moment: Moment, rev: int, name: str, paper: str = "a4") -> bytes:
    """Return the looms, the board, the labels or the mains sheets of what is on the board, as one PDF.

    Parameters
    ----------
    moment : Moment
    rev : int
    name : str
        "loom", "board", "labels" or "mains".
    paper : str
        "a4" or "a3": what a board is cut into.

    Raises
    ------
    KeyError
        There is no such sheet or paper.
    StaleError, UnreadableError, UnprintedError
        As `book` does.
    """
    drawn: Callable[[], Sequence[Sheet]] = {
        "loom": lambda: loom_sheets(moment.reading.checked),
        "board": lambda: board_sheets(moment.reading.checked, paper),
        "labels": lambda: label_sheets(moment.reading.checked),
        "mains": lambda: mains_sheets(moment.reading.checked),
    }[name]
    if paper not in PAPERS:
        raise KeyError(paper)
    return _printed(moment, rev, lambda: to_pdf(drawn()))


def _printed(moment: Moment, rev: int, made: Callable[[], bytes]) -> bytes:
    if rev != moment.rev:
        raise StaleError("The plan has been changed in another window meanwhile. Look, then print again.")
    if moment.problems:
        raise UnreadableError("Mend the text of the plan first: it has errors, and a print needs all of it.")
    try:
        return made()
    except Exception as broken:
        _log.exception("%s could not be printed.", moment.reading.plan.title)
        raise UnprintedError(
            "It could not be printed. That is a mistake of ours; the plan is as it was."
        ) from broken


def headers(moment: Moment, what: str = "book") -> dict[str, str]:
    """Return what names the file as the command line would: after the plan's file."""
    name = quote(f"{moment.file.rpartition('.')[0] or moment.file}-{what}.pdf")
    return {"Content-Disposition": f"attachment; filename*=UTF-8''{name}"}
