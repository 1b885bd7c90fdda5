"""The looms of a van as they are made on the bench: laid flat, at true size on a board, and their labels."""

from .sheet import loom_sheets

__all__ = ["loom_sheets"]
