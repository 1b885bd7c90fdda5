"""The findings in groups: by severity, or by the place in the van where one would go and look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from loomwright.rules.finding import SEVERITIES, Finding

SEVERITY, PLACE = "severity", "place"
#: What is said of findings whose things have no place in the plan.
NO_PLACE = "place not named"


class Group(NamedTuple):
    """Findings that belong together, each with its number."""

    name: str
    words: str
    findings: list[tuple[int, Finding]]


def grouped(findings: Sequence[Finding], by: str) -> list[Group]:
    """Return the findings in groups, that of the gravest first; within a group by their numbers.

    Parameters
    ----------
    findings : sequence of Finding
        Gravest first, as they are numbered.
    by : str
        "place", or else by severity.
    """
    groups: dict[str, list[tuple[int, Finding]]] = {}
    for number, finding in enumerate(findings, 1):
        key = (finding.place.split(",")[0] or NO_PLACE) if by == PLACE else finding.severity
        groups.setdefault(key, []).append((number, finding))
    return [Group(*_head(name, len(held), by), held) for name, held in groups.items()]


def _head(name: str, count: int, by: str) -> tuple[str, str]:
    """Return what stands over a group, and what it means."""
    if by == PLACE:
        return name, f"{count} finding{'' if count == 1 else 's'}"
    words = SEVERITIES[name]
    plural = name if count == 1 else f"{name}es" if name == "watch" else f"{name}s"
    return f"{count} {plural}", "" if words == name else words
