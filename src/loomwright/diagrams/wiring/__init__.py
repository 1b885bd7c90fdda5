"""The wiring diagram of the 12/24 V side: feed from above, return below, one column for each upright line."""

from __future__ import annotations

from .draw import WiringDrawing, fault_sheets, wiring_sheets

__all__ = ["WiringDrawing", "fault_sheets", "wiring_sheets"]
