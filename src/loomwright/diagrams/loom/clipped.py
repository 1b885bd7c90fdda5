"""Drawn things cut to a part of a drawing and moved to another place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.scene import Circle, Drawn, Polygon, Polyline, Text, Wire


def is_shown(item: Drawn, box: Box, overlap: float) -> bool:
    """Say whether something of an item lies in a part of a drawing, of a text beyond the overlap. [mm]"""
    cut = cut_to(item, box)
    return cut is not None and not (isinstance(item, Text) and item.box().gap(box.grown(-overlap)) > 0.0)


def cut_to(item: Drawn, box: Box) -> Drawn | None:
    """Return what of an item lies in a part of a drawing; a text or circle whole, if any of it does."""
    if isinstance(item, Polyline | Wire):
        points = _clipped(item.points, box)
        return replace(item, points=points) if len(points) > 1 else None
    own = item.box()
    if own.right < box.left or own.left > box.right or own.bottom < box.top or own.top > box.bottom:
        return None
    if isinstance(item, Polygon):
        points = tuple(
            (min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)) for x, y in item.points
        )
        return replace(item, points=points)
    return item


def _clipped(points: Sequence[Point], box: Box) -> tuple[Point, ...]:
    """Return the part of a line that lies in a box, if it is one piece (Liang and Barsky's clipping)."""
    found: list[Point] = []
    for a, b in pairwise(points):
        low, high = 0.0, 1.0
        for start, step, least, most in (
            (a[0], b[0] - a[0], box.left, box.right),
            (a[1], b[1] - a[1], box.top, box.bottom),
        ):
            if step == 0.0:
                if not least <= start <= most:
                    low, high = 1.0, 0.0
                continue
            ends = sorted(((least - start) / step, (most - start) / step))
            low, high = max(low, ends[0]), min(high, ends[1])
        if low < high:
            for t in (low, high):
                at = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                if not found or found[-1] != at:
                    found.append(at)
    return tuple(found)


def moved_by(item: Drawn, by: Point) -> Drawn:
    """Return an item at another place."""
    dx, dy = by
    if isinstance(item, Polyline | Polygon | Wire):
        return replace(item, points=tuple((x + dx, y + dy) for x, y in item.points))
    if isinstance(item, Circle):
        return replace(item, centre=(item.centre[0] + dx, item.centre[1] + dy))
    assert isinstance(item, Text)
    return replace(item, at=(item.at[0] + dx, item.at[1] + dy))


__all__ = ["cut_to", "is_shown", "moved_by"]
