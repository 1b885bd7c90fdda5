"""What converters, inverters and chargers still give where they stand: their own curve, their place's heat.

Such a curve stands on a maker's sheet ("full output up to 40 °C, half of it at 60 °C") and is typed as
`derate`; without it nothing is said, since no general one is published.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from loomwright.plan.model import Part
from loomwright.plan.values import Quantity

from .banks_states import points_of
from .mains.ways import reached_appliances
from .sag_promises import power_promises
from .sizes import hottest_c

if TYPE_CHECKING:
    from .record import Assessment

_IN_WATTS = ("inverter", "inverter_charger")


@dataclass(frozen=True, slots=True)
class Derated:
    """A part that gives less where it stands.

    Attributes
    ----------
    part, place : str
    hot_c : float
        The hottest of its place. [°C]
    share : float
        Of its rating that is left.
    rated, asked : float
        Its rating, and the most that is asked of it; 0 where what it gives is all used anyhow. [unit]
    unit : str
        "A" or "W".
    """

    part: str
    place: str
    hot_c: float
    share: float
    rated: float
    asked: float
    unit: str

    @property
    def gives(self) -> float:
        """What it still gives. [unit]"""
        return self.share * self.rated


def derated(job: Assessment) -> Iterator[Derated]:
    """Give the parts whose typed curve leaves them less than their rating at the heat of their place."""
    for id, part in job.wiring.parts.items():
        curve, place = points_of(part.derate), part.place
        in_watts = part.kind in _IN_WATTS
        rating = part.power if in_watts else part.current
        if not curve or place is None or not isinstance(rating, Quantity):
            continue
        hot_c = hottest_c(job.plan, job.plan.places[place])
        at_c, shares = zip(*curve, strict=True)
        share = float(np.interp(hot_c, at_c, shares))
        if share < 1.0:
            asked = _watts(job, id) if in_watts else _amps(job, id, part)
            yield Derated(id, place, hot_c, share, rating.low, asked, "W" if in_watts else "A")


def _watts(job: Assessment, inverter: str) -> float:
    """Return the largest power promised of an inverter, or taken by an appliance wired to it. [W]"""
    promised = [one.asked_w for one in power_promises(job) if one.part == inverter]
    return max([*promised, *reached_appliances(job.mains, inverter).values()], default=0.0)


def _amps(job: Assessment, id: str, part: Part) -> float:
    """Return what the loads behind a converter take with everything on; a charger gives what it has. [A]"""
    own = [one.current_a for one in job.passages if one.part == id]
    return max(own, default=0.0) if part.kind == "converter" else 0.0


__all__ = ["Derated", "derated"]
