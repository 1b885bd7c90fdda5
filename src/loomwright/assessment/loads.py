"""What takes current in a van, and what gives it while charging: one `Port` per pair of terminals.

A load typed in A is a constant current, in W a constant power, in Ω (or a heater element) a resistance. A
charger's input takes output power / efficiency; an inverter's input takes its rated power / efficiency; a
converter's input takes what its own loads take, up to its rated current.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Part, Plan
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity, Running, Start
from loomwright.tables.appliances import (
    APPLIANCE_SOURCE,
    USUAL_CHARGER_EFFICIENCY,
    USUAL_CHARGING_V,
    USUAL_COIL_A,
    USUAL_INVERTER_EFFICIENCY,
    USUAL_PANEL_V,
    USUAL_RUNNING_A,
    USUAL_SIGNAL_A,
)

from .inputs import Inputs, Pick

#: Heater elements and the like: their current follows the volts.
_RESISTIVE_KINDS = ("absorption_fridge", "heat_mat")
#: A start this long counts as running. [s]
LONG_START_S = 10.0


@dataclass(frozen=True, slots=True)
class Port:
    """A pair of points where current is taken (or given, by a charger's output: `gives`).

    Attributes
    ----------
    id : str
        The part's id; `part.terminal` where a part has several such pairs.
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


def ports_of(wiring: Wiring, inputs: Inputs) -> tuple[Port, ...]:
    """Return every port of the van, in the order of its parts."""
    found: list[Port] = []
    for part_id, part in wiring.parts.items():
        if part.wired is not False:
            found.extend(_part_ports(wiring, inputs, part_id, part))
    return tuple(found)


def _part_ports(wiring: Wiring, inputs: Inputs, part_id: str, part: Part) -> Iterator[Port]:
    kind, plan = part.kind, wiring.plan
    class_v = voltage_class(part, plan)
    scale = 12.0 / max(class_v[0], 1.0)

    def port(name: str, kind: str, plus: str, minus: str, **rest: object) -> Port:
        fields: dict[str, object] = {"class_v": class_v} | rest
        return Port(name, part_id, kind, f"{part_id}.{plus}", f"{part_id}.{minus}", **fields)  # type: ignore[arg-type]

    if is_consumer(kind) and kind != "standby":
        yield _consumer(inputs, part_id, part, class_v)
    elif kind == "b2b":
        out = _output_volts(part)
        power = out * _rated(inputs, part.current, (10.0, 30.0), f"parts.{part_id}.current").value
        share = _efficiency(inputs, part, part_id, USUAL_CHARGER_EFFICIENCY)
        yield port(part_id, "charger_input", "in", "minus", watts=power / share.value, unknown=_named(share))
        yield _signal(inputs, part_id, "signal", "minus", scale, class_v)
        yield _gives(inputs, part_id, part, "out", "minus", class_v)
    elif kind == "converter":
        yield port(part_id, "converter_input", "in", "minus", class_v=_input_class(part, plan))
    elif kind in ("inverter", "inverter_charger"):
        share = _efficiency(inputs, part, part_id, USUAL_INVERTER_EFFICIENCY)
        power_w = _rated(inputs, part.power, (0.0, 0.0), f"parts.{part_id}.power").value
        yield port(part_id, "inverter", "plus", "minus", watts=power_w / share.value, unknown=_named(share))
    elif kind == "solar_regulator":
        yield from _regulator(wiring, inputs, part_id, part, class_v)
    elif kind == "mains_charger":
        yield _gives(inputs, part_id, part, "plus", "minus", class_v)
        if part.second is not None:
            yield _second(part_id, part, "minus", class_v)
    elif kind == "fuel_cell":
        yield _gives(inputs, part_id, part, "plus", "minus", class_v)
    elif kind == "solar_panel":
        amps = _panel_amps(inputs, part_id, part)
        yield port(part_id, "panel", "plus", "minus", amps=amps.value, gives=True, unknown=_named(amps))
    elif kind == "relay":
        yield _coil(wiring, inputs, part_id, part, plan)
    elif kind in ("control_panel", "sensing_relay", "low_voltage_cut"):
        plus = {"control_panel": "plus", "sensing_relay": "a", "low_voltage_cut": "in"}[kind]
        yield _signal(inputs, part_id, plus, "minus", scale, class_v, part.idle)


def _consumer(inputs: Inputs, part_id: str, part: Part, class_v: tuple[float, float]) -> Port:
    running = part.running if isinstance(part.running, Running) else None
    low_a, high_a = USUAL_RUNNING_A.get(part.kind, USUAL_RUNNING_A["load"])
    scale = 12.0 / max(class_v[0], 1.0)
    unknown: tuple[str, ...] = ()
    at_v = running.at_v if running is not None and running.at_v else class_v[0]
    count = 1 if running is not None and running.together else _count(part)
    if running is not None and isinstance(running.amount, Quantity):
        value, unit = running.amount.high, running.amount.unit
    elif isinstance(part.per_metre, Quantity) and isinstance(part.length, Quantity):
        value, unit = part.per_metre.high * part.length.high, "W"
    else:
        pick = inputs.pick(
            None, (low_a * scale, high_a * scale), f"parts.{part_id}.running", APPLIANCE_SOURCE
        )
        value, unit, unknown = pick.value, "A", _named(pick)
    behaves = part.behaves or _behaves(part.kind, unit)
    amps, watts, siemens = _as_load(value, unit, behaves, at_v)
    start_a, start_w = _start(part.start, at_v)
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


def _start(start: object, at_v: float) -> tuple[float, float]:
    if not isinstance(start, Start) or not isinstance(start.amount, Quantity):
        return 0.0, 0.0
    if start.amount.unit == "W":
        return 0.0, start.amount.high
    return start.amount.high, 0.0


def _seconds(start: object) -> float:
    return start.for_s.high if isinstance(start, Start) and start.for_s is not None else 0.0


def _count(part: Part) -> int:
    return part.count if isinstance(part.count, int) else 1


def _named(*picks: Pick) -> tuple[str, ...]:
    return tuple(pick.unknown for pick in picks if pick.unknown)


def _rated(inputs: Inputs, amount: object, band: tuple[float, float], field: str) -> Pick:
    return inputs.pick(amount, band, field, APPLIANCE_SOURCE)


def _efficiency(inputs: Inputs, part: Part, part_id: str, band: tuple[float, float]) -> Pick:
    return inputs.pick(part.efficiency, band, f"parts.{part_id}.efficiency", APPLIANCE_SOURCE, worse="low")


def _output_volts(part: Part) -> float:
    output = part.output
    only = output.only() if output is not None and hasattr(output, "only") else None
    volts = getattr(only, "volts", only)
    if isinstance(volts, Quantity):
        return volts.high
    factor = 2.0 if isinstance(part.voltage, Quantity) and part.voltage.low > 18 else 1.0
    return USUAL_CHARGING_V * factor


def _input_class(part: Part, plan: Plan) -> tuple[float, float]:
    """Return the class of a converter's input: what it states, else the system's."""
    return voltage_class(part, plan)


def _gives(
    inputs: Inputs, part_id: str, part: Part, plus: str, minus: str, class_v: tuple[float, float]
) -> Port:
    amps = _rated(inputs, part.current, (10.0, 30.0), f"parts.{part_id}.current")
    return Port(
        f"{part_id}.{plus}",
        part_id,
        "output",
        f"{part_id}.{plus}",
        f"{part_id}.{minus}",
        amps.value,
        class_v=class_v,
        gives=True,
        unknown=_named(amps),
    )


def _second(part_id: str, part: Part, minus: str, class_v: tuple[float, float]) -> Port:
    assert part.second is not None
    amps = part.second.current.high if isinstance(part.second.current, Quantity) else 1.0
    return Port(
        f"{part_id}.second",
        part_id,
        "output",
        f"{part_id}.second",
        f"{part_id}.{minus}",
        amps,
        class_v=class_v,
        gives=True,
    )


def _signal(
    inputs: Inputs,
    part_id: str,
    plus: str,
    minus: str,
    scale: float,
    class_v: tuple[float, float],
    typed: object = None,
) -> Port:
    low, high = USUAL_SIGNAL_A
    amps = inputs.pick(typed, (low * scale, high * scale), f"parts.{part_id}.idle", APPLIANCE_SOURCE)
    return Port(
        f"{part_id}.{plus}",
        part_id,
        "signal",
        f"{part_id}.{plus}",
        f"{part_id}.{minus}",
        amps.value,
        class_v=class_v,
        unknown=_named(amps),
    )


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
        unknown=_named(amps),
    )


