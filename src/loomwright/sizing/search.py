"""Finding the first of many candidates at which a verdict flips, with as few trials as halving needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from .trial import OutOfTrialsError, Verdict

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Found(Generic[T]):
    """Where a verdict flips.

    Attributes
    ----------
    near : T or None
        The last candidate tried on the side of the plan as it is; None: the plan itself.
    at : T
        The first candidate tried beyond the flip, and its `verdict`.
    exact : bool
        Nothing lies between the two; False if the trials ran out before that was known.
    """

    near: T | None
    at: T
    verdict: Verdict
    exact: bool


def first_flip(
    candidates: Sequence[T], judge: Callable[[T], Verdict], flipped: Callable[[Verdict], bool], far: int
) -> Found[T] | None:
    """Return the first candidate whose verdict is flipped.

    Parameters
    ----------
    candidates : sequence
        From what is nearest to the plan as it is to what is farthest.
    judge : callable
        Tries a candidate; may raise `OutOfTrialsError`.
    flipped : callable
        Tells whether a verdict is on the far side.
    far : int
        Index that is tried first; the next one tried is twice as far, until the end.

    Returns
    -------
    Found or None
        None if not even the last candidate that could be tried flips it.
    """
    low, high, verdict = -1, min(far, len(candidates) - 1), None
    try:
        while high >= 0:
            tried = judge(candidates[high])
            if flipped(tried):
                verdict = tried
                break
            low = high
            if high == len(candidates) - 1:
                break
            high = min(2 * high + 1, len(candidates) - 1)
    except OutOfTrialsError:
        return None
    if verdict is None:
        return None
    try:
        while high - low > 1:
            middle = (low + high) // 2
            tried = judge(candidates[middle])
            if flipped(tried):
                high, verdict = middle, tried
            else:
                low = middle
    except OutOfTrialsError:
        return Found(candidates[low] if low >= 0 else None, candidates[high], verdict, False)
    return Found(candidates[low] if low >= 0 else None, candidates[high], verdict, True)
