"""How much longer a wire is cut than its way is: allowances for bends and ends, common practice."""

from __future__ import annotations

import math

from loomwright.source import Source

from .lines import Point

ALLOWANCE_SOURCE = Source(
    work="common practice", place="length allowances of a hand-laid loom", checked="common practice"
)
#: Along paths: bends and dips of a laid wire.
PATH_FACTOR = 1.1
#: Without paths: how much longer than the straight line a wire turns out, short and long.
DIRECT_FACTOR = (1.3, 1.6)
#: Slack at each end. [m]
END_SLACK_M = 0.15
#: Where nothing is known of the two ends. [m]
UNKNOWN_M = (1.0, 8.0)


def direct_length(start: Point, end: Point) -> tuple[float, float]:
    """Return the length to cut where no path leads, low and high. [m]

    Parameters
    ----------
    start, end : tuple of float
        Coordinates. [m]

    Examples
    --------
    >>> direct_length((0.0, 0.0, 0.0), (2.0, 0.0, 0.0))
    (2.9, 3.5)
    """
    low, high = (factor * math.dist(start, end) + 2 * END_SLACK_M for factor in DIRECT_FACTOR)
    return low, high


def cut_length(way_m: float) -> float:
    """Return the length to cut of a wire along its way, bends and slack at both ends counted. [m]"""
    return PATH_FACTOR * way_m + 2 * END_SLACK_M


__all__ = ["ALLOWANCE_SOURCE", "UNKNOWN_M", "cut_length", "direct_length"]
