"""What bands are held in: a figure at the least, typically and at the most; all of one van."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from .inputs import Unsure

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Expected:
    """What a figure may be: at the least, typically, at the most."""

    low: float
    typical: float
    high: float

    def reaching(self, low: float, high: float) -> Expected:
        """Return the band with its ends at least so far apart."""
        return Expected(min(self.low, low), self.typical, max(self.high, high))

    def times(self, low: float, high: float) -> Expected:
        """Return the band with its ends drawn out by factors, one below 1 and one above."""
        return Expected(min(self.low * low, self.low), self.typical, max(self.high * high, self.high))


Figures = Mapping[str, Expected | None]


@dataclass(frozen=True, slots=True)
class Bands:
    """The bands of one van's figures, by thing and by the name that each figure has in `check --json`.

    Attributes
    ----------
    wires, circuits, studs, batteries : mapping
        None for a figure that is not to be had at every end.
    dips : mapping
        By circuit and the load that starts. [V]
    unsure : mapping
        What is not known exactly, by field.
    tried : frozenset of str
        Wires, studs and batteries whose current has several ways.
    """

    wires: Mapping[str, Figures]
    circuits: Mapping[str, Figures]
    studs: Mapping[str, Figures]
    batteries: Mapping[str, Figures]
    dips: Mapping[tuple[str, str], Expected]
    unsure: Mapping[str, Unsure] = field(default_factory=dict)
    tried: frozenset[str] = frozenset()
