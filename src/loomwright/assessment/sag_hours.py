"""How long full batteries give a large load its full power: Peukert at that one current.

Batteries of a bank are taken to empty together, each by its capacity: the one that lags behind gives less.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.circuit.discharge import FASTEST_H, RATED_H, hours_at
from loomwright.plan.values import Quantity
from loomwright.steps import Given, Step
from loomwright.tables.battery_states import PEUKERT, PEUKERT_SOURCE

from .banks_states import chemistry_of, string_of
from .inputs import TYPED
from .loads import count_of
from .record import Assessment
from .sag import Sag


@dataclass(frozen=True, slots=True)
class Lasts:
    """Full power from full batteries.

    Attributes
    ----------
    amps, capacity_ah : float
        All together. [A, Ah]
    hours : float
        Until they are empty; no more than that if `at_most`: the current is above what Peukert covers. [h]
    at_most : bool
    steps : tuple of Step
        The sum.
    """

    amps: float
    capacity_ah: float
    hours: float
    at_most: bool
    steps: tuple[Step, ...]

    @property
    def ah(self) -> float:
        """What they give until then. [Ah]"""
        return self.amps * self.hours


def lasts_at_full_power(job: Assessment, sag: Sag) -> Lasts | None:
    """Return how long full and warm batteries give a load its full power; None if nobody knows.

    Below the rated current the rated capacity counts; above the current of an hour no law is at hand, and
    the rated capacity is the most that there can be.
    """
    parts, state = job.wiring.parts, sag.states[0]
    lower = {id for battery in sag.batteries for id in string_of(job.wiring, battery)[1:]}
    tops = [id for id in sag.batteries if id not in lower]
    sizes = [_capacity(job, id) for id in tops]
    known = [size for size in sizes if size is not None]
    if state.amps is None or not known or len(known) < len(sizes):
        return None
    capacity, amps = sum(known), state.amps
    exponents = [_exponent(job, id) for id in tops]
    k = max(exponents)
    source = TYPED if all(isinstance(parts[id].peukert, Quantity) for id in tops) else PEUKERT_SOURCE
    given = (Given("C", capacity, "Ah"), Given("I", amps, "A"))
    if capacity / RATED_H <= amps <= capacity / FASTEST_H and 1.0 <= k <= 1.6:
        hours = hours_at(capacity, amps, k)
        inputs = (*given, Given("H", RATED_H, "h"), Given("k", k, ""))
        step = Step("t", "H * (C / (I * H)) ** k", inputs, hours, "h", source, "at full power, to empty")
        return Lasts(amps, capacity, hours, False, (step,))
    hours = capacity / amps
    above = amps > capacity / FASTEST_H
    says = "at full power, at the most" if above else "at full power, to empty"
    return Lasts(amps, capacity, hours, above, (Step("t", "C / I", given, hours, "h", None, says),))


def _capacity(job: Assessment, battery: str) -> float | None:
    """Return the capacity of a battery, `count` alike side by side together, None if nobody knows. [Ah]"""
    part = job.wiring.parts[battery]
    if not isinstance(part.capacity, Quantity):
        return None
    return part.capacity.low * (1 if part.joined == "series" else count_of(part))


def _exponent(job: Assessment, battery: str) -> float:
    part = job.wiring.parts[battery]
    return part.peukert.high if isinstance(part.peukert, Quantity) else PEUKERT[chemistry_of(part)].high


__all__ = ["Lasts", "lasts_at_full_power"]
