"""What gives current while it charges, and what a charger, converter or inverter takes for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from loomwright.plan.model import Part, Plan
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity
from loomwright.tables.appliances import (
    APPLIANCE_SOURCE,
    USUAL_CHARGER_EFFICIENCY,
    USUAL_CHARGING_V,
    USUAL_INVERTER_EFFICIENCY,
    USUAL_PANEL_V,
)

from .inputs import Inputs, Pick
from .loads import Port, count_of, named, part_loads, voltage_class


def ports_of(wiring: Wiring, inputs: Inputs) -> tuple[Port, ...]:
    """Return every port of the van, in the order of its parts: loads, and what charges."""
    found: list[Port] = []
    for part_id, part in wiring.parts.items():
        if part.wired is not False:
            found.extend(_charging_inputs(wiring, inputs, part_id, part))
            found.extend(part_loads(wiring, inputs, part_id, part))
            found.extend(_outputs(wiring, inputs, part_id, part))
    return tuple(found)


def _charging_inputs(wiring: Wiring, inputs: Inputs, part_id: str, part: Part) -> Iterator[Port]:
    """Give the input of a charger, converter or inverter."""
    class_v = voltage_class(part, wiring.plan)
    if part.kind == "b2b":
        amps = _rated(inputs, part.current, (10.0, 30.0), f"parts.{part_id}.current")
        share = _efficiency(inputs, part, part_id, USUAL_CHARGER_EFFICIENCY)
        port = Port(part_id, part_id, "charger_input", f"{part_id}.in", f"{part_id}.minus", class_v=class_v)
        yield replace(
            port, watts=output_volts(part, wiring.plan) * amps.value / share.value, unknown=named(amps, share)
        )
    elif part.kind == "converter":
        yield Port(part_id, part_id, "converter_input", f"{part_id}.in", f"{part_id}.minus", class_v=class_v)
    elif part.kind in ("inverter", "inverter_charger"):
        share = _efficiency(inputs, part, part_id, USUAL_INVERTER_EFFICIENCY)
        power = _rated(inputs, part.power, (0.0, 0.0), f"parts.{part_id}.power")
        port = Port(part_id, part_id, "inverter", f"{part_id}.plus", f"{part_id}.minus", class_v=class_v)
        yield replace(port, watts=power.value / share.value, unknown=named(share))


def _outputs(wiring: Wiring, inputs: Inputs, part_id: str, part: Part) -> Iterator[Port]:
    """Give each output of a charger, and each panel."""
    class_v = voltage_class(part, wiring.plan)
    if part.kind == "b2b":
        yield _gives(inputs, part_id, part, "out", "minus", class_v)
    elif part.kind in ("mains_charger", "fuel_cell"):
        yield _gives(inputs, part_id, part, "plus", "minus", class_v)
        if part.second is not None:
            yield _second(part_id, part, "minus", class_v)
    elif part.kind == "solar_regulator":
        yield from _regulator(wiring, inputs, part_id, part, class_v)
    elif part.kind == "solar_panel":
        amps = _panel_amps(inputs, part_id, part)
        port = Port(part_id, part_id, "panel", f"{part_id}.plus", f"{part_id}.minus", class_v=class_v)
        yield replace(port, amps=amps.value, gives=True, unknown=named(amps))


def _rated(inputs: Inputs, amount: object, band: tuple[float, float], field: str) -> Pick:
    return inputs.pick(amount, band, field, APPLIANCE_SOURCE)


def _efficiency(inputs: Inputs, part: Part, part_id: str, band: tuple[float, float]) -> Pick:
    return inputs.pick(part.efficiency, band, f"parts.{part_id}.efficiency", APPLIANCE_SOURCE, worse="low")


def output_volts(part: Part, plan: Plan) -> float:
    """Return the volts that a charger holds at its output: typed, else usual for its class. [V]"""
    typed = (part.output or {}).get("")
    if typed is not None and isinstance(typed.volts, Quantity):
        return typed.volts.high
    return USUAL_CHARGING_V * (2.0 if voltage_class(part, plan)[0] > 18.0 else 1.0)


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
        unknown=named(amps),
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


def _panel_amps(inputs: Inputs, part_id: str, part: Part) -> Pick:
    """Return the current of a panel at its best point; `working_current` is of all `count` as joined."""
    if isinstance(part.working_current, Quantity):
        field = f"parts.{part_id}.working_current"
        return inputs.pick(part.working_current, (0.0, 0.0), field, APPLIANCE_SOURCE)
    power = _panel_watts(inputs, part_id, part)
    volts = inputs.pick(
        part.working_volts, USUAL_PANEL_V, f"parts.{part_id}.working_volts", APPLIANCE_SOURCE, worse="low"
    )
    return Pick(power / volts.value if volts.value else 0.0, volts.source, volts.unknown)


def _panel_watts(inputs: Inputs, part_id: str, part: Part) -> float:
    """Return the power of all panels of a part. [W]"""
    if not isinstance(part.power, Quantity):
        return 0.0
    return inputs.end(part.power, f"parts.{part_id}.power") * count_of(part)


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
        unknown=named(amps),
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
    rated = inputs.pick(part.current, (1e9, 1e9), f"parts.{part_id}.current", APPLIANCE_SOURCE)
    if not panels:
        return rated if rated.value < 1e9 else Pick(0.0, APPLIANCE_SOURCE, f"parts.{part_id}.current")
    if part.regulation == "mppt":
        power = sum(_panel_watts(inputs, id, panel) for id, panel in panels.items())
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
