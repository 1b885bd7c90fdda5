"""What a battery takes while the vehicle is driven: through a relay or diode, and from a charger.

A battery takes the least of what the network gives against its own volts, what it accepts at its charge, its
limit, and what the alternator has to spare when hot. Its own volts rise in a straight line with the current,
from those at rest to those at its full charging current.

A relay is closed as long as the alternator holds it: for a sensing relay that is while the volts are above
its threshold, after its delay. Bursts on over-run may each be shorter than that delay, or not: so a band.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Limit, Quantity
from loomwright.steps import Given, Step
from loomwright.tables.alternators import (
    ALTERNATOR_SOURCE,
    CONTROLLED_V,
    HOT_SHARE,
    OWN_DRIVING_A,
)
from loomwright.tables.battery_states import RISE_SOURCE, TAPER_SOURCE, accepts, charging_rise_v
from loomwright.units import Band

from .banks_states import chemistry_of, resting_v, string_of
from .chargers import output_volts
from .charging import charge_limit
from .conditions import condition
from .record import Assessment, CircuitFigure
from .sources import UNSAID_CAPACITY_AH, battery_class
from .states import Link

#: States of charge that are looked at, and the one that counts for an hour's drive. [%]
CHARGES_PCT = (20.0, 50.0, 80.0, 90.0, 100.0)
HALF_PCT = 50.0
#: A sensing relay closes and opens at these, where the plan does not say. Common practice. [V per 12 V]
UNSAID_CUT_IN_V, UNSAID_CUT_OUT_V = 13.3, 12.8
_HOUR_S = 3600.0
#: Charge is summed in such slices. [%]
_SLICE_PCT = 0.5
_WITH_ENGINE = ("engine", "d_plus", "ignition")


@dataclass(frozen=True, slots=True)
class Phase:
    """A stretch of an hour's drive: the alternator's volts, how long, and whether it comes in bursts."""

    volts: float
    hours: float
    bursts: bool = False


@dataclass(frozen=True, slots=True)
class Taken:
    """What a battery takes at one charge: the current, what holds it there, the sums. [%, A]

    `held_by` is "network", "acceptance", "limit" or "alternator".
    """

    charge_pct: float
    amps: float
    held_by: str
    steps: tuple[Step, ...]


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


# --- the alternator ----------------------------------------------------------------------------------


def alternator_of(job: Assessment, vehicle: str) -> tuple[str, Part | None]:
    """Return the alternator of a vehicle battery."""
    for id, part in job.wiring.parts.items():
        if part.kind == "alternator" and part.charges in (vehicle, None):
            return id, part
    return "", None


def phases_of(job: Assessment, vehicle: str) -> tuple[tuple[Phase, ...], tuple[str, ...]]:
    """Return the phases of an hour's drive in their order, and what of them was guessed at."""
    id, part = alternator_of(job, vehicle)
    inputs = job.under_load.inputs
    if part is None or not part.output:
        scale = battery_class(job.wiring, vehicle) / 12.0
        if part is None or part.controlled is not True:
            volts = output_volts(part, job.plan) if part is not None else CONTROLLED_V[1] * scale
            return (Phase(volts, 1.0),), ()
        low, high = (volts * scale for volts in CONTROLLED_V)
        pick = inputs.pick(None, (low, high), f"parts.{id}.output", ALTERNATOR_SOURCE, worse="low")
        return (Phase(pick.value, 1.0),), (pick.unknown,) if pick.unknown else ()
    typed = {state: limit for state, limit in part.output.items() if isinstance(limit.volts, Quantity)}
    phases = [_phase(state, limit) for state, limit in typed.items() if state in ("start", "overrun")]
    rest = max(1.0 - sum(phase.hours for phase in phases), 0.0)
    cruise = next((typed[state] for state in ("cruise", "", "tow") if state in typed), None)
    if cruise is not None:
        phases.append(Phase(_volts(cruise), rest))
    phases.sort(key=lambda phase: phase.bursts)
    return tuple(phases), ()


def _phase(state: str, limit: Limit) -> Phase:
    if limit.for_s is not None:
        return Phase(_volts(limit), min(limit.for_s.low / _HOUR_S, 1.0), state == "overrun")
    return Phase(_volts(limit), limit.share.mid if limit.share is not None else 0.0, state == "overrun")


def _volts(limit: Limit) -> float:
    return limit.volts.low if isinstance(limit.volts, Quantity) else 0.0


def spare_a(job: Assessment, vehicle: str) -> float | None:
    """Return what the alternator of a vehicle battery gives when hot beside what the vehicle needs. [A]"""
    _, part = alternator_of(job, vehicle)
    if part is None or not isinstance(part.current, Quantity):
        return None
    if part.form == "dc_dc":
        return part.current.low
    own = OWN_DRIVING_A.low * 12.0 / battery_class(job.wiring, vehicle)
    return max(HOT_SHARE * part.current.low - own, 0.0)


# --- a link ------------------------------------------------------------------------------------------


