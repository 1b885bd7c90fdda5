"""The lists of a van's loom as tables: for the page, the book, CSV and JSON alike."""

from .made import Lists
from .record import Cell, Column, List, Row

__all__ = ["Cell", "Column", "List", "Lists", "Row"]
