"""A change that may cure a finding, as data: the words of a workshop and the edits of the plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from loomwright.assessment.record import Assessment
from loomwright.plan.edit import Edit
from loomwright.plan.edited import document
from loomwright.rules.finding import Finding
from loomwright.rules.registry import Job


@dataclass(frozen=True, slots=True)
class Move:
    """One thing done: what a workshop would call it, and its edits."""

    says: str
    edits: tuple[Edit, ...]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A change to try: one or more things done in one step."""

    moves: tuple[Move, ...]

    @property
    def says(self) -> str:
        """The change in words."""
        return ", ".join(move.says for move in self.moves)

    @property
    def edits(self) -> tuple[Edit, ...]:
        """The edits of all its moves, in order."""
        return tuple(edit for move in self.moves for edit in move.edits)

    def then(self, more: Candidate) -> Candidate:
        """Return this change and another after it; a move whose first edit that one writes anew is dropped.

        What else a dropped move wrote is kept, with the first move of the other.
        """
        written = {edit.at for edit in more.edits}
        kept = [move for move in self.moves if move.edits[0].at not in written]
        left = [e for move in self.moves if move not in kept for e in move.edits if e.at not in written]
        first, *others = more.moves
        return Candidate((*kept, replace(first, edits=(*left, *first.edits)), *others))


def change(says: str, *edits: Edit) -> Candidate:
    """Return a change that is one thing done."""
    return Candidate((Move(says, edits),))


@dataclass(frozen=True, slots=True)
class Base:
    """What candidates are made from: the plan as it is judged, and as it is typed.

    `was` is the plan before other changes that are tried with these; words are about that one.
    """

    job: Job
    was: Base | None = None
    typed: dict[str, Any] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "typed", document(self.job.assessment.plan))

    @property
    def assessment(self) -> Assessment:
        """The figures of the plan."""
        return self.job.assessment

    def at(self, path: str) -> Any:
        """Return what is typed at a dotted path, None if nothing is."""
        value: Any = self.typed
        for name in path.split("."):
            value = value.get(name) if isinstance(value, dict) else None
        return value


#: Gives the changes to try for a finding, in the order in which a workshop would.
Proposer = Callable[[Base, Finding], Iterator[Candidate]]
