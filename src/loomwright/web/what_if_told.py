"""What a page is told of the year that it supposes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from . import yearly
from .changes import AskedWronglyError
from .work import Work


def what_if_told(work: Work, rev: int, years: int, evening: bool, typed: Mapping[str, str]) -> dict[str, Any]:
    """Return what comes of knobs, as JSON.

    Parameters
    ----------
    work : Work
        What lies on the table.
    rev : int
        The revision that the page shows; nothing is worked out for another.
    years : int
        So many are run; more than all counts as all.
    evening : bool
    typed : mapping of str to str
        Values of knobs by their names.

    Raises
    ------
    AskedWronglyError
        A knob that there is not, or no number.
    """
    moment = work.now()
    if moment.rev != rev or moment.reading.yearly.came is None or moment.reading.yearly.came.report is None:
        return {"rev": moment.rev, "drawing": ""}
    count = min(max(years, 1), yearly.YEARS)
    try:
        values = {name: float(text) for name, text in typed.items()}
        return {"rev": rev, **moment.reading.supposing.answer(values, count, evening)}
    except ValueError as wrong:
        raise AskedWronglyError(f"What if: {wrong}.") from None
