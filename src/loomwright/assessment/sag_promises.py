"""Promises of power: what a customer was told an inverter or load may have, held against the batteries.

A promise holds for every charge and temperature of its bands. The supply is worst at their low ends, so
these decide; what lies between is worked out to say from which charge on the promise is held.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.plan.model import Promise
from loomwright.plan.values import Quantity
from loomwright.tables.batteries import LOW_CHARGE_PCT

from .loads import Port
from .record import Assessment
from .sag import CHARGES_PCT, Sag, SagState, UnderLoad

#: Sums leave dust behind. [ratio]
_DUST = 1e-6


@dataclass(frozen=True)
class PowerPromise:
    """A promised power and what the supply holds.

    Attributes
    ----------
    id, part : str
        The promise, and what is to have the power.
    asked_w : float
        [W]
    states : tuple of SagState
        The ends of its bands and what the table of the load has between them; warm and fullest first.
    sag : Sag or None
        The load in all states of the table.
    """

    id: str
    part: str
    asked_w: float
    states: tuple[SagState, ...]
    sag: Sag | None
    _supply: UnderLoad
    _port: Port

    @property
    def worst(self) -> SagState:
        """The state with the least power."""
        return min(self.states, key=lambda state: state.most_w)

    @property
    def missed(self) -> tuple[SagState, ...]:
        """The states in which the supply does not hold the power."""
        return tuple(one for one in self.states if one.most_w < self.asked_w * (1.0 - _DUST))

    @cached_property
    def held_from_pct(self) -> float | None:
        """The charge from which on it is held at the lowest temperature asked; None if at none. [%]"""
        return self._supply.held_from_pct(self._port, self.asked_w, self.worst.temperature_c)


def power_promises(job: Assessment) -> Iterator[PowerPromise]:
    """Give the promises of power whose part is fed by batteries."""
    for id, promise in job.plan.promises.items():
        if promise.part is None or not isinstance(promise.power, Quantity):
            continue
        port = job.under_load.port_of(promise.part)
        states = _states(job.under_load, promise, port) if port is not None else ()
        if port is not None and states:
            sag = job.under_load.sags.get(promise.part)
            yield PowerPromise(id, promise.part, promise.power.high, states, sag, job.under_load, port)


def _states(supply: UnderLoad, promise: Promise, port: Port) -> tuple[SagState, ...]:
    charge, air = promise.charge, promise.temperature
    low, high = (
        (100.0 * charge.low, 100.0 * charge.high) if isinstance(charge, Quantity) else (LOW_CHARGE_PCT, 100.0)
    )
    warm, cold = (
        (air.high, air.low)
        if isinstance(air, Quantity)
        else (supply.temperatures_c[0], supply.temperatures_c[-1])
    )
    charges = sorted({low, high, *(pct for pct in CHARGES_PCT if low < pct < high)}, reverse=True)
    airs = sorted({warm, cold, *(c for c in supply.temperatures_c if cold < c < warm)}, reverse=True)
    found = (supply.state(port, pct, celsius) for celsius in airs for pct in charges)
    return tuple(state for state in found if state is not None)


__all__ = ["PowerPromise", "power_promises"]
