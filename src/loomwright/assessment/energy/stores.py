"""The house batteries as tanks of ampere-hours: what hangs together, and what may be taken out of each.

Batteries in series make levels: the same current fills and empties all of them, but a load tapped from the
middle takes from one alone. Batteries side by side are one tank.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Curve, Quantity
from loomwright.source import Source
from loomwright.steps import Given, Step, looked_up
from loomwright.tables.battery_energy import (
    COLD_SOURCE,
    EFFICIENCY,
    EFFICIENCY_SOURCE,
    USABLE,
    USABLE_SOURCE,
    capacity_share,
)
from loomwright.tables.lookup import between

from ..banks_states import chemistry_of, points_of, string_of
from ..inputs import TYPED
from ..joined import groups
from ..loads import count_of
from ..record import Assessment
from ..sources import UNSAID_CAPACITY_AH, posts_volts
from ..states import neighbours


@dataclass(frozen=True, slots=True)
class Store:
    """House batteries that fill and empty together.

    Attributes
    ----------
    id : str
        The first of them.
    levels : tuple of tuple of str
        From the top of the series down; the batteries of a level stand side by side.
    volts : float
        Between its posts while it gives. [V]
    """

    id: str
    levels: tuple[tuple[str, ...], ...]
    volts: float

    @property
    def batteries(self) -> tuple[str, ...]:
        """All of them."""
        return tuple(id for level in self.levels for id in level)


@dataclass(frozen=True, slots=True)
class Usable:
    """What may be taken out of one level, from full. [Ah]"""

    level: tuple[str, ...]
    ah: float
    temperature_c: float | None
    steps: tuple[Step, ...]
    unknown: tuple[str, ...]


def stores_of(job: Assessment) -> tuple[Store, ...]:
    """Return the tanks of a van, the largest first; the vehicle's own battery is none of them."""
    wiring = job.wiring
    houses = [id for id, part in wiring.parts.items() if part.kind == "battery"]
    strings = {id: string_of(wiring, id) for id in houses}
    below = {id for string in strings.values() for id in string[1:]}
    group = groups(neighbours(wiring, job.standing.closed))
    tanks: dict[object, list[tuple[str, ...]]] = {}
    for top in houses:
        if top not in below:
            tanks.setdefault(group.get(f"{top}.plus", top), []).append(strings[top])
    stores = [_store(job, strings) for strings in tanks.values()]
    return tuple(sorted(stores, key=lambda one: -sum(capacity_of(job, id)[0] for id in one.levels[0])))


def _store(job: Assessment, strings: list[tuple[str, ...]]) -> Store:
    depth = max(map(len, strings))
    levels = tuple(tuple(string[k] for string in strings if k < len(string)) for k in range(depth))
    return Store(strings[0][0], levels, sum(posts_volts(job.wiring, id) for id in strings[0]))


def capacity_of(job: Assessment, battery: str) -> tuple[float, bool]:
    """Return the capacity of a battery, `count` alike side by side as one, and True if it is stated. [Ah]"""
    part = job.wiring.parts[battery]
    count = 1 if part.joined == "series" else count_of(part)
    if isinstance(part.capacity, Quantity):
        field = f"parts.{battery}.capacity"
        return count * job.under_load.inputs.end(part.capacity, field, worse="low"), True
    return count * UNSAID_CAPACITY_AH, False


def usable_of(job: Assessment, level: tuple[str, ...], temperature_c: float | None) -> Usable:
    """Return what may be taken out of a level of batteries at a temperature; None: they are warm. [Ah]"""
    steps: list[Step] = []
    unknown: list[str] = []
    for battery in level:
        part, inputs = job.wiring.parts[battery], job.under_load.inputs
        capacity, stated = capacity_of(job, battery)
        band = USABLE[chemistry_of(part)]
        usable = inputs.pick(
            part.usable, (band.low, band.high), f"parts.{battery}.usable", USABLE_SOURCE, worse="low"
        )
        cold, source = cold_share(part, temperature_c)
        unknown += [usable.unknown] if usable.unknown else []
        unknown += [] if stated else [f"parts.{battery}.capacity"]
        given = [Given("C", capacity, "Ah"), Given("u", usable.value, "")]
        says, formula, value = f"{battery}: usable", "C * u", capacity * usable.value
        if cold != 1.0 and temperature_c is not None:
            given.append(Given("k", cold, ""))
            formula, value, says = "C * u * k", value * cold, f"{battery}: usable at {temperature_c:.0f} °C"
        told = source if cold != 1.0 else usable.source
        steps.append(Step("Q_u", formula, tuple(given), value, "Ah", told, says))
    total = sum(step.value for step in steps)
    return Usable(level, total, temperature_c, tuple(steps), tuple(unknown))


def cold_share(part: Part, temperature_c: float | None) -> tuple[float, Source]:
    """Return what is left of a battery's capacity at a temperature: as the plan states, else usual."""
    if temperature_c is None:
        return 1.0, TYPED
    if isinstance(part.capacity_at, Curve):
        only = part.capacity_at.only()
        if isinstance(only, Quantity):
            return only.low, TYPED
        if typed := points_of(part.capacity_at):
            return between(tuple(typed), temperature_c), TYPED
    return capacity_share(chemistry_of(part), temperature_c), COLD_SOURCE


def efficiency_of(job: Assessment, store: Store) -> Step:
    """Return the ampere-hours that come out of a tank for each that went in."""
    part = job.wiring.parts[store.id]
    usual, field = EFFICIENCY[chemistry_of(part)].mid, f"parts.{store.id}.charge_efficiency"
    inputs = job.under_load.inputs
    pick = inputs.pick(part.charge_efficiency, (usual, usual), field, EFFICIENCY_SOURCE, worse="low")
    return looked_up("η", pick.value, "", pick.source, "Ah out per Ah in")


__all__ = ["Store", "Usable", "capacity_of", "cold_share", "efficiency_of", "stores_of", "usable_of"]
