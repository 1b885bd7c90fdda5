"""The van book of the plan that lies on the table, as a file for the browser to keep."""

from __future__ import annotations

import logging
from urllib.parse import quote

from loomwright.documents.book import book_pdf
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
    if rev != moment.rev:
        raise StaleError("The plan has been changed in another window meanwhile. Look, then print again.")
    if moment.problems:
        raise UnreadableError("Mend the text of the plan first: it has errors, and a book needs all of it.")
    try:
        return book_pdf(moment.reading.checked, moment.reading.cures.every())
    except Exception as broken:
        _log.exception("The book of %s could not be printed.", moment.reading.plan.title)
        raise UnprintedError(
            "The book could not be printed. That is a mistake of ours; the plan is as it was."
        ) from broken


def headers(moment: Moment) -> dict[str, str]:
    """Return what names the file as the command line would: after the plan's file."""
    name = quote(f"{moment.file.rpartition('.')[0] or moment.file}-book.pdf")
    return {"Content-Disposition": f"attachment; filename*=UTF-8''{name}"}
