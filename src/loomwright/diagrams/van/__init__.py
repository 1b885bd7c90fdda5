"""The van sheet: places, paths and wires from all sides, to scale."""

from .bands import BANDS, By
from .draw import VanDrawing, van_sheets

__all__ = ["BANDS", "By", "VanDrawing", "van_sheets"]
