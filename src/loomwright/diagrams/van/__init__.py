"""The van sheet: places, paths and wires from above and from both sides, to scale."""

from .draw import van_sheets

__all__ = ["van_sheets"]