def _through(job: Assessment, link: Link, circuit: CircuitFigure) -> LinkCharge:
    phases, guessed = phases_of(job, link.vehicle)
    closed = list(_closed(job.wiring.parts[link.part], phases, battery_class(job.wiring, link.vehicle)))
    supply = _Supply(job, link.house, circuit.loop_resistance_ohm or 0.0, spare_a(job, link.vehicle))
    lasting = [phase.volts for phase, hours in closed if hours.low > 0.0]
    charge_v = max(lasting or [phase.volts for phase, _ in closed], default=0.0)
    drop = link.diode_v
    hours = Band(sum(band.low for _, band in closed), sum(band.high for _, band in closed))
    amps = [supply.taken(HALF_PCT, phase.volts - drop).amps for phase, _ in closed]
    ah = Band(
        sum(a * band.low for a, (_, band) in zip(amps, closed, strict=True)),
        sum(a * band.high for a, (_, band) in zip(amps, closed, strict=True)),
    )
    alternator, _ = alternator_of(job, link.vehicle)
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


class _Supply:
    """What one battery takes through a resistance, against volts.

    Parameters
    ----------
    job : Assessment
    house : str
        The battery.
    loop_ohm : float
        From the posts of what charges it to its own. [Ω]
    spare : float or None
        What the alternator has to spare. [A]
    """

    def __init__(self, job: Assessment, house: str, loop_ohm: float, spare: float | None) -> None:
        self.job, self.house, self.loop_ohm, self.spare = job, house, loop_ohm, spare
        part = job.wiring.parts[house]
        self.string = string_of(job.wiring, house)
        self.chemistry = chemistry_of(part)
        self.limit_a = charge_limit(job.wiring, job.under_load.inputs, house)
        self.capacity_ah = part.capacity.mid if isinstance(part.capacity, Quantity) else UNSAID_CAPACITY_AH
        self.unknown = () if isinstance(part.charge_limit, Quantity) else (f"parts.{house}.charge_limit",)
        self.rise_v = charging_rise_v(
            self.chemistry, sum(battery_class(job.wiring, id) for id in self.string)
        ).mid

    def taken(self, charge_pct: float, volts: float) -> Taken:
        """Return what it takes at a charge: the least of all that holds it. [A]"""
        rests = sum(resting_v(self.job.wiring, id, charge_pct) for id in self.string)
        own_ohm = self.rise_v / self.limit_a if self.limit_a > 0.0 else 0.0
        ohm = self.loop_ohm + own_ohm
        network = Step(
            "I_n",
            "max(U - U_0, 0) / (R + r)",
            (
                Given("U", volts, "V"),
                Given("U_0", rests, "V"),
                Given("R", self.loop_ohm, "Ω"),
                Given("r", own_ohm, "Ω"),
            ),
            max(volts - rests, 0.0) / ohm if ohm > 0.0 else float("inf"),
            "A",
            RISE_SOURCE,
            "what the network gives against its volts",
        )
        accepted = accepts(self.chemistry, self.limit_a, self.capacity_ah, charge_pct)
        takes = Step(
            "I_a",
            "table",
            (Given("table", accepted, "A"),),
            accepted,
            "A",
            TAPER_SOURCE,
            f"what it accepts at {charge_pct:g} %",
        )
        found = [("network", network.value), ("limit", self.limit_a), ("acceptance", accepted)]
        given = [Given("I_n", network.value, "A"), Given("I_a", accepted, "A")]
        names = ["I_n", "I_a"]
        if self.spare is not None:
            found.append(("alternator", self.spare))
            given.append(Given("I_h", self.spare, "A"))
            names.append("I_h")
        held_by, amps = min(found, key=lambda one: one[1])
        whole = f"min({', '.join(names)})"
        least = Step("I", whole, tuple(given), amps, "A", None, "the least of these")
        return Taken(charge_pct, amps, held_by, (network, takes, least))

    def hours_to_full(self, volts: float, most_a: float = float("inf")) -> float | None:
        """Return how long it takes from half empty to full, slice by slice; None if it never gets there."""
        hours, ah = 0.0, self.capacity_ah * _SLICE_PCT / 100.0
        for n in range(int((100.0 - HALF_PCT) / _SLICE_PCT)):
            amps = min(self.taken(HALF_PCT + (n + 0.5) * _SLICE_PCT, volts).amps, most_a)
            if amps <= 0.0:
                return None
            hours += ah / amps
        return hours


# --- a charger ---------------------------------------------------------------------------------------


def _charger(job: Assessment, circuit: CircuitFigure, part: Part) -> LinkCharge:
    """Return what a charger between batteries gives: its current, no more than the battery accepts."""
    vehicle = next((id for id, one in job.wiring.parts.items() if one.kind == "vehicle_battery"), "")
    phases, guessed = phases_of(job, vehicle)
    least = part.input_min.high if isinstance(part.input_min, Quantity) else 0.0
    starts, unsaid = _starts_above(part)
    on = [phase for phase in phases if phase.volts >= max(least, starts)]
    hours = min(sum(phase.hours for phase in on), 1.0)
    supply = _Supply(job, circuit.load, 0.0, None)
    gives = circuit.running_a or 0.0
    taken = tuple(_no_more(supply.taken(pct, float("inf")), gives) for pct in CHARGES_PCT)
    half = next(one.amps for one in taken if one.charge_pct == HALF_PCT)
    alternator, _ = alternator_of(job, vehicle)
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


__all__ = [
    "ChargePromise",
    "LinkCharge",
    "Phase",
    "Taken",
    "alternator_of",
    "charge_promises",
    "driven_charges",
    "phases_of",
    "spare_a",
]
