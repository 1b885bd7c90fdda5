"""The first seconds: what flows when batteries of different charge are joined, and when motors start.

For some seconds after a contact closes nothing but resistance holds the current: the volts apart over both
batteries and all between them. A contact makes some times what it carries for good; above that it may weld.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.circuit.banks import equalising_a
from loomwright.plan.values import Quantity
from loomwright.steps import Given, Step
from loomwright.tables.alternators import MAKES_TIMES
from loomwright.tables.batteries import LOW_CHARGE_PCT

from .banks_states import WARM_C, ohm_in_state, resting_v, string_of
from .charging_least import phases_of
from .inputs import Corner, Inputs
from .record import Assessment
from .starting import starts_in_passages
from .states import Link
from .sums import OHMS_LAW

#: A load that takes this long to start is no inrush. [s]
_LONG_S = 10.0


@dataclass(frozen=True, slots=True)
class Inrush:
    """The first current through a contact.

    Attributes
    ----------
    part : str
        What closes.
    by : tuple of str
        The two batteries, or the load that starts.
    amps : float
        [A]
    rating_a : float or None
        What the contact carries for good; None if nobody says. [A]
    makes_a : float or None
        What it makes without welding. [A]
    volts : tuple of float or None
        Of the two batteries before. [V]
    steps : tuple of Step
        The sums.
    """

    part: str
    by: tuple[str, ...]
    amps: float
    rating_a: float | None
    makes_a: float | None
    volts: tuple[float, float] | None
    steps: tuple[Step, ...]


def inrushes(job: Assessment) -> Iterator[Inrush]:
    """Give the first current through each link between batteries, and through contacts that start a motor."""
    for link in job.standing.links:
        if not link.diode_v and (found := _joins(job, link)) is not None:
            yield found
    for one in starts_in_passages(job):
        if one.seconds < _LONG_S and one.passage.what == "contact":
            makes = MAKES_TIMES * one.passage.rating_a
            yield Inrush(one.passage.part, (one.load,), one.amps, one.passage.rating_a, makes, None, ())


def _joins(job: Assessment, link: Link) -> Inrush | None:
    """Return what flows when a link closes: the alternator's volts, or a full battery, against a low one."""
    loop = job.under_load.link_ohm(link)
    if loop is None:
        return None
    inputs, wiring = Inputs(job.plan, Corner.LEAST), job.wiring
    strings = {id: string_of(wiring, id) for id in (link.vehicle, link.house)}
    low_v, full_v = (
        {id: sum(resting_v(wiring, one, pct) for one in string) for id, string in strings.items()}
        for pct in (LOW_CHARGE_PCT, 100.0)
    )
    charging = max(
        (phase.volts for phase in phases_of(job.wiring, job.under_load.inputs, link.vehicle)[0]), default=0.0
    )
    vehicle_v = max(charging, full_v[link.vehicle]) if link.charges else full_v[link.vehicle]
    pairs = [(vehicle_v, low_v[link.house]), (full_v[link.house], low_v[link.vehicle])]
    high, low = max(pairs, key=lambda pair: pair[0] - pair[1])
    ohms = [loop]
    for string in strings.values():
        ohms.append(sum(ohm_in_state(wiring, inputs, one, LOW_CHARGE_PCT, WARM_C) for one in string))
    amps = equalising_a(high, low, sum(ohms))
    rating = wiring.parts[link.part].rating
    rating_a = rating.low if isinstance(rating, Quantity) else None
    names = ("R", "R_1", "R_2")
    step = Step(
        "I",
        "max(U_1 - U_2, 0) / (R + R_1 + R_2)",
        (
            Given("U_1", high, "V"),
            Given("U_2", low, "V"),
            *(Given(name, ohm, "Ω") for name, ohm in zip(names, ohms, strict=True)),
        ),
        amps,
        "A",
        OHMS_LAW,
        "for seconds, through both batteries and all between them",
    )
    makes = None if rating_a is None else MAKES_TIMES * rating_a
    return Inrush(link.part, (link.vehicle, link.house), amps, rating_a, makes, (high, low), (step,))


__all__ = ["Inrush", "inrushes"]
