"""What a band on the van sheet says: the current, what is lost, or when a short is over.

Wires that lie together have one band, that of the gravest of them; the table of paths names which it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from loomwright.assessment.along_record import NOT_KNOWN, WORDS
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import amps
from loomwright.diagrams.wiring.in_faults import PATTERNS
from loomwright.drawing.scene import Pattern

By = Literal["", "current", "drop", "opening"]
#: The bands that a sheet may have, in words.
BANDS: dict[By, str] = {"current": "current", "drop": "volts lost", "opening": "opening time"}
_RISING: tuple[tuple[Pattern, ...], ...] = ((), ("dots",), ("slant",), ("cross",))
#: From here on the next pattern. [A, %]
_AMPS, _PERCENT = (5.0, 20.0, 60.0), (0.5, 1.0, 2.0)
KEYS: dict[By, str] = {
    "current": "Gravest current: plain under 5 A, dots under 20 A, slant under 60 A, cross above.",
    "drop": "Lost in the gravest: plain under 0.5 %, dots under 1 %, slant under 2 %, cross above.",
    "opening": "Short over: plain under 0.1 s, dots 5 s, slant slow, cross never. Red edge: it burns.",
}


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a stretch of wire: how grave, its pattern, its figure or word, whether it burns."""

    grave: float
    patterns: tuple[Pattern, ...]
    text: str
    wire: str
    harmed: bool = False


#: What is said of a wire at one of its metres, and the metres at which that changes.
Teller = Callable[[str, float], Said | None]


def teller(job: Assessment, by: By) -> Teller:
    """Return what tells of a wire, metre by metre, by one of the bands."""
    if by == "current":
        return lambda wire, _: _by_current(job, wire)
    if by == "drop":
        return lambda wire, _: _by_drop(job, wire)
    return lambda wire, metre: _by_opening(job, wire, metre)


def changes(job: Assessment, by: By, wire: str) -> Iterator[float]:
    """Give the metres of a wire at which what its band says changes. [m]"""
    along = job.faults.along.get(wire) if by == "opening" else None
    for one, other in pairwise(along.stretches if along is not None else ()):
        if (one.word, one.harmed) != (other.word, other.harmed):
            yield one.to_m


def gravest(said: Sequence[Said | None]) -> Said | None:
    """Return the gravest of what is said of several wires."""
    return max(filter(None, said), key=lambda one: (one.harmed, one.grave), default=None)


def _by_current(job: Assessment, wire: str) -> Said | None:
    flows = job.wires[wire].current_a
    if flows is None:
        return None
    return Said(flows, _RISING[sum(flows >= limit for limit in _AMPS)], amps(flows), wire)


def _by_drop(job: Assessment, wire: str) -> Said | None:
    lost, percent = job.wires[wire].drop_v, job.wires[wire].drop_pct
    if lost is None or percent is None:
        return None
    pattern = _RISING[sum(percent >= limit for limit in _PERCENT)]
    return Said(percent, pattern, f"{lost:.2f} V {percent:.1f} %", wire)


def _by_opening(job: Assessment, wire: str, metre: float) -> Said | None:
    along = job.faults.along.get(wire)
    if along is None:
        return None
    here = next((one for one in along.stretches if metre <= one.to_m + 1e-9), along.stretches[-1])
    if here.word == NOT_KNOWN:
        return None
    return Said(-WORDS.index(here.word), PATTERNS[here.word], here.word, wire, here.harmed)


__all__ = ["BANDS", "KEYS", "By", "Said", "Teller", "changes", "gravest", "teller"]
