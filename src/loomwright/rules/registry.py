"""The rules by name: a decorator puts them here, and what they ask and why stands beside them."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import dataclass, field

from loomwright.assessment.limits import limits_of
from loomwright.assessment.record import Assessment
from loomwright.source import Source
from loomwright.tables.limits import LimitSet

from .finding import Finding, Severity

#: For what hangs together or does not: no standard is needed to say so.
SOUND_WIRING = Source(work="common practice", place="sound wiring", checked="common practice")
WORKSHOP = Source(work="common practice", place="the workshop's limits", checked="common practice")


@dataclass(frozen=True, slots=True)
class Job:
    """What a rule looks at: an assessment and the limits that its plan is judged by.

    `found` has the findings of all other rules, for the rules that come last.
    """

    assessment: Assessment
    limits: LimitSet = field(init=False)
    found: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "limits", limits_of(self.assessment.plan))

    def place(self, *ids: str) -> str:
        """Return in words where a wire, part or stud is: the places and paths it touches."""
        names: dict[str, None] = {}
        for id in ids:
            wire = self.assessment.wires.get(id)
            if wire is not None:
                names |= dict.fromkeys(wire.places)
            part = self.assessment.wiring.parts.get(id)
            while part is not None and part.place is None and "/" in id:
                id = id.rpartition("/")[0]
                part = self.assessment.wiring.parts.get(id)
            if part is not None and part.place:
                names[part.place] = None
            stud = self.assessment.plan.studs.get(id)
            if stud is not None:
                names[stud.place] = None
        return ", ".join(names)

    def name(self, part_id: str) -> str:
        """Return a part's name for people: its own words, else its id."""
        part = self.assessment.wiring.parts.get(part_id)
        return part.name if part is not None and part.name else part_id


Check = Callable[[Job], Iterable[Finding]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its name, the gravest it can say, the question it asks, why that matters, who says so.

    One that comes `last` looks at the findings of the others.
    """

    name: str
    worst: Severity
    asks: str
    why: str
    source: Source
    check: Check
    last: bool = False


RULES: dict[str, Rule] = {}


def rule(
    *, worst: Severity, asks: str, why: str, source: Source = WORKSHOP, last: bool = False
) -> Callable[[Check], Check]:
    """Register a function as a rule under its own name.

    Parameters
    ----------
    worst : str
        The gravest severity it can give.
    asks, why : str
        The question in the trade's words, and what happens if the answer is no.
    source : Source
        Where the limit comes from.
    last : bool
        True for one that looks at the findings of the others.
    """

    def register(check: Check) -> Check:
        name = check.__name__
        RULES[name] = Rule(name, worst, asks, why, source, check, last)
        return check

    return register


def run_rules(
    job: Job, *, last: bool = False, only: Container[str] | None = None, notes: bool = True
) -> Iterator[Finding]:
    """Give the findings of all rules but those that come last; or of these; or `only` of some.

    Without `notes`, rules that never say more than a note are left out.
    """
    for name, one in RULES.items():
        if one.last is last and (only is None or name in only) and (notes or one.worst != "note"):
            yield from one.check(job)
