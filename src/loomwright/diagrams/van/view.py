"""Looking at a van from above or from one side: metres of the van become millimetres of the sheet.

The front of the plan is at the left of the sheet and the vehicle's right at the top; a side is seen as one
stands beside it: the left side with its front at the left, the right side with its front at the right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomwright.drawing.geometry import Box, Point
from loomwright.loom.lines import Point as Place

#: So far from the middle of the van begins what a side shows. [m]
SIDE_FROM_M = 0.25
Look = Literal["plan", "left", "right"]


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
class View:
    """One look at a van.

    Attributes
    ----------
    look : str
        From above ("plan"), or at its left or right side.
    scale : int
        1 to so many.
    extent : Extent
        What is shown.
    corner : Point
        The upper left corner on the sheet. [mm]
    """

    look: Look
    scale: int
    extent: Extent
    corner: Point

    @property
    def mm(self) -> float:
        """Millimetres of the sheet for a metre of the van."""
        return 1000.0 / self.scale

    @property
    def box(self) -> Box:
        """What it takes on the sheet. [mm]"""
        one, (left, top) = self.extent, self.corner
        tall = one.right - one.left if self.look == "plan" else one.top - one.bottom
        return Box(left, top, left + (one.rear - one.front) * self.mm, top + tall * self.mm)

    def shows(self, point: Place) -> bool:
        """Say whether a point is on the side that is looked at."""
        _, y, _ = point
        return {"plan": True, "left": y <= -SIDE_FROM_M, "right": y >= SIDE_FROM_M}[self.look]

    def of(self, point: Place) -> Point:
        """Return where a point of the van lies on the sheet. [mm]"""
        (x, y, z), one, (left, top) = point, self.extent, self.corner
        if self.look == "plan":
            return left + (x - one.front) * self.mm, top + (one.right - y) * self.mm
        across = one.rear - x if self.look == "right" else x - one.front
        return left + across * self.mm, top + (one.top - z) * self.mm


__all__ = ["SIDE_FROM_M", "Extent", "Look", "View"]
