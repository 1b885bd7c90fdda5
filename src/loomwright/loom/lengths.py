"""Length of a wire laid along the paths of a van, from points in metres.

The wire runs straight to the nearest point of its first path, along each path to where it leaves it, and
straight to its end. Paths are polylines. Allowances for bends and ends are common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomwright.source import Source

Point = tuple[float, float, float]
Floats = NDArray[np.float64]

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


def along_paths(start: Point, paths: Sequence[Sequence[Point]], end: Point) -> float:
    """Return the length from `start` along `paths` to `end`, without allowances.

    Parameters
    ----------
    start, end : tuple of float
        Coordinates. [m]
    paths : sequence of polylines
        Corner points of each path, in the order the wire takes them. [m]

    Returns
    -------
    float
        [m]

    Examples
    --------
    >>> along_paths((0, 0, 1), [[(0, 0, 0), (3, 0, 0)]], (2, 0, 1))
    4.0
    """
    length, here = 0.0, np.asarray(start, dtype=float)
    for k, path in enumerate(paths):
        line = np.asarray(path, dtype=float)
        target = np.asarray(paths[k + 1] if k + 1 < len(paths) else [end], dtype=float)
        into, into_at = _nearest_on(line, here[None, :])
        _, leave_at = _nearest_on(line, target)
        length += float(np.linalg.norm(into - here)) + abs(leave_at - into_at)
        here = _at(line, leave_at)
    return length + float(np.linalg.norm(np.asarray(end, dtype=float) - here))


def laid_length(start: Point, paths: Sequence[Sequence[Point]], end: Point) -> tuple[float, float]:
    """Return the length to cut, low and high: allowances for bends and both ends included. [m]"""
    if paths:
        length = PATH_FACTOR * along_paths(start, paths, end) + 2 * END_SLACK_M
        return length, length
    straight = float(np.linalg.norm(np.subtract(end, start)))
    return DIRECT_FACTOR[0] * straight + 2 * END_SLACK_M, DIRECT_FACTOR[1] * straight + 2 * END_SLACK_M


def _nearest_on(line: Floats, targets: Floats) -> tuple[Floats, float]:
    """Return the point of a polyline nearest to any of `targets`' own line, and how far along it lies."""
    if len(line) == 1:
        return line[0], 0.0
    samples = targets if len(targets) == 1 else np.concatenate([_spread(targets), targets])
    a, b = line[:-1], line[1:]
    span = b - a
    long = np.linalg.norm(span, axis=1)
    square = np.maximum((span**2).sum(axis=1), 1e-12)
    t = np.clip(((samples[:, None, :] - a) * span).sum(axis=2) / square, 0.0, 1.0)
    points = a + t[..., None] * span
    far = np.linalg.norm(points - samples[:, None, :], axis=2)
    sample, segment = np.unravel_index(int(np.argmin(far)), far.shape)
    along = float(long[:segment].sum() + t[sample, segment] * long[segment])
    return points[sample, segment], along


def _spread(line: Floats) -> Floats:
    """Return points along a polyline, close enough to find where two paths come nearest."""
    steps = np.linspace(0.0, 1.0, 21)[:, None]
    return np.concatenate([a + steps * (b - a) for a, b in pairwise(line)])


def _at(line: Floats, along: float) -> Floats:
    for a, b in pairwise(line):
        long = float(np.linalg.norm(b - a))
        if along <= long or long == 0.0:
            point: Floats = a + (b - a) * (along / long if long else 0.0)
            return point
        along -= long
    last: Floats = line[-1]
    return last
