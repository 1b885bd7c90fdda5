"""Who feeds what: a table of loads and batteries against the modes of the van."""

from __future__ import annotations

from .draw import mode_sheets
from .words import told_rows

__all__ = ["mode_sheets", "told_rows"]
