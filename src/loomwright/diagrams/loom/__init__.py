"""The looms of a van as they are made on the bench: laid flat, at true size on a board, and their labels."""

from .labels import label_sheets
from .sheet import loom_sheets
from .tiles import PAPERS, board_sheets

__all__ = ["PAPERS", "board_sheets", "label_sheets", "loom_sheets"]
