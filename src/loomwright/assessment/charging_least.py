"""What holds the current of a battery on charge: the network, what it accepts, its limit, the alternator.

Its own volts rise in a straight line with the current, from those at rest to those at its full charging
current. The batteries of a bank count as one with the sum of their limits.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Limit, Quantity
from loomwright.steps import Given, Step
from loomwright.tables.alternators import ALTERNATOR_SOURCE, CONTROLLED_V, HOT_SHARE, OWN_DRIVING_A
from loomwright.tables.battery_states import RISE_SOURCE, TAPER_SOURCE, accepts, charging_rise_v

from . import bands
from .banks_states import chemistry_of, resting_v, string_of
from .chargers import output_volts
from .inputs import Inputs
from .sources import UNSAID_CAPACITY_AH, battery_class

#: The charge that counts for an hour's drive. [%]
HALF_PCT = 50.0
_HOUR_S = 3600.0
#: Charge is summed in such slices. [%]
_SLICE_PCT = 0.5


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


# --- the battery-----------------------------------------------------------------------------------


def charge_limit(wiring: Wiring, inputs: Inputs, battery: str) -> float:
    """Return the largest charging current of a battery: stated, else its chemistry's usual. [A]"""
    part = wiring.parts[battery]
    capacity = part.capacity.high if isinstance(part.capacity, Quantity) else 100.0
    low, high, source = bands.charge_limit(str(part.chemistry or "unknown"), capacity)
    return inputs.pick(part.charge_limit, (low, high), f"parts.{battery}.charge_limit", source).value


class Supply:
    """What a battery, or a bank of them, takes through a resistance, against volts.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    inputs : Inputs
        Figures at one end of what is unknown.
    bank : tuple of str
        The battery, or all that stand beside it; each may be the top of a string in series.
    loop_ohm : float
        From the posts of what charges it to its own. [Ω]
    spare : float or None
        What the alternator has to spare. [A]
    """

    def __init__(
        self, wiring: Wiring, inputs: Inputs, bank: tuple[str, ...], loop_ohm: float, spare: float | None
    ) -> None:
        self.wiring, self.loop_ohm, self.spare = wiring, loop_ohm, spare
        parts = [wiring.parts[id] for id in bank]
        self.string = string_of(wiring, bank[0])
        self.chemistry = chemistry_of(parts[0])
        self.limit_a = sum(charge_limit(wiring, inputs, id) for id in bank)
        sizes = (
            part.capacity.mid if isinstance(part.capacity, Quantity) else UNSAID_CAPACITY_AH for part in parts
        )
        self.capacity_ah = sum(sizes)
        unsaid = (id for id in bank if not isinstance(wiring.parts[id].charge_limit, Quantity))
        self.unknown = tuple(f"parts.{id}.charge_limit" for id in unsaid)
        nominal_v = sum(battery_class(wiring, id) for id in self.string)
        self.rise_v = charging_rise_v(self.chemistry, nominal_v).mid

    def taken(self, charge_pct: float, volts: float) -> Taken:
        """Return what it takes at a charge: the least of all that holds it. [A]"""
        rests = sum(resting_v(self.wiring, id, charge_pct) for id in self.string)
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


# --- the alternator ----------------------------------------------------------------------------------


def alternator_of(wiring: Wiring, vehicle: str) -> tuple[str, Part | None]:
    """Return the alternator of a vehicle battery."""
    for id, part in wiring.parts.items():
        if part.kind == "alternator" and part.charges in (vehicle, None):
            return id, part
    return "", None


def phases_of(
    wiring: Wiring, inputs: Inputs, vehicle: str, *, worse: str = "low"
) -> tuple[tuple[Phase, ...], tuple[str, ...]]:
    """Return the phases of an hour's drive in their order, and what of them was guessed at.

    `worse`: the end of unknown volts that makes verdicts worse.
    """
    id, part = alternator_of(wiring, vehicle)
    if part is None or not part.output:
        scale = battery_class(wiring, vehicle) / 12.0
        if part is None or part.controlled is not True:
            volts = output_volts(part, wiring.plan) if part is not None else CONTROLLED_V[1] * scale
            return (Phase(volts, 1.0),), ()
        low, high = (volts * scale for volts in CONTROLLED_V)
        pick = inputs.pick(None, (low, high), f"parts.{id}.output", ALTERNATOR_SOURCE, worse=worse)
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


def spare_a(wiring: Wiring, vehicle: str) -> float | None:
    """Return what the alternator of a vehicle battery gives when hot beside what the vehicle needs. [A]"""
    _, part = alternator_of(wiring, vehicle)
    if part is None or not isinstance(part.current, Quantity):
        return None
    if part.form == "dc_dc":
        return part.current.low
    own = OWN_DRIVING_A.low * 12.0 / battery_class(wiring, vehicle)
    return max(HOT_SHARE * part.current.low - own, 0.0)


def hot_a(wiring: Wiring, vehicle: str) -> float | None:
    """Return all that the alternator of a vehicle battery gives when hot, None if nobody says. [A]"""
    _, part = alternator_of(wiring, vehicle)
    if part is None or not isinstance(part.current, Quantity):
        return None
    return part.current.high if part.form == "dc_dc" else HOT_SHARE * part.current.high


__all__ = [
    "HALF_PCT",
    "Phase",
    "Supply",
    "Taken",
    "alternator_of",
    "charge_limit",
    "hot_a",
    "phases_of",
    "spare_a",
]
