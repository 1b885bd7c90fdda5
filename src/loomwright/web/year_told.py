"""What a page is told of the year while it is worked out."""

from __future__ import annotations

from typing import Any

from .work import Work
from .yearly import YEARS


def year_told(work: Work, rev: int, have: int) -> dict[str, Any]:
    """Return how far the year is, as JSON.

    Parameters
    ----------
    work : Work
        What lies on the table.
    rev : int
        The revision that the page shows; nothing is worked out for another.
    have : int
        So many steps does the page know of already.
    """
    moment = work.now()
    if moment.rev != rev:
        return {"rev": moment.rev, "ready": False, "done": 0, "says": ""}
    yearly = moment.reading.yearly
    came = yearly.wait(lambda: work.now().reading is moment.reading, have)
    says = (
        f"{YEARS} years of weather are worked out: step {yearly.done} of {yearly.of} ..." if yearly.of else ""
    )
    return {"rev": rev, "ready": came is not None, "done": yearly.done, "says": says}