def _coil_ends(wiring: Wiring, part_id: str) -> tuple[str, str]:
    """Return plus and minus of a coil as it is wired: the end that a feed arrives at is its plus."""
    ends = (f"{part_id}.86", f"{part_id}.85")
    fed = {load for flat in wiring.runs.values() for load in flat.loads}
    return ends[::-1] if ends[1] in fed and ends[0] not in fed else ends


def _panel_amps(inputs: Inputs, part_id: str, part: Part) -> Pick:
    """Return the current of a panel at its best point; `working_current` is of all `count` as joined."""
    if isinstance(part.working_current, Quantity):
        return inputs.pick(part.working_current, (0.0, 0.0), "", APPLIANCE_SOURCE)
    power = part.power.high * _count(part) if isinstance(part.power, Quantity) else 0.0
    volts = inputs.pick(
        part.working_volts, USUAL_PANEL_V, f"parts.{part_id}.working_volts", APPLIANCE_SOURCE, worse="low"
    )
    return Pick(power / volts.value if volts.value else 0.0, volts.source, volts.unknown)


def _regulator(
    wiring: Wiring, inputs: Inputs, part_id: str, part: Part, class_v: tuple[float, float]
) -> Iterator[Port]:
    amps = regulator_amps(wiring, inputs, part_id)
    yield Port(
        f"{part_id}.battery",
        part_id,
        "output",
        f"{part_id}.battery",
        f"{part_id}.battery_minus",
        amps.value,
        class_v=class_v,
        gives=True,
        unknown=_named(amps),
    )
    if part.second is not None:
        yield _second(part_id, part, "battery_minus", class_v)


