"""A battery with a heat pad in its box, hour by hour: how warm it is, and what the pad takes.

The pad adds its heat to what the place makes of the battery; that excess is lost again with the time constant
of the box. The pad works like a thermostat: on while the battery is colder than wanted, with what of its
power is needed to reach that within the hour, and only as far as something charges: it is fed by the charge,
not by the battery.

Source: a lumped mass with a heat loss (Newton's law of cooling), solved exactly within each hour.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.energy.standard_year import HOURS
from loomwright.energy.sun import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Padded:
    """A battery with its pad.

    Attributes
    ----------
    pad_w : float
        [W]
    heat_wh_per_c : float
        What warms the battery by one degree. [Wh/°C]
    lag_h : float
        Time constant of the box against the air. [h]
    wanted_c : float
        The pad is off above. [°C]
    """

    pad_w: float
    heat_wh_per_c: float
    lag_h: float
    wanted_c: float


def warmed(one: Padded, alone_c: Floats, spare_w: Floats) -> tuple[Floats, Floats]:
    """Return how warm the battery is at the end of each hour, and what the pad takes in it.

    Parameters
    ----------
    one : Padded
    alone_c : ndarray, shape (count, 8760)
        How warm the battery is without the pad. [°C]
    spare_w : ndarray, shape (count, 8760) or (1, 8760)
        What charges and could feed the pad. [W]

    Returns
    -------
    tuple of 2 ndarray, shape (count, 8760)
        [°C, W]
    """
    keeps = float(np.exp(-1.0 / one.lag_h))
    #: Degrees at the end of the hour for each watt all through it.
    per_w = one.lag_h / one.heat_wh_per_c * (1.0 - keeps)
    spare = np.broadcast_to(spare_w, alone_c.shape)
    celsius, watts = np.empty_like(alone_c), np.empty_like(alone_c)
    excess = np.zeros(len(alone_c))
    for t in range(HOURS):
        excess = excess * keeps
        asked = np.clip((one.wanted_c - alone_c[:, t] - excess) / per_w, 0.0, one.pad_w)
        watts[:, t] = np.minimum(asked, np.maximum(spare[:, t], 0.0))
        excess = excess + per_w * watts[:, t]
        celsius[:, t] = alone_c[:, t] + excess
    return celsius, watts


__all__ = ["Padded", "warmed"]
