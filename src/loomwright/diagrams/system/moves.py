"""Isotonic regression under the sum of absolute moves: who stands where when several want one place."""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence


def least_moves(wishes: Sequence[float]) -> list[float]:
    """Return the rising sequence with the least sum of absolute differences to the wishes.

    Pool adjacent violators with medians; a pool of even size takes the lower of its two middle values.

    Examples
    --------
    >>> least_moves([1.0, 5.0, 3.0, 4.0])
    [1.0, 3.0, 3.0, 4.0]
    """
    pools: list[list[float]] = []
    for wish in wishes:
        pools.append([wish])
        while len(pools) > 1 and _median(pools[-2]) > _median(pools[-1]):
            for value in pools.pop():
                insort(pools[-1], value)
    return [_median(pool) for pool in pools for _ in pool]


def _median(values: Sequence[float]) -> float:
    return values[(len(values) - 1) // 2]
