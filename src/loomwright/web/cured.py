"""What a page is told of the cures: those that have come, as pieces of markup for its lists of findings."""

from __future__ import annotations

from typing import Any

from loomwright.documents.cured import RECHECKED, key_of, tell
from loomwright.sizing.cures import Answer

from .markup import fill, sentence
from .work import Moment, Work


def cures_told(work: Work, rev: int, have: int) -> dict[str, Any]:
    """Return the cures that have come, as JSON with pieces of markup.

    Parameters
    ----------
    work : Work
        What lies on the table.
    rev : int
        The revision that the page shows; nothing is told of another.
    have : int
        So many answers does the page have already.
    """
    moment = work.now()
    if moment.rev != rev:
        return {"rev": moment.rev, "have": have, "done": True, "cures": []}
    reading = moment.reading
    answers, done = reading.cures.more(have, lambda: work.now().reading is reading)
    told = [_told(moment, answer) for answer in answers]
    return {"rev": rev, "have": have + len(answers), "done": done, "cures": told}


def _told(moment: Moment, answer: Answer) -> dict[str, Any]:
    cure = answer.cure
    told = None if cure is None else tell(cure)
    where = moment.reading.checked.findings[answer.number - 1].where
    return {
        "number": answer.number,
        "key": "" if cure is None else key_of(cure),
        "brief": "No cure found" if cure is None else f"Cure: {cure.says}",
        "figures": "" if told is None else " ".join(map(sentence, told.figures)),
        "html": fill("cure.html", answer=answer, told=told, where=where, rechecked=RECHECKED),
    }
