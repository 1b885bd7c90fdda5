"""The label for the lid of each fuse box, at true size: way, what it feeds, rating, type."""

from __future__ import annotations

from .draw import fuse_label_sheets
from .ways import FuseBox, FuseRow, fuse_boxes, loose_fuses

__all__ = ["FuseBox", "FuseRow", "fuse_boxes", "fuse_label_sheets", "loose_fuses"]
