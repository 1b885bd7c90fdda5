"""Fuses that sit, are made or are named wrongly: another place, other volts, a rating that there is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from loomwright.plan.edit import Edit
from loomwright.plan.values import Fuse, Quantity
from loomwright.protection.fusing import FILL, usual_type, volts_of
from loomwright.rules.finding import Finding
from loomwright.tables.fuses import FUSE_TYPES

from .candidate import Base, Candidate, change
from .fuses import fuse_data, pieces_of


def for_far_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the fuse moved to its source: no distance is left to type."""
    for at, fuses in _typed(base, finding.where):
        moved = tuple(replace(fuse, distance=None) for fuse in fuses)
        yield change(f"the fuse of {finding.where} moved to its source", Edit(at, fuse_data(moved)))


def for_low_volts(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the same fuse made for the volts that its type is made for as a rule."""
    for at, fuses in _typed(base, finding.where):
        if not any(isinstance(fuse.voltage, Quantity) for fuse in fuses):
            continue
        known = volts_of(fuses[0].type or usual_type(_rating(fuses[0])))
        if known is not None and known[0].low >= (finding.value or 0.0):
            made = f"{known[0].low:g} V"
            volts = Quantity(known[0].low, known[0].low, "V", made)
            others = tuple(replace(fuse, voltage=volts) for fuse in fuses)
            yield change(
                f"a fuse made for {made} in place of that of {finding.where}", Edit(at, fuse_data(others))
            )


def for_rating_not_made(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the ratings of the type that load and cable allow, the nearest first."""
    wires = pieces_of(base, finding.where)
    current = max((wire.current_a or 0.0 for wire in wires), default=0.0)
    cable = min((wire.rating_a or 0.0 for wire in wires), default=float("inf"))
    for at, fuses in _typed(base, finding.where):
        kind = FUSE_TYPES.get(fuses[0].type or "")
        old = _rating(fuses[0])
        fit = [r for r in (kind.ratings_a if kind is not None else ()) if current <= FILL * r and r <= cable]
        for rating in sorted(fit, key=lambda rating: abs(rating - old))[:3]:
            others = tuple(
                replace(fuse, rating=Quantity(rating, rating, "A", f"{rating:g} A")) for fuse in fuses
            )
            says = f"a {rating:g} A fuse in place of the {old:g} A of {finding.where}"
            yield change(says, Edit(at, fuse_data(others)))


def turned_round(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a breaker the other way round."""
    yield from _marked(base, finding, {"from": "to", "to": "from"}, "the breaker of {} turned round")


def both_ways(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a breaker that breaks both ways."""
    ways = dict.fromkeys(("from", "to", "unknown"), "none")
    yield from _marked(base, finding, ways, "a breaker for {} that breaks both ways")


def _marked(base: Base, finding: Finding, marks: Mapping[str, str], says: str) -> Iterator[Candidate]:
    for at, fuses in _typed(base, finding.where):
        old = [fuse.plus_mark if isinstance(fuse.plus_mark, str) else "unknown" for fuse in fuses]
        others = tuple(
            replace(fuse, plus_mark=marks.get(mark, "none")) for fuse, mark in zip(fuses, old, strict=True)
        )
        if any(mark in marks for mark in old):
            yield change(says.format(finding.where), Edit(at, fuse_data(others)))


def smaller_ratings(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the smaller ratings of the fuses of a run that its load still allows, the largest first."""
    wires = pieces_of(base, finding.where)
    current = max((fuse.lasting_a or 0.0 for wire in wires for fuse in wire.fuses), default=0.0)
    for at, fuses in _typed(base, finding.where):
        old = _rating(fuses[0])
        kind = FUSE_TYPES.get(fuses[0].type or usual_type(old))
        fit = [r for r in (kind.ratings_a if kind is not None else ()) if current <= FILL * r and r < old]
        for rating in fit[::-1][:4]:
            others = tuple(
                replace(fuse, rating=Quantity(rating, rating, "A", f"{rating:g} A")) for fuse in fuses
            )
            says = f"a {rating:g} A fuse in place of the {old:g} A of {finding.where}"
            yield change(says, Edit(at, fuse_data(others)))


def _typed(base: Base, where: str) -> Iterator[tuple[str, tuple[Fuse, ...]]]:
    """Give the fuses typed for a run, or before the ways of a box, and where they are typed."""
    plan = base.assessment.plan
    if where in plan.wiring:
        at, fuses = f"wiring.{where}.fuse", plan.wiring[where].fuse
    elif where in plan.parts:
        at, fuses = f"parts.{where}.main_fuse", plan.parts[where].main_fuse
    else:
        return
    if isinstance(fuses, tuple) and fuses:
        yield at, fuses


def _rating(fuse: Fuse) -> float:
    return fuse.rating.high if isinstance(fuse.rating, Quantity) else 0.0


__all__ = [
    "both_ways",
    "for_far_fuse",
    "for_low_volts",
    "for_rating_not_made",
    "smaller_ratings",
    "turned_round",
]
