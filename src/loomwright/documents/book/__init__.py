"""The van book: cover, cautions, findings, sheets, tables, reasons, sources; one PDF, and CSV lists."""

from __future__ import annotations

from .lists import book_lists
from .write import book_pdf

__all__ = ["book_lists", "book_pdf"]
