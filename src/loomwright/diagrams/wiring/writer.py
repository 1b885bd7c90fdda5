"""What all that write on a sheet have: the painted sheet, its paper, the plan's words."""

from __future__ import annotations

from .paint import Painter


class Writer:
    """Writes on one painted sheet."""

    def __init__(self, painter: Painter) -> None:
        self.p = painter
        self.canvas = painter.canvas
        self.words = painter.words
