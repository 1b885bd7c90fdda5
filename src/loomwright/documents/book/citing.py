"""The numbered sources of a book: a table cites by number, the list says work, place and confidence."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import get_args

from loomwright.source import Checked as Confidence
from loomwright.source import Source

#: What each word of confidence means to a reader.
CONFIDENCE: dict[str, str] = {
    "read in the work": "the figure was read in the work itself; from the plan: as its author typed it",
    "published, second hand": "the same in two or more publications that quote the work",
    "one source": "found in one place only",
    "computed": "follows by arithmetic or physics from others",
    "common practice": "what workshops do; no standard says so",
    "from memory": "not looked up: check it before relying on it",
}
assert set(CONFIDENCE) == set(get_args(Confidence))


@dataclass(frozen=True, slots=True)
class SourceRow:
    """One entry of the list of sources."""

    number: int
    work: str
    place: str
    confidence: str
    check: str


@dataclass(slots=True)
class Citing:
    """Numbers sources in the order in which they are first cited."""

    held: dict[Source, int] = field(default_factory=dict)

    def number(self, source: Source) -> int:
        """Return the number of a source, from 1."""
        return self.held.setdefault(source, len(self.held) + 1)

    def rows(self) -> tuple[SourceRow, ...]:
        """Return all sources that were cited."""
        return tuple(_row(number, source) for source, number in self.held.items())


def _row(number: int, source: Source) -> SourceRow:
    _, marked, check = str(source).partition("; ")
    return SourceRow(number, source.work, source.place, source.checked, check if marked else "")
