"""What alternators have to spare when hot and at idle, beside what the camper takes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.values import Quantity
from loomwright.steps import Given, Step
from loomwright.tables.alternators import (
    ALTERNATOR_SOURCE,
    HOT_SHARE,
    IDLE_SHARE,
    OWN_DRIVING_A,
    OWN_IDLE_A,
)
from loomwright.units import Band

from .charging_least import HALF_PCT
from .charging_taken import driven_charges
from .record import Assessment
from .sources import battery_class
from .vehicle_side import alternator_loads


@dataclass(frozen=True, slots=True)
class Spare:
    """An alternator of stated current.

    Attributes
    ----------
    alternator : str
    rated_a : float
        [A]
    takes_a : mapping of str to float
        What the camper takes of it, by charger, relay or load, house batteries half empty. [A]
    hot_a, idle_a : Band
        What it gives beside what the vehicle needs: when hot, driving, and at idle. [A]
    steps : tuple of Step
        The sums, at their best.
    """

    alternator: str
    rated_a: float
    takes_a: Mapping[str, float]
    hot_a: Band
    idle_a: Band
    steps: tuple[Step, ...]

    @property
    def amps(self) -> float:
        """The sum of what is taken. [A]"""
        return sum(self.takes_a.values())


def spares(job: Assessment) -> Iterator[Spare]:
    """Give the alternators of stated current that something of the camper takes from.

    A DC-DC in the place of one is left out: what its vehicle needs of it is not known.
    """
    loads = {one.alternator: dict(one.takes_a) for one in alternator_loads(job)}
    for charge in driven_charges(job):
        taken = next((one.amps for one in charge.taken if one.charge_pct == HALF_PCT), 0.0)
        kind = job.wiring.parts[charge.part].kind if charge.part in job.wiring.parts else ""
        if charge.alternator and kind != "b2b":  # what a charger takes at its input is in the loads
            loads.setdefault(charge.alternator, {})[charge.part] = taken
    for id, takes in loads.items():
        part = job.wiring.parts[id]
        if isinstance(part.current, Quantity) and takes and part.form != "dc_dc":
            yield _spare(job, id, part.current.low, takes)


def _spare(job: Assessment, id: str, rated_a: float, takes: Mapping[str, float]) -> Spare:
    charges = job.wiring.parts[id].charges
    scale = 12.0 / (battery_class(job.wiring, charges) if charges else 12.0)
    driving, idle = OWN_DRIVING_A.times(scale), OWN_IDLE_A.times(scale)
    hot, slow = HOT_SHARE, IDLE_SHARE
    hot_a = Band(max(hot * rated_a - driving.high, 0.0), max(hot * rated_a - driving.low, 0.0))
    idle_a = Band(max(slow.low * rated_a - idle.high, 0.0), max(slow.high * rated_a - idle.low, 0.0))
    steps = (
        _step("I_hot", hot, rated_a, driving.low, hot_a.high, "hot, driving, with few lights and fans on"),
        _step("I_idle", slow.high, rated_a, idle.low, idle_a.high, "at idle, with little on"),
    )
    return Spare(id, rated_a, takes, hot_a, idle_a, steps)


def _step(symbol: str, share: float, rated_a: float, own_a: float, value: float, says: str) -> Step:
    given = (Given("k", share, ""), Given("I_r", rated_a, "A"), Given("I_own", own_a, "A"))
    return Step(symbol, "max(k * I_r - I_own, 0)", given, value, "A", ALTERNATOR_SOURCE, f"to spare {says}")


__all__ = ["Spare", "spares"]
