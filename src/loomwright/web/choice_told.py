"""What a page is told of other sizes while they are tried."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loomwright.sizing.choosing import Limits

from .changes import AskedWronglyError
from .choosing import FIELDS, Asked
from .work import Work

_FIRST = "The weather is made ..."


def choice_told(work: Work, rev: int, have: int, typed: Mapping[str, str]) -> dict[str, Any]:
    """Return how far the designs are, as JSON; the first who asks begins.

    Parameters
    ----------
    work : Work
        What lies on the table.
    rev : int
        The revision that the page shows; nothing is worked out for another.
    have : int
        So many designs does the page know of already; -1: it begins.
    typed : mapping of str to str
        What stands in the fields as it begins.

    Raises
    ------
    AskedWronglyError
        A field holds no number of 0 or more.
    """
    moment = work.now()
    if moment.rev != rev:
        return {"rev": moment.rev, "ready": False, "runs": False, "done": 0, "says": ""}
    choosing = moment.reading.choosing
    if have < 0:
        choosing.ask(_asked(typed))
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


def _asked(typed: Mapping[str, str]) -> Asked:
    """Return what was typed into the fields; an empty one is no limit."""
    given = {name: _number(name, text) for name, text in typed.items() if text.strip()}
    nights = given.pop("nights", Asked().nights)
    return Asked(
        Limits(budget=given.get("budget"), payload_kg=given.get("payload"), roof_m2=given.get("roof")), nights
    )


def _number(name: str, text: str) -> float:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0.0 <= value < 1e6:
        raise AskedWronglyError(
            f'{FIELDS[name]}: "{text.strip()}" is no number of 0 or more. Write it like 2.5.'
        )
    return value
