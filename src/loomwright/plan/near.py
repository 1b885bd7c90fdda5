"""The known word that a misspelt one was likely meant to be.

A comparison of two words takes up to 50 µs, and a hostile text can ask for millions; so one reading has a
fixed number of them to spend: enough for 250 slips among 40 names.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextvars import ContextVar
from difflib import get_close_matches

#: So many comparisons one reading may spend; later slips are still said, without a guess.
COMPARISONS = 10_000

_left: ContextVar[int] = ContextVar("comparisons left", default=COMPARISONS)


def begin_guessing() -> None:
    """Give a new reading its full number of comparisons."""
    _left.set(COMPARISONS)


def nearest(word: str, known: Sequence[str]) -> str:
    """Return ` Did you mean "..."?` for the known word that is most like this one, or nothing."""
    left = _left.get() - len(known)
    if left < 0:
        return ""
    _left.set(left)
    by_fold = {name.casefold(): name for name in known}
    found = get_close_matches(word.casefold(), by_fold, n=1, cutoff=0.6)
    return f' Did you mean "{by_fold[found[0]]}"?' if found else ""
