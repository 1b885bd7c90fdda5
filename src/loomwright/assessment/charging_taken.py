"""What a battery takes while the vehicle is driven: through a relay or diode, and from a charger.

A battery takes the least of what the network gives against its own volts, what it accepts at its charge, its
limit, and what the alternator has to spare when hot (`charging_least`).

A relay is closed as long as the alternator holds it: for a sensing relay that is while the volts are above
its threshold, after its delay. Bursts on over-run may each be shorter than that delay, or not: so a band.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Limit, Quantity
from loomwright.units import Band

from .chargers import output_volts
from .charging_least import HALF_PCT, Phase, Supply, Taken, alternator_of, phases_of, spare_a
from .conditions import condition
from .joined import banks
from .record import Assessment, CircuitFigure
from .sources import battery_class
from .states import Link

#: States of charge that are looked at. [%]
CHARGES_PCT = (20.0, 50.0, 80.0, 90.0, 100.0)
#: A sensing relay closes and opens at these, where the plan does not say. Common practice. [V per 12 V]
UNSAID_CUT_IN_V, UNSAID_CUT_OUT_V = 13.3, 12.8
_HOUR_S = 3600.0
_WITH_ENGINE = ("engine", "d_plus", "ignition")


@dataclass(frozen=True, slots=True)
class LinkCharge:
    """A link or charger that fills a house battery while the vehicle is driven.

    Attributes
    ----------
    part, house, run : str
        The relay, diode or charger, the battery it fills, and the run that it stands in.
    alternator : str
        "" if the plan has none.
    charge_v : float
        The highest volts that last while it is closed. [V]
    taken : tuple of Taken
        By charge of the battery, at those volts.
    closed_h : Band
        So much of an hour's drive it is closed. [h]
    ah_per_h : Band
        What the half empty battery takes in an hour's drive. [Ah]
    unknown : tuple of str
        Fields of the plan that were guessed at.
    to_full_h : float or None
        How long it has to be closed from half empty to full, all ampere-hours kept; None if it never is. [h]
    """

    part: str
    house: str
    run: str
    alternator: str
    charge_v: float
    taken: tuple[Taken, ...]
    closed_h: Band
    ah_per_h: Band
    unknown: tuple[str, ...]
    to_full_h: float | None


def driven_charges(job: Assessment) -> Iterator[LinkCharge]:
    """Give what fills each house battery while the vehicle is driven."""
    for link in job.standing.links:
        circuit = _circuit(job, link)
        if link.charges and circuit is not None and _is_closed(job, link.part):
            yield _through(job, link, circuit)
    for circuit in job.circuits.values():
        part = job.wiring.parts.get(circuit.feeder)
        if circuit.path == "charging" and part is not None and part.kind == "b2b":
            yield _charger(job, circuit, part)


def _circuit(job: Assessment, link: Link) -> CircuitFigure | None:
    ends = (link.vehicle, link.house)
    circuits = job.circuits.values()
    return next((c for c in circuits if c.path == "charging" and (c.feeder, c.load) == ends), None)


def _is_closed(job: Assessment, part: str) -> bool:
    """Say whether a link is closed while the engine runs; a sensing relay judges by volts."""
    if job.wiring.parts[part].kind in ("sensing_relay", "diode"):
        return True
    figure = job.modes.figure("", {condition("engine"): "running", condition("ignition"): "on"})
    return figure.positions.get(part) in ("on", "closed")


# --- a link ------------------------------------------------------------------------------------------


def _through(job: Assessment, link: Link, circuit: CircuitFigure) -> LinkCharge:
    phases, guessed = phases_of(job.wiring, job.under_load.inputs, link.vehicle)
    closed = list(_closed(job.wiring.parts[link.part], phases, battery_class(job.wiring, link.vehicle)))
    supply = Supply(
        job.wiring,
        job.under_load.inputs,
        _bank(job, link.house),
        circuit.loop_resistance_ohm or 0.0,
        spare_a(job.wiring, link.vehicle),
    )
    lasting = [phase.volts for phase, hours in closed if hours.low > 0.0]
    charge_v = max(lasting or [phase.volts for phase, _ in closed], default=0.0)
    drop = link.diode_v
    hours = Band(sum(band.low for _, band in closed), sum(band.high for _, band in closed))
    amps = [supply.taken(HALF_PCT, phase.volts - drop).amps for phase, _ in closed]
    ah = Band(
        sum(a * band.low for a, (_, band) in zip(amps, closed, strict=True)),
        sum(a * band.high for a, (_, band) in zip(amps, closed, strict=True)),
    )
    alternator, _ = alternator_of(job.wiring, link.vehicle)
    return LinkCharge(
        link.part,
        link.house,
        circuit.wire,
        alternator,
        charge_v,
        tuple(supply.taken(pct, charge_v - drop) for pct in CHARGES_PCT) if charge_v else (),
        hours,
        ah,
        (*guessed, *supply.unknown),
        supply.hours_to_full(charge_v - drop) if charge_v else None,
    )


def _bank(job: Assessment, house: str) -> tuple[str, ...]:
    """Return a battery with those that stand beside it."""
    return next((one for one in banks(job.wiring, job.standing.closed) if house in one), (house,))


def _closed(part: Part, phases: tuple[Phase, ...], nominal_v: float) -> Iterator[tuple[Phase, Band]]:
    """Give the phases in which a link is closed, and for how long in an hour. [h]"""
    if part.kind != "sensing_relay":
        yield from ((phase, Band(phase.hours, phase.hours)) for phase in phases)
        return
    scale = nominal_v / 12.0
    closes = part.cut_in.high if isinstance(part.cut_in, Quantity) else UNSAID_CUT_IN_V * scale
    opens_v = part.cut_out.volts if isinstance(part.cut_out, Limit) else None
    opens = opens_v.high if isinstance(opens_v, Quantity) else UNSAID_CUT_OUT_V * scale
    delay = part.delay.high / _HOUR_S if isinstance(part.delay, Quantity) else 0.0
    held = False
    for phase in phases:
        if phase.volts >= closes and phase.bursts and not held:
            yield phase, Band(0.0, phase.hours)
        elif phase.volts >= closes or (held and phase.volts > opens):
            lasts = phase.hours if held else max(phase.hours - delay, 0.0)
            held = True
            yield phase, Band(lasts, lasts)
        else:
            held = False


# --- a charger ---------------------------------------------------------------------------------------


def _charger(job: Assessment, circuit: CircuitFigure, part: Part) -> LinkCharge:
    """Return what a charger between batteries gives: its current, no more than the battery accepts."""
    vehicle = next((id for id, one in job.wiring.parts.items() if one.kind == "vehicle_battery"), "")
    phases, guessed = phases_of(job.wiring, job.under_load.inputs, vehicle)
    least = part.input_min.high if isinstance(part.input_min, Quantity) else 0.0
    starts, unsaid = _starts_above(part)
    on = [phase for phase in phases if phase.volts >= max(least, starts)]
    hours = min(sum(phase.hours for phase in on), 1.0)
    supply = Supply(job.wiring, job.under_load.inputs, _bank(job, circuit.load), 0.0, None)
    gives = circuit.running_a or 0.0
    taken = tuple(_no_more(supply.taken(pct, float("inf")), gives) for pct in CHARGES_PCT)
    half = next(one.amps for one in taken if one.charge_pct == HALF_PCT)
    alternator, _ = alternator_of(job.wiring, vehicle)
    fields = tuple(f"parts.{circuit.feeder}.start_on" for _ in range(unsaid))
    ah = Band(hours * half, hours * half)
    return LinkCharge(
        circuit.feeder,
        circuit.load,
        circuit.wire,
        alternator,
        output_volts(part, job.plan),
        taken,
        Band(hours, hours),
        ah,
        (*guessed, *supply.unknown, *fields),
        supply.hours_to_full(float("inf"), gives),
    )


def _no_more(taken: Taken, gives_a: float) -> Taken:
    if taken.amps <= gives_a:
        return Taken(taken.charge_pct, taken.amps, taken.held_by, ())
    return Taken(taken.charge_pct, gives_a, "charger", ())


def _starts_above(part: Part) -> tuple[float, bool]:
    """Return above which volts a charger starts, and True if nobody says what it starts on. [V]"""
    volts, known = 0.0, False
    for criterion in part.start_on or ():
        text = str(criterion)
        known = known or text in _WITH_ENGINE or text.startswith("above")
        if text.startswith("above"):
            volts = max(volts, float(text.split()[1]))
    return volts, not known


# --- promises ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ChargePromise:
    """A promised charge by the hour of driving, and what all that charges the house then brings. [Ah]"""

    id: str
    asked_ah: float
    by: tuple[LinkCharge, ...]
    ah_per_h: Band


def charge_promises(job: Assessment) -> Iterator[ChargePromise]:
    """Give the promises of charge while driving."""
    asked = {
        id: promise.charges.high
        for id, promise in job.plan.promises.items()
        if isinstance(promise.charges, Quantity)
    }
    charges = tuple(driven_charges(job)) if asked else ()
    for id, ah in asked.items():
        low, high = (sum(getattr(one.ah_per_h, end) for one in charges) for end in ("low", "high"))
        yield ChargePromise(id, ah, charges, Band(low, high))


__all__ = ["ChargePromise", "LinkCharge", "charge_promises", "driven_charges"]
