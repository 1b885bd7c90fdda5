"""What a text that is not of its kind raises; the reader of the plan adds the place."""

from __future__ import annotations


class Misread(ValueError):  # noqa: N818 - not an error of the program: the reader makes it a Problem
    """A text that is not of the kind asked for; the message is meant for the author of the plan."""
