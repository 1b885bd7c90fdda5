"""A finding: what is wrong, where, by how much, whose limit it is, and the next step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomwright.source import Source

Severity = Literal["danger", "fault", "watch", "note"]

#: Gravest first; the words are those of screen and paper.
SEVERITIES: dict[str, str] = {
    "danger": "do not energise",
    "fault": "fix before handover",
    "watch": "watch",
    "note": "note",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding.

    Attributes
    ----------
    rule : str
        Name of the rule.
    severity : str
        danger, fault, watch or note.
    where : str
        Id of the wire, part or stud it is about; `also` names further ones.
    place : str
        Where that is in the van, as far as the plan says.
    says : str
        What is wrong, with its figures.
    do : str
        The next step.
    value, limit : float or None
        The figure and the limit it passed. [`unit`]
    unknown : tuple of str
        Fields of the plan that were not known and took part in the figure; of what is not known well enough,
        that which decides comes first.
    decided_by : tuple of (str, float)
        Of what is not known well enough: fields, and what part each has in it, most first. [%]
    beside : tuple of str
        What standards that the plan does not name have as their limit; it changes no verdict.
    cause : str
        What brings it about, where a thing may have several: the load whose start makes it dip.
    together : bool
        A drop that is judged with the other loads of its wire on.
    mode : str
        The mode in which it holds; "" for what holds at rest, or in every mode.
    at_worst : str
        Of what is not known well enough: the rule that trips at the worst.
    accepted : str
        Why a watch was accepted, and by whom; "" for one that was not.
    """

    rule: str
    severity: Severity
    where: str
    says: str
    do: str = ""
    also: tuple[str, ...] = ()
    place: str = ""
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: Source
    unknown: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    cause: str = ""
    together: bool = False
    mode: str = ""
    at_worst: str = ""
    accepted: str = ""
    decided_by: tuple[tuple[str, float], ...] = ()

    def order(self) -> tuple[int, str, str]:
        """Return what findings are sorted by: severity, then rule and place of the thing."""
        return (list(SEVERITIES).index(self.severity), self.rule, self.where)

    def as_dict(self) -> dict[str, object]:
        """Return the finding as it stands in JSON."""
        return {
            "rule": self.rule,
            "severity": self.severity,
            "where": self.where,
            "also": [id for id in dict.fromkeys(self.also) if id != self.where],
            "place": self.place,
            "says": self.says,
            "value": self.value,
            "limit": self.limit,
            "unit": self.unit,
            "do": self.do,
            "cure": None,
            "accepted": self.accepted,
            "mode": self.mode,
            "beside": list(self.beside),
            "source": f"{self.source.work}, {self.source.place}",
            "confidence": self.source.checked,
        }
