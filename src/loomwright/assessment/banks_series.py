"""Batteries in series that a load between them has brought apart: volts of each when they are charged.

The charger holds the volts of both together. The one that is behind takes all its charging current not far
above its resting volts; the rest lies on the one that is full already, which gasses.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.values import Quantity
from loomwright.steps import Given, Step
from loomwright.tables.batteries import OPEN_CIRCUIT_SOURCE
from loomwright.tables.battery_states import RISE_SOURCE, charging_rise_v

from .banks_states import chemistry_of, resting_v
from .chargers import output_volts
from .circuits import cruising_volts
from .record import Assessment
from .sources import battery_class
from .tapped import Tap, taps

_CHARGERS = ("mains_charger", "b2b", "solar_regulator")


@dataclass(frozen=True, slots=True)
class ChargedApart:
    """What happens when batteries in series are charged after some days with a load between them.

    Attributes
    ----------
    tap : Tap
        The load.
    days : float
        Between one charge and the next. [days]
    behind_ah : float
        What the one has given more. [Ah]
    charge_v, behind_v, ahead_v : float
        What charges both together, and what of it lies on the battery behind and on the other. [V]
    steps : tuple of Step
        The sums.
    """

    tap: Tap
    days: float
    behind_ah: float
    charge_v: float
    behind_v: float
    ahead_v: float
    steps: tuple[Step, ...]


def charged_apart(job: Assessment) -> Iterator[ChargedApart]:
    """Give what charging does to batteries on both sides of a middle that a load hangs on.

    One battery on each side; with days from a promise that names how long the van stands, else one day.
    """
    for tap in taps(job):
        if len(tap.below) != 1 or len(tap.above) != 1 or tap.ah_per_day is None:
            continue
        (behind,), (ahead,) = tap.below, tap.above
        charge_v = charging_volts(job, (behind, ahead))
        capacity = job.wiring.parts[behind].capacity
        if charge_v is None or not isinstance(capacity, Quantity):
            continue
        yield _apart(job, tap, behind, charge_v, capacity.low)


def _apart(job: Assessment, tap: Tap, behind: str, charge_v: float, capacity_ah: float) -> ChargedApart:
    part, days = job.wiring.parts[behind], standing_days(job, tap.load)
    gone = min(days * (tap.ah_per_day or 0.0), capacity_ah)
    left_pct = 100.0 * (1.0 - gone / capacity_ah)
    rests = resting_v(job.wiring, behind, left_pct)
    rise = charging_rise_v(chemistry_of(part), battery_class(job.wiring, behind)).mid
    behind_v = rests + rise
    steps = (
        Step(
            "Q",
            "q * d",
            (Given("q", tap.ah_per_day or 0.0, "Ah"), Given("d", days, "days")),
            days * (tap.ah_per_day or 0.0),
            "Ah",
            None,
            "what the one battery is behind",
        ),
        Step(
            "U_r",
            "table",
            (Given("table", rests, "V"),),
            rests,
            "V",
            OPEN_CIRCUIT_SOURCE,
            f"{left_pct:.0f} %",
        ),
        Step(
            "U_b",
            "U_r + u",
            (Given("U_r", rests, "V"), Given("u", rise, "V")),
            behind_v,
            "V",
            RISE_SOURCE,
            "on the one behind while it takes its full current",
        ),
        Step(
            "U_a",
            "U - U_b",
            (Given("U", charge_v, "V"), Given("U_b", behind_v, "V")),
            charge_v - behind_v,
            "V",
            None,
            "left for the other",
        ),
    )
    return ChargedApart(tap, days, gone, charge_v, behind_v, charge_v - behind_v, steps)


def charging_volts(job: Assessment, batteries: tuple[str, ...]) -> float | None:
    """Return the volts that charge batteries in series, typed ones first; None if nothing does. [V]"""
    nominal = sum(battery_class(job.wiring, id) for id in batteries)
    found: list[tuple[bool, float]] = []
    for part in job.wiring.parts.values():
        if part.kind == "alternator":
            held = cruising_volts(job.wiring, part.charges or "") or output_volts(part, job.plan)
            found.append((part.output is not None, held))
        elif part.kind in _CHARGERS:
            found.append((part.output is not None, output_volts(part, job.plan)))
    fit = [one for one in found if 1.0 <= one[1] / nominal < 1.4]
    return max(fit, default=(False, 0.0))[1] or None


def standing_days(job: Assessment, load: str) -> float:
    """Return how long the van stands between charges: as promised of a season with that load, else a day."""
    promised = [
        promise.days.high
        for promise in job.plan.promises.values()
        if isinstance(promise.days, Quantity)
        and (promise.season is None or load in job.plan.use[promise.season].loads)
    ]
    return max(promised, default=1.0)


__all__ = ["ChargedApart", "charged_apart", "charging_volts", "standing_days"]
