"""One line to fill on the inspection sheet, and how its figures are written."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Blank:
    """Where, what is expected, what it is held against."""

    where: str
    expect: str
    limit: str


def known(word: str) -> str:
    """Return a type or curve, a question mark where nobody knows it."""
    return "?" if word == "unknown" else word


def ohm_words(ohm: float) -> str:
    """Return a resistance as a tester reads it, to a hundredth of an ohm."""
    if ohm < 0.01:
        return "under 0.01 Ω"
    return f"{ohm:.2f} Ω" if ohm < 10.0 else f"{ohm:.1f} Ω" if ohm < 100.0 else f"{ohm:.0f} Ω"


__all__ = ["Blank", "known", "ohm_words"]
