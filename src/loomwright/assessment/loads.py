"""What takes current in a van: one `Port` per pair of terminals.

A load typed in A is a constant current, in W a constant power, in Ω (or a heater element) a resistance. What
charges, converts or inverts is in `chargers`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Part, Plan
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity, Running, Start
from loomwright.tables.appliances import (
    APPLIANCE_SOURCE,
    USUAL_COIL_A,
    USUAL_RUNNING_A,
    USUAL_SIGNAL_A,
)

from .inputs import Inputs, Pick
from .trailer import earth_of

#: The terminal at which a part that watches or switches takes its own small current.
_SENSES_AT = {"control_panel": "plus", "sensing_relay": "a", "low_voltage_cut": "in"}
#: Heater elements and the like: their current follows the volts.
_RESISTIVE_KINDS = ("absorption_fridge", "heat_mat")
#: A start this long counts as running. [s]
LONG_START_S = 10.0
#: How long a start lasts where the plan does not say. [s]
UNSAID_START_S = 0.1


@dataclass(frozen=True, slots=True)
class Port:
    """A pair of points where current is taken (or given, by a charger's output: `gives`).

    Attributes
    ----------
    id : str
        The part's id; `part.terminal` where a part has several such pairs.
    part : str
        The part's id; of a trailer's feed the contact, `tow.9`.
    kind : str
        consumer, coil, signal, charger_input, converter_input, inverter, output, panel.
    amps, watts, siemens : float
        Constant current [A], constant power [W] and resistance as a conductance [S], together.
    start_a, start_w, start_s : float
        Current or power of the start, and how long it lasts; 0 if there is none.
    class_v : tuple of float
        Voltage class, low and high end. [V]
    """

    id: str
    part: str
    kind: str
    plus: str
    minus: str
    amps: float = 0.0
    watts: float = 0.0
    siemens: float = 0.0
    start_a: float = 0.0
    start_w: float = 0.0
    start_s: float = 0.0
    class_v: tuple[float, float] = (12.0, 12.0)
    gives: bool = False
    unknown: tuple[str, ...] = ()

    @property
    def has_start(self) -> bool:
        """True if the part draws more for a while when it starts."""
        return self.start_a > 0 or self.start_w > 0

    @property
    def nominal_v(self) -> float:
        """The lower end of the voltage class. [V]"""
        return self.class_v[0]


def system_volts(plan: Plan) -> float:
    """Return the plan's system voltage, 12 or 24. [V]"""
    return plan.system.low if isinstance(plan.system, Quantity) else 12.0


def voltage_class(part: Part, plan: Plan) -> tuple[float, float]:
    """Return the voltage class of a part, the system's if it states none. [V]"""
    if isinstance(part.voltage, Quantity):
        return (part.voltage.low, part.voltage.high)
    return (system_volts(plan),) * 2


def part_loads(wiring: Wiring, inputs: Inputs, part_id: str, part: Part) -> Iterator[Port]:
    """Give what one part takes: a consumer, a coil, a signal input, a panel's or sensor's own current."""
    class_v = voltage_class(part, wiring.plan)
    if is_consumer(part.kind) and part.kind != "standby":
        yield _consumer(inputs, part_id, part, class_v)
    elif part.kind == "b2b":
        yield _signal(inputs, part_id, "signal", class_v)
    elif part.kind == "relay":
        yield _coil(wiring, inputs, part_id, part, wiring.plan)
    elif part.kind == "tow_socket":
        yield from _trailer(wiring, part_id, part, class_v)
    elif part.kind in _SENSES_AT:
        yield _signal(inputs, part_id, _SENSES_AT[part.kind], class_v, part.idle)


def _consumer(inputs: Inputs, part_id: str, part: Part, class_v: tuple[float, float]) -> Port:
    running = part.running if isinstance(part.running, Running) else None
    low_a, high_a = USUAL_RUNNING_A.get(part.kind, USUAL_RUNNING_A["load"])
    scale, at = 12.0 / max(class_v[0], 1.0), f"parts.{part_id}"
    unknown: tuple[str, ...] = ()
    at_v = running.at_v if running is not None and running.at_v else class_v[0]
    count = 1 if running is not None and running.together else count_of(part)
    if running is not None and isinstance(running.amount, Quantity):
        unit = running.amount.unit
        value = inputs.end(running.amount, f"{at}.running", worse="low" if unit == "Ω" else "high")
    elif isinstance(part.per_metre, Quantity) and isinstance(part.length, Quantity):
        metre_w, metres = (part.per_metre, f"{at}.per_metre"), (part.length, f"{at}.length")
        value, unit = inputs.end(*metre_w) * inputs.end(*metres), "W"
    else:
        pick = inputs.pick(None, (low_a * scale, high_a * scale), f"{at}.running", APPLIANCE_SOURCE)
        value, unit, unknown = pick.value, "A", named(pick)
    behaves = part.behaves or _behaves(part.kind, unit)
    amps, watts, siemens = _as_load(value, unit, behaves, at_v)
    start_a, start_w = _start(inputs, part.start, f"{at}.start")
    return Port(
        part_id,
        part_id,
        "consumer",
        f"{part_id}.plus",
        f"{part_id}.minus",
        amps * count,
        watts * count,
        siemens * count,
        start_a * count,
        start_w * count,
        _seconds(part.start),
        class_v,
        unknown=unknown,
    )


def _trailer(wiring: Wiring, part_id: str, part: Part, class_v: tuple[float, float]) -> Iterator[Port]:
    """Give what a trailer draws at each contact, as the plan says."""
    for contact, amount in (part.draws or {}).items():
        if isinstance(amount, Quantity):
            plus = f"{part_id}.{contact}"
            minus = earth_of(wiring, part_id, contact)
            yield Port(plus, plus, "consumer", plus, minus, amount.high, class_v=class_v)


def ends_of_load(wiring: Wiring, load: str) -> tuple[str, str]:
    """Return plus and minus of a load: terminals of a part, or a contact for a trailer and its earth."""
    if load in wiring.parts:
        return f"{load}.plus", f"{load}.minus"
    socket, _, contact = load.rpartition(".")
    return load, earth_of(wiring, socket, contact)


def _behaves(kind: str, unit: str) -> str:
    if kind in _RESISTIVE_KINDS:
        return "resistance"
    return {"A": "current", "W": "power"}.get(unit, "resistance")


def _as_load(value: float, unit: str, behaves: str, at_v: float) -> tuple[float, float, float]:
    """Turn one figure into current, power and conductance, by how the load behaves."""
    amps = {"A": value, "W": value / at_v}.get(unit, at_v / value if value > 0 else 0.0)
    if behaves == "current":
        return amps, 0.0, 0.0
    if behaves == "power":
        return 0.0, amps * at_v, 0.0
    return 0.0, 0.0, amps / at_v


def _start(inputs: Inputs, start: object, field: str) -> tuple[float, float]:
    """Return the start of a load as a current or as a power. [A, W]"""
    if not isinstance(start, Start) or not isinstance(start.amount, Quantity):
        return 0.0, 0.0
    value = inputs.end(start.amount, field)
    return (0.0, value) if start.amount.unit == "W" else (value, 0.0)


def _seconds(start: object) -> float:
    return start.for_s.high if isinstance(start, Start) and start.for_s is not None else 0.0


def count_of(part: Part) -> int:
    """Return how many of a part there are; 1 where the plan does not say."""
    return part.count if isinstance(part.count, int) else 1


def named(*picks: Pick) -> tuple[str, ...]:
    """Return the fields of the plan that these values guess at."""
    return tuple(pick.unknown for pick in picks if pick.unknown)


def _signal(
    inputs: Inputs, part_id: str, plus: str, class_v: tuple[float, float], typed: object = None
) -> Port:
    scale, (low, high) = 12.0 / max(class_v[0], 1.0), USUAL_SIGNAL_A
    amps = inputs.pick(typed, (low * scale, high * scale), f"parts.{part_id}.idle", APPLIANCE_SOURCE)
    port = Port(f"{part_id}.{plus}", part_id, "signal", f"{part_id}.{plus}", f"{part_id}.minus", amps.value)
    return replace(port, class_v=class_v, unknown=named(amps))


def _coil(wiring: Wiring, inputs: Inputs, part_id: str, part: Part, plan: Plan) -> Port:
    class_v = voltage_class(part, plan)
    if isinstance(part.coil_voltage, Quantity):
        class_v = (part.coil_voltage.low, part.coil_voltage.high)
    scale = 12.0 / max(class_v[0], 1.0)
    low, high = USUAL_COIL_A
    amps = inputs.pick(part.coil, (low * scale, high * scale), f"parts.{part_id}.coil", APPLIANCE_SOURCE)
    plus, minus = _coil_ends(wiring, part_id)
    return Port(
        part_id,
        part_id,
        "coil",
        plus,
        minus,
        amps.value,
        class_v=class_v,
        unknown=named(amps),
    )


def _coil_ends(wiring: Wiring, part_id: str) -> tuple[str, str]:
    """Return plus and minus of a coil as it is wired: the end that a feed arrives at is its plus."""
    ends = (f"{part_id}.86", f"{part_id}.85")
    fed = {load for flat in wiring.runs.values() for load in flat.loads}
    return ends[::-1] if ends[1] in fed and ends[0] not in fed else ends
