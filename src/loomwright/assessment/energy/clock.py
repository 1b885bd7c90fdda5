"""Clock times of a plan as hours of the day, and what of each hour a stretch of time fills."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def hour_of(clock: str) -> float:
    """Return a clock time as hours since midnight. [h]

    Examples
    --------
    >>> hour_of("08:30")
    8.5
    """
    hours, minutes = clock.split(":")
    return int(hours) + int(minutes) / 60.0


def span_h(span: tuple[str, str]) -> float:
    """Return how long a clock span is, over midnight if its end is earlier. [h]

    Examples
    --------
    >>> span_h(("22:00", "06:30"))
    8.5
    """
    return (hour_of(span[1]) - hour_of(span[0])) % 24.0 or 24.0


def spread_h(start_h: float, long_h: float) -> NDArray[np.float64]:
    """Return how much of each hour of a day lies within a time from a clock hour on, shape (24,). [h]"""
    found = np.zeros(24)
    at, left = start_h, long_h
    while left > 1e-9:
        part = min(left, np.floor(at) + 1.0 - at)
        found[int(at) % 24] += part
        at, left = at + part, left - part
    return found


__all__ = ["hour_of", "span_h", "spread_h"]
