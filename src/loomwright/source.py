"""Where a number comes from: the record that every table and figure carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Checked = Literal[
    "read in the work", "published, second hand", "one source", "computed", "common practice", "from memory"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The work, the place in it, and how far the figure was confirmed.

    Raises
    ------
    ValueError
        `work` or `place` is empty: no number stands here uncited.
    """

    work: str
    place: str
    checked: Checked

    def __post_init__(self) -> None:
        if not self.work.strip() or not self.place.strip():
            raise ValueError("a source names a work and a place in it")

    def __str__(self) -> str:
        text = f"{self.work}, {self.place} ({self.checked})"
        if self.checked in ("from memory", "common practice") and self.work != "common practice":
            text += "; check against a licensed copy"
        return text
