"""The plugs of a van: which wire is on which pin of either half, and what the pin carries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.values import Quantity

from .ends import WireEnd
from .record import Assessment

#: Up to so many pins lie in one row.
ONE_ROW = 3


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin: the wires on the fixed and on the loose half, what it carries and may carry. [A]"""

    number: str
    fixed: tuple[str, ...]
    loose: tuple[str, ...]
    current_a: float | None
    rating_a: float | None

    @property
    def free(self) -> bool:
        """True if no wire is on it."""
        return not (self.fixed or self.loose)


@dataclass(frozen=True, slots=True)
class Plug:
    """One plug and its pins, in their order."""

    id: str
    name: str
    place: str
    pins: tuple[Pin, ...]

    @property
    def rows(self) -> tuple[tuple[Pin, ...], ...]:
        """The pins as they lie in the face of its loose half: in one row up to three, else in two.

        The plan knows their number, not how they lie: the numbers moulded on the plug go before it.
        """
        each = len(self.pins) if len(self.pins) <= ONE_ROW else -(-len(self.pins) // 2)
        return tuple(self.pins[k : k + each] for k in range(0, len(self.pins), each or 1))


def plugs_of(job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]]) -> tuple[Plug, ...]:
    """Return the plugs of a plan in its order.

    Parameters
    ----------
    job : Assessment
    ends : mapping
        As `ends.ends_of` gives them.
    """
    at: dict[str, list[str]] = {}
    for pair in ends.values():
        for end in pair:
            at.setdefault(end.point, []).append(end.wire)
    carried = {one.branch: abs(one.current_a) for one in job.passages if one.what == "plug pin"}
    plugs = []
    for id, part in job.plan.parts.items():
        if part.kind == "plug":
            used = {
                point[len(id) + 1 : -1] for point in at if point.startswith(f"{id}.") and point[-1] in "<>"
            }
            count = part.pins if isinstance(part.pins, int) else 0
            numbers = [str(n) for n in range(1, count + 1)]
            numbers += sorted((one for one in used if one not in numbers), key=lambda one: (len(one), one))
            rating = part.rating.low if isinstance(part.rating, Quantity) else None
            pins = (
                Pin(
                    number,
                    tuple(at.get(f"{id}.{number}<", ())),
                    tuple(at.get(f"{id}.{number}>", ())),
                    _carried(job, carried, f"{id}:{id}.{number}<-{id}.{number}>"),
                    rating,
                )
                for number in numbers
            )
            plugs.append(Plug(id, part.name or id, part.place or "", tuple(pins)))
    return tuple(plugs)


def _carried(job: Assessment, lasting: Mapping[str, float], branch: str) -> float | None:
    """Return the lasting current of a pin; None if nothing is wired to it. [A]"""
    amps = lasting.get(branch, job.branch_a.get(branch))
    return None if amps is None else abs(amps)


__all__ = ["Pin", "Plug", "plugs_of"]
