"""A panel behind a series regulator (PWM): held at its battery's volts, it gives its current there.

What a panel has in volts above the battery is lost; a panel whose best point lies far above gives no more for
it. Current and power come from the label: what the plan says of the best point and of the panel shorted, else
usual volts of a panel made for 12 V.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.energy.curve import Curve, current_a
from loomwright.energy.panels import Output
from loomwright.energy.sun import Floats
from loomwright.plan.values import Quantity
from loomwright.tables.appliances import APPLIANCE_SOURCE, USUAL_PANEL_V
from loomwright.tables.solar import DAY_CELL_C, HELD_LOST_V, SUNNY_V

from ..loads import count_of
from ..record import Assessment
from .stores import Store

_STANDARD_W_M2 = np.array(1000.0)


@dataclass(frozen=True, slots=True)
class Held:
    """A panel, or several alike, held at a voltage.

    Attributes
    ----------
    curve : Curve
        Of all of them together, as they are joined.
    volts : float
        [V]
    unknown : tuple of str
        Fields of the plan that were guessed at.
    """

    curve: Curve
    volts: float
    unknown: tuple[str, ...]

    @property
    def day_a(self) -> float:
        """What it gives in full sun with the cells as warm as they usually are by day. [A]"""
        return float(current_a(self.curve, _STANDARD_W_M2, np.array(DAY_CELL_C), self.volts))

    def hours_a(self, out: Output) -> Floats:
        """Return what it gives in each hour. [A]"""
        return current_a(self.curve, out.light_w_m2, out.cell_c, self.volts)


def is_held(job: Assessment, regulator: str) -> bool:
    """Say whether a regulator holds its panels at the battery's volts."""
    part = job.wiring.parts.get(regulator)
    return part is not None and part.regulation == "pwm"


def held_v(job: Assessment, store: Store) -> float:
    """Return the volts at the panels of a tank that is charged by day. [V]"""
    lithium = job.wiring.parts[store.id].chemistry == "lifepo4"
    per_12v = store.volts / (12.8 if lithium else 12.0)
    return (SUNNY_V["lifepo4" if lithium else "lead"] + HELD_LOST_V) * per_12v


def held_of(job: Assessment, panel: str, store: Store) -> Held | None:
    """Return a panel held at the volts of its tank; None if neither power nor current is known."""
    part, inputs = job.wiring.parts[panel], job.under_load.inputs
    count, unknown = count_of(part), []
    power = count * inputs.end(part.power, f"parts.{panel}.power", worse="low") if isinstance(
        part.power, Quantity
    ) else None  # fmt: skip
    amps = None
    if isinstance(part.working_current, Quantity):
        amps = inputs.end(part.working_current, f"parts.{panel}.working_current", worse="low")
    in_row = count if part.joined == "series" else 1
    if isinstance(part.working_volts, Quantity):
        volts = in_row * inputs.end(part.working_volts, f"parts.{panel}.working_volts")
    elif power is not None and amps:
        volts = power / amps
    else:
        pick = inputs.pick(None, USUAL_PANEL_V, f"parts.{panel}.working_volts", APPLIANCE_SOURCE)
        volts = in_row * pick.value
        unknown += [pick.unknown] if pick.unknown else []
    if amps is None:
        amps = power / volts if power is not None else None
    if not amps or volts <= 0.0:
        return None
    shorted = part.short_current.mid if isinstance(part.short_current, Quantity) else None
    shorted = shorted if shorted is not None and shorted > 1.005 * amps else None
    return Held(Curve(vmp_v=volts, imp_a=amps, isc_a=shorted), held_v(job, store), tuple(unknown))


__all__ = ["Held", "held_of", "held_v", "is_held"]
