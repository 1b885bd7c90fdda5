"""A change that may cure a finding, as data: the words of a workshop and the edits of the plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from loomwright.assessment.record import Assessment
from loomwright.plan.edit import Edit
from loomwright.plan.edited import document
from loomwright.rules.finding import Finding
from loomwright.rules.registry import Job


@dataclass(frozen=True, slots=True)
class Candidate:
    """A change to try: what a workshop would call it, and its edits, which are one step."""

    says: str
    edits: tuple[Edit, ...]


@dataclass(frozen=True, slots=True)
class Base:
    """What candidates are made from: the plan as it is judged, and as it is typed."""

    job: Job
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
