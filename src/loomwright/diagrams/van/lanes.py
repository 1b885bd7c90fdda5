"""Wires side by side along a path: each has a lane that it keeps as long as it lies in that path."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from loomwright.assessment.loom import Loom
from loomwright.drawing.geometry import Point

#: Between the edges of neighbours. [mm]
GAP_MM = 0.4
#: Corners sharper than this are not drawn out to a point.
_SHARP = 0.35
#: A corner is drawn out by no more than this share of the distance to the side.
_DRAWN_OUT = 1.5


def lanes_of(loom: Loom, widths_mm: Mapping[str, float]) -> dict[tuple[str, str], float]:
    """Return by path and wire how far the middle of the wire lies beside the path, left of its way. [mm]

    Parameters
    ----------
    loom : Loom
    widths_mm : mapping of str to float
        How wide each wire is drawn. [mm]
    """
    in_path: dict[str, dict[str, None]] = {}
    for section in loom.sections:
        in_path.setdefault(section.path, {}).update(dict.fromkeys(section.wires))
    found: dict[tuple[str, str], float] = {}
    for path, wires in in_path.items():
        across = sum(widths_mm[wire] for wire in wires) + GAP_MM * (len(wires) - 1)
        at = -across / 2.0
        for wire in wires:
            found[path, wire] = at + widths_mm[wire] / 2.0
            at += widths_mm[wire] + GAP_MM
    return found


def beside(points: Sequence[Point], aside: float) -> tuple[Point, ...]:
    """Return a line moved to its left, corner by corner; what lies on one spot of the sheet is one point.

    Examples
    --------
    >>> [(round(x, 3), round(y, 3)) for x, y in beside([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], 1.0)]
    [(0.0, -1.0), (11.0, -1.0), (11.0, 10.0)]
    """
    line = [point for k, point in enumerate(points) if k == 0 or math.dist(point, points[k - 1]) > 0.05]
    if len(line) < 2:
        return ()
    ways = [_unit(a, b) for a, b in pairwise(line)]
    found = []
    for k, (x, y) in enumerate(line):
        before, after = ways[max(k - 1, 0)], ways[min(k, len(ways) - 1)]
        across = (before[1] + after[1], -before[0] - after[0])
        long = math.hypot(*across)
        if long < _SHARP:
            across, long = (after[1], -after[0]), 1.0
        stretch = min(2.0 / long, _DRAWN_OUT) / long
        found.append((x + aside * across[0] * stretch, y + aside * across[1] * stretch))
    return tuple(found)


def _unit(a: Point, b: Point) -> Point:
    long = math.dist(a, b)
    return (b[0] - a[0]) / long, (b[1] - a[1]) / long


__all__ = ["GAP_MM", "beside", "lanes_of"]
