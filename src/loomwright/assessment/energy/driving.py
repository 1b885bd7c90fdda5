"""What the drives of a season bring to a tank, spread over the days of its week."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.calendar import DAYS
from loomwright.plan.model import Season
from loomwright.plan.values import Drive, Quantity
from loomwright.steps import Given, Step

from ..charging_taken import driven_charges
from ..record import Assessment
from .stores import Store

_S_PER_H = 3600.0
_WEEK = 7.0
#: Days of the week by their common name, Monday 0; a named day is one.
_TOGETHER = {"daily": range(7), "weekdays": range(5), "weekends": range(5, 7)}


@dataclass(frozen=True, slots=True)
class Brings:
    """What a link or charger brings in an hour's drive. [Ah]"""

    part: str
    store: str
    ah_per_h: float
    unknown: tuple[str, ...]


def brings(job: Assessment, stores: tuple[Store, ...]) -> tuple[Brings, ...]:
    """Return what fills each tank while the vehicle is driven; chargers without wires fill the largest."""
    found = []
    for one in driven_charges(job):
        store = next((store.id for store in stores if one.house in store.batteries), "")
        found.append(Brings(one.part, store, one.ah_per_h.low, one.unknown))
    return (*found, *_without_wires(job, stores))


def _without_wires(job: Assessment, stores: tuple[Store, ...]) -> Iterator[Brings]:
    """Give chargers that stand in the plan without wires: they give what they are made for."""
    for id, part in job.wiring.parts.items():
        if part.kind == "b2b" and part.wired is False and stores and isinstance(part.current, Quantity):
            amps = job.under_load.inputs.end(part.current, f"parts.{id}.current", worse="low")
            yield Brings(id, stores[0].id, amps, ())


def driven_h_per_day(season: Season) -> float:
    """Return how long the vehicle is driven in a day of a season, its week's mean. [h]"""
    return sum(len(weekdays_of(drive)) * drive.for_s.low / _S_PER_H for drive in season.drives) / _WEEK


def weekdays_of(drive: Drive) -> tuple[int, ...]:
    """Return the days of the week on which a drive is made, Monday 0."""
    return tuple(_TOGETHER.get(drive.day, ())) or (DAYS.index(drive.day),)


def driven_step(one: Brings, hours: float) -> Step:
    """Return what it brings in a day."""
    given = (Given("q", one.ah_per_h, "Ah/h"), Given("t_d", hours, "h"))
    return Step(
        "Q_d", "q * t_d", given, one.ah_per_h * hours, "Ah", None, f"{one.part}: driven, mean of the week"
    )


__all__ = ["Brings", "brings", "driven_h_per_day", "driven_step", "weekdays_of"]