def regulator_amps(wiring: Wiring, inputs: Inputs, part_id: str) -> Pick:
    """Return what a regulator gives: its rated current, but no more than its panels bring.

    A switching regulator (mppt) turns the panels' power into amps at the volts of its `yield`; a series
    regulator (pwm) passes the panels' own working current on.
    """
    part = wiring.parts[part_id]
    panels = panels_of(wiring, part_id)
    rated = inputs.pick(part.current, (1e9, 1e9), "", APPLIANCE_SOURCE)
    if not panels:
        return rated if rated.value < 1e9 else Pick(0.0, APPLIANCE_SOURCE, f"parts.{part_id}.current")
    if part.regulation == "mppt":
        power = sum(p.power.high * _count(p) for p in panels.values() if isinstance(p.power, Quantity))
        volts = (
            part.yield_.volts.low if part.yield_ is not None else voltage_class(part, wiring.plan)[0] * 1.1
        )
        brought = power / volts
    else:
        brought = sum(_panel_amps(inputs, id, panel).value for id, panel in panels.items())
    return Pick(min(rated.value, brought), rated.source)


def panels_of(wiring: Wiring, regulator: str) -> Mapping[str, Part]:
    """Return the panels whose wires end on a regulator."""
    found = {}
    for flat in wiring.runs.values():
        part_id = wiring.part_of(flat.pieces[0].a) if flat.pieces else None
        if part_id is None or wiring.parts[part_id].kind != "solar_panel":
            continue
        if any(wiring.part_of(load) == regulator for load in flat.loads):
            found[part_id] = wiring.parts[part_id]
    return found
