"""What every entry of a plan has: a note, a photo, which fields were typed, and its place in the text."""

from __future__ import annotations

from dataclasses import dataclass, field

from loomwright.plan.columns import TEXT, column


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Base of all entries.

    Attributes
    ----------
    note, photo : str or None
        Free text, and the name of a picture file.
    typed : frozenset of str
        The fields that stand in the text, by the names typed there.
    line, column : int
        Where the entry begins in the text, from 1; 0 for one that was not typed.
    """

    note: str | None = column(TEXT, says="a remark for the sheets")
    photo: str | None = column(TEXT, says="the name of a picture file")
    typed: frozenset[str] = frozenset()
    line: int = field(default=0, compare=False, repr=False)
    column: int = field(default=0, compare=False, repr=False)
