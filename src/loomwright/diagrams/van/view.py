"""Looking at a van from above, its sides or behind: metres of the van become millimetres of the sheet.

The front of the plan is at the left of the sheet and the vehicle's right at the top; a side is seen as one
stands beside it: the left side with its front at the left, the right side with its front at the right. From
behind, the vehicle's left is at the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from loomwright.drawing.geometry import Box, Point
from loomwright.loom.lines import Point as Place

#: So far from the middle of the van begins what a side shows. [m]
SIDE_FROM_M = 0.25
Look = Literal["plan", "left", "right", "rear", "roof"]


@dataclass(frozen=True, slots=True)
class Extent:
    """How far a van reaches: front and rear, its left and right, floor and roof. [m]"""

    front: float
    rear: float
    left: float
    right: float
    bottom: float
    top: float


@dataclass(frozen=True, slots=True)
class Axis:
    """How one way of the sheet goes along one way of the van.

    Attributes
    ----------
    of : int
        0 rearward, 1 to the right, 2 up.
    at_edge_m : float
        There the view begins, at its left or its top. [m]
    m_per_mm : float
        Negative where the sheet goes against the van.
    """

    of: int
    at_edge_m: float
    m_per_mm: float


@dataclass(frozen=True, slots=True)
class View:
    """One look at a van.

    Attributes
    ----------
    look : str
        From above ("plan"), at its left or right side, from behind ("rear"), on its roof from above.
    scale : int
        1 to so many.
    extent : Extent
        What is shown.
    corner : Point
        The upper left corner on the sheet. [mm]
    from_m : float
        What lies less far rearward is not seen from behind, what lies lower not on the roof. [m]
    """

    look: Look
    scale: int
    extent: Extent
    corner: Point
    from_m: float = 0.0

    @property
    def mm(self) -> float:
        """Millimetres of the sheet for a metre of the van."""
        return 1000.0 / self.scale

    @property
    def axes(self) -> tuple[Axis, Axis]:
        """What goes across the sheet and what goes down it."""
        one, m = self.extent, 1.0 / self.mm
        if self.look in ("plan", "roof"):
            return Axis(0, one.front, m), Axis(1, one.right, -m)
        across = {
            "left": Axis(0, one.front, m), "right": Axis(0, one.rear, -m), "rear": Axis(1, one.left, m)
        }[self.look]  # fmt: skip
        return across, Axis(2, one.top, -m)

    @property
    def box(self) -> Box:
        """What it takes on the sheet. [mm]"""
        one, (left, top) = self.extent, self.corner
        sizes = (one.rear - one.front, one.right - one.left, one.top - one.bottom)
        across, down = self.axes
        return Box(left, top, left + sizes[across.of] * self.mm, top + sizes[down.of] * self.mm)

    def depth_m(self, point: Place) -> float:
        """Return how far within what is looked at a point lies; negative beyond it. [m]"""
        x, y, z = point
        return {
            "plan": 1.0,
            "left": -y - SIDE_FROM_M,
            "right": y - SIDE_FROM_M,
            "rear": x - self.from_m,
            "roof": z - self.from_m,
        }[self.look]

    def shows(self, point: Place) -> bool:
        """Say whether a point is on the side that is looked at."""
        return self.depth_m(point) >= 0.0

    def of(self, point: Place) -> Point:
        """Return where a point of the van lies on the sheet. [mm]"""
        left, top = self.corner
        across, down = self.axes
        return (
            left + (point[across.of] - across.at_edge_m) / across.m_per_mm,
            top + (point[down.of] - down.at_edge_m) / down.m_per_mm,
        )

    def cut(
        self, points: Sequence[Place], metres: Sequence[float] | None = None
    ) -> list[tuple[list[Point], list[float]]]:
        """Return the parts of a line that are seen, on the sheet, with how far along it each corner lies.

        Parameters
        ----------
        points : sequence of Place
            Its corners. [m]
        metres : sequence of float, optional
            Of each corner; counted by corners if it is left out. [m]
        """
        along = [float(k) for k in range(len(points))] if metres is None else list(metres)
        parts: list[tuple[list[Point], list[float]]] = []
        for (a, m), (b, n) in pairwise(zip(points, along, strict=True)):
            ends = self._seen(a, b)
            if ends is None:
                continue
            start, stop = ((_between(a, b, t), m + t * (n - m)) for t in ends)
            if not parts or ends[0] > 0.0 or parts[-1][1][-1] != m:
                parts.append(([self.of(start[0])], [start[1]]))
            parts[-1][0].append(self.of(stop[0]))
            parts[-1][1].append(stop[1])
        return parts

    def _seen(self, a: Place, b: Place) -> tuple[float, float] | None:
        """Return from where to where a straight piece is seen, as shares of it."""
        deep = self.depth_m(a), self.depth_m(b)
        if max(deep) < 0.0:
            return None
        if min(deep) >= 0.0:
            return 0.0, 1.0
        at = deep[0] / (deep[0] - deep[1])
        return (0.0, at) if deep[0] >= 0.0 else (at, 1.0)


def _between(a: Place, b: Place, share: float) -> Place:
    x, y, z = (one + share * (other - one) for one, other in zip(a, b, strict=True))
    return x, y, z


__all__ = ["SIDE_FROM_M", "Axis", "Extent", "Look", "View"]
