"""The numbered sign of a finding, as tables and lists of the book carry it."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.rules.check import Checked
from loomwright.rules.finding import Severity


@dataclass(frozen=True, slots=True)
class Mark:
    """Number and severity of a finding: its sign."""

    number: int
    severity: Severity


def marks_of(checked: Checked, id: str) -> tuple[Mark, ...]:
    """Return the signs of the findings that are about a thing of this id, gravest first."""
    return tuple(
        Mark(number, finding.severity)
        for number, finding in enumerate(checked.findings, 1)
        if id == finding.where or id in finding.also
    )
