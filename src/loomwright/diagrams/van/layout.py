"""Where the five views lie on the paper, and how large they can be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product

from loomwright.drawing.geometry import Box
from loomwright.loom.lines import Point as Place

from .labels import ROW_MM
from .view import Extent, View

#: Scales that a sheet may have, the larger drawing first.
SCALES = (15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 500)
#: The views and below them the tables. [mm]
PAPER = Box(33.0, 18.0, 358.0, 242.0)
HEAD_MM, RULER_MM, GAP_MM, NAMES_MM = 6.5, 9.0, 8.0, 3.5
#: Height that the tables have at the least. [mm]
LEAST_TABLES_MM = 28.0
#: Around the outermost places. [m]
_AROUND_M = 0.08
#: The last part of the van is seen from behind, and what is so near under its roof on the roof view. [m]
_REAR_SHARE, _UNDER_ROOF_M = 0.6, 0.3
#: A van of which nobody says how large it is. [m]
USUAL_M = (3.0, 1.8, 1.9)


@dataclass(frozen=True, slots=True)
class Layout:
    """The views and the room of the tables. [mm]"""

    views: tuple[View, ...]
    tables: Box


def extent_of(points: Iterable[Place], load_space: tuple[float, float, float] | None) -> Extent:
    """Return how far a van reaches: its load space, and all that lies outside it. [m]"""
    xs, ys, zs = zip(*points, (0.0, 0.0, 0.0), strict=True)
    usual = (max(max(xs), 1.0), max(2 * max(map(abs, ys)), 1.0), max(max(zs), 1.0))
    long, wide, tall = load_space or (USUAL_M if not any(xs) else usual)
    return Extent(
        min(xs) - _AROUND_M,
        max(*xs, long) + _AROUND_M,
        min(*ys, -wide / 2) - _AROUND_M,
        max(*ys, wide / 2) + _AROUND_M,
        min(*zs, 0.0) - _AROUND_M,
        max(*zs, tall) + _AROUND_M,
    )


def layout_of(points: Iterable[Place], load_space: tuple[float, float, float] | None) -> Layout:
    """Return the views as large as they fit: the plan with the rear beside it, sides and roof below.

    Parameters
    ----------
    points : iterable of Place
        All that they show. [m]
    load_space : tuple of float or None
        Length, width and height of it. [m]
    """
    points = list(points)
    extent = extent_of(points, load_space)
    long, wide = extent.rear - extent.front, extent.right - extent.left
    tall = extent.top - extent.bottom
    fits = [
        (one, other)
        for one, other in product(SCALES, SCALES)
        if one <= other
        and 1e3 * (long + wide) / one + GAP_MM <= PAPER.width
        and 3e3 * long / other + 2 * GAP_MM <= PAPER.width
        and _rows(one, other, wide, tall) + LEAST_TABLES_MM <= PAPER.height
    ]
    one, other = min(fits, default=(SCALES[-1], SCALES[-1]))
    inside = load_space or (extent.rear, wide, extent.top)
    top = PAPER.top + HEAD_MM + ROW_MM
    plan = View("plan", one, extent, (PAPER.left, top))
    rear = View("rear", one, extent, (plan.box.right + GAP_MM, top), _REAR_SHARE * inside[0])
    under = top + 1e3 * max(wide, tall) / one + RULER_MM + ROW_MM + HEAD_MM
    left = View("left", other, extent, (PAPER.left, under))
    right = View("right", other, extent, (left.box.right + GAP_MM, under))
    from_m = inside[2] - _UNDER_ROOF_M
    front = min((x for x, _, z in points if z >= from_m), default=0.0)
    short = replace(extent, front=max(extent.front, min(front, 0.0) - _AROUND_M))
    roof = View("roof", other, short, (right.box.right + GAP_MM, under), from_m)
    lowest = max(left.box.bottom, roof.box.bottom) + NAMES_MM + GAP_MM / 2
    views = (plan, left, right, rear, roof)
    return Layout(views, Box(PAPER.left - 3.0, lowest, PAPER.right, PAPER.bottom))


def _rows(one: int, other: int, wide: float, tall: float) -> float:
    """Return how high both rows of views are at two scales. [mm]"""
    upper = HEAD_MM + 2 * ROW_MM + RULER_MM + 1e3 * max(wide, tall) / one
    return upper + HEAD_MM + 1e3 * max(wide, tall) / other + NAMES_MM + GAP_MM / 2


__all__ = ["LEAST_TABLES_MM", "PAPER", "SCALES", "Layout", "extent_of", "layout_of"]
