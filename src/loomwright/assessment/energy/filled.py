"""A level of house batteries as a tank: how it fills, what it loses, when cut loads come back."""

from __future__ import annotations

from loomwright.circuit.discharge import FASTEST_H, RATED_H
from loomwright.energy.tank import Tank
from loomwright.plan.values import Quantity
from loomwright.tables.battery_energy import BACK_SHARE, SELF_DISCHARGE
from loomwright.tables.battery_states import PEUKERT, TAIL_SHARE, TAPERS_FROM_PCT

from ..banks_states import chemistry_of
from ..charging_least import charge_limit
from ..record import Assessment
from .stores import Store, capacity_of, efficiency_of

_MONTH_H = 730.0


def tank_of(job: Assessment, store: Store, level: tuple[str, ...]) -> Tank:
    """Return one level of a tank with its charging current and its losses.

    Parameters
    ----------
    job : Assessment
    store : Store
    level : tuple of str
        Its batteries, side by side.
    """
    inputs = job.under_load.inputs
    capacity = sum(capacity_of(job, id)[0] for id in level)
    chemistry = chemistry_of(job.wiring.parts[level[0]])
    limit = sum(charge_limit(job.wiring, inputs, id) for id in level)
    band, peukert = SELF_DISCHARGE[chemistry], job.wiring.parts[level[0]].peukert
    return Tank(
        capacity_ah=capacity,
        efficiency=efficiency_of(job, store).value,
        limit_a=limit,
        taper_from=TAPERS_FROM_PCT[chemistry] / 100.0,
        tail_a=min(TAIL_SHARE[chemistry] * capacity, limit),
        back_ah=BACK_SHARE * capacity,
        rest_a=band.mid * capacity / _MONTH_H,
        rated_a=capacity / RATED_H,
        fastest_a=capacity / FASTEST_H,
        exponent=peukert.mid if isinstance(peukert, Quantity) else PEUKERT[chemistry].mid,
    )


__all__ = ["tank_of"]
