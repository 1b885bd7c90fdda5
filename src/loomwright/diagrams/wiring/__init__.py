"""The wiring diagram of the 12/24 V side: feed from above, return below, one column for each upright line."""

from __future__ import annotations

from .draw import WiringDrawing, wiring_sheets

__all__ = ["WiringDrawing", "wiring_sheets"]
