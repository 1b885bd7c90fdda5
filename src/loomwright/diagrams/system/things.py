"""What the system sheet is made of: things in five fields, and lines between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwright.plan.model import Part

#: The fields, from the left.
SOURCES, CHARGING, STORE, SHARED, USED = range(5)


@dataclass(frozen=True, slots=True)
class Thing:
    """A part as the sheet shows it; `joint` is the run whose loads are joined there, instead of a part."""

    id: str
    field: int
    part: Part | None
    order: int
    wired: bool = True
    words: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        """Kind of the part, "joint" for a place where a run parts."""
        return self.part.kind if self.part else "joint"


@dataclass(frozen=True, slots=True)
class Tip:
    """Where a line ends: the thing, and the wire that arrives there."""

    thing: str
    wire: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the sheet, in the way of the energy or of the signal.

    Attributes
    ----------
    start : str
        The thing it comes from.
    tips : tuple of Tip
        Where it ends; several for a run whose loads are joined.
    wires : tuple of str
        Ids of the pieces in it, from the start on; empty for the maker's own cable.
    through : tuple of str
        Parts told in words.
    control : bool
        A signal, a coil or a panel's output.
    both_ways : bool
        Energy goes either way, by who charges.
    order : int
        Its place in the plan.
    """

    start: str
    tips: tuple[Tip, ...]
    wires: tuple[str, ...]
    through: tuple[str, ...] = ()
    control: bool = False
    both_ways: bool = False
    order: int = 0


@dataclass(frozen=True, slots=True)
class Graph:
    """All things by id, all lines between them; `facts` keeps the words of things that were asked for."""

    things: Mapping[str, Thing]
    lines: tuple[Line, ...]
    facts: dict[str, tuple[str, ...]] = field(default_factory=dict, compare=False, repr=False)
