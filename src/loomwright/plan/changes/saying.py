"""Consequences in plain words: what happens alike to several things is one sentence."""

from __future__ import annotations

from collections.abc import Iterable

from loomwright.plan.changes.facts import title_of
from loomwright.plan.model import Plan


class Said:
    """Sentences in the order in which they first came up, with their subjects gathered."""

    def __init__(self) -> None:
        self._subjects: dict[tuple[str, str], list[str]] = {}

    def add(self, subject: str, one: str, many: str) -> None:
        """Say something of a subject: `one` if it stays alone, `many` if others share the sentence."""
        subjects = self._subjects.setdefault((one, many), [])
        if subject not in subjects:
            subjects.append(subject)

    def sentences(self) -> list[str]:
        """Return what was said."""
        return [
            _begun(f"{listed(subjects)} {one if len(subjects) == 1 else many}")
            for (one, many), subjects in self._subjects.items()
        ]


def the(plan: Plan, id: str) -> str:
    """Return what a person calls a part, with its article: `the roof fan`, `S1`."""
    title = title_of(plan, id)
    return f"the {title}" if title[:1].islower() else title


def listed(words: Iterable[str]) -> str:
    """Return words as one enumeration: `a, b and c`."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


#: Words of ours that begin a sentence in lower case; ids keep their own letters.
_OURS = ("the ", "label ", "mode ", "promise ", "path ", "what ")


def _begun(text: str) -> str:
    return text[0].upper() + text[1:] if text.startswith(_OURS) else text


__all__ = ["Said", "listed", "the"]
