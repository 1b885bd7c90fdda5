"""What a page is told of other sizes while they are tried."""

from __future__ import annotations

from typing import Any

from .work import Work

_FIRST = "The weather is made ..."


def choice_told(work: Work, rev: int, have: int) -> dict[str, Any]:
    """Return how far the designs are, as JSON; the first who asks begins.

    Parameters
    ----------
    work : Work
        What lies on the table.
    rev : int
        The revision that the page shows; nothing is worked out for another.
    have : int
        So many designs does the page know of already; -1: it begins.
    """
    moment = work.now()
    if moment.rev != rev:
        return {"rev": moment.rev, "ready": False, "runs": False, "done": 0, "says": ""}
    choosing = moment.reading.choosing
    came = choosing.came
    if came is None and (have < 0 or choosing.runs):
        came = choosing.wait(lambda: work.now().reading is moment.reading, have)
    says = "Stopped."
    if choosing.runs:
        says = f"{choosing.done} of {choosing.of} designs are run ..." if choosing.of else _FIRST
    return {"rev": rev, "ready": came is not None, "runs": choosing.runs, "done": choosing.done, "says": says}


def choice_stopped(work: Work) -> dict[str, Any]:
    """Give up the designs that are run for what lies on the table."""
    work.now().reading.choosing.stop()
    return {"says": "Stopped."}
