"""The mains side line by line: from the pitch to each socket, what opens on the way, what is bonded."""

from .sheet import mains_sheets

__all__ = ["mains_sheets"]
