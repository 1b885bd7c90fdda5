"""The sources of a van: batteries at their posts, converter outputs, the vehicle's own feeds."""

from __future__ import annotations

import numpy as np

from loomwright.circuit.network import Source
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Curve, Quantity

from . import bands
from .inputs import Inputs
from .loads import system_volts
from .network import vehicle_minus

#: Volts counted with at the posts of a running battery, per 12 V of its class (plan format, section 7). [V]
POSTS_V = {"lead": 12.0, "lifepo4": 12.8}
#: Capacity of a battery where the plan does not say. [Ah]
UNSAID_CAPACITY_AH = 80.0


def battery_class(wiring: Wiring, part_id: str) -> float:
    """Return a battery's own voltage class, 12 or 24. [V]"""
    part = wiring.parts[part_id]
    volts = part.voltage.low if isinstance(part.voltage, Quantity) else system_volts(wiring.plan)
    if part.kind == "battery" and part.joined == "series" and isinstance(part.count, int):
        volts *= part.count
    return 24.0 if volts > 18.0 else 12.0


def posts_volts(wiring: Wiring, part_id: str) -> float:
    """Return the volts counted with at the posts of a running battery. [V]"""
    chemistry = "lifepo4" if wiring.parts[part_id].chemistry == "lifepo4" else "lead"
    return POSTS_V[chemistry] * battery_class(wiring, part_id) / 12.0


def is_battery(wiring: Wiring, part_id: str) -> bool:
    """True for house and vehicle batteries."""
    part = wiring.parts.get(part_id)
    return part is not None and part.kind in ("battery", "vehicle_battery") and part.wired is not False


def inner_ohm(wiring: Wiring, inputs: Inputs, part_id: str) -> float:
    """Return a battery's inner resistance at 25 °C, `count` alike as joined: stated, else usual. [Ω]"""
    part, count = wiring.parts[part_id], 1
    if isinstance(part.count, int):
        count = part.count
    capacity = part.capacity.high if isinstance(part.capacity, Quantity) else UNSAID_CAPACITY_AH
    low, high, source = bands.inner_resistance(str(part.chemistry), capacity, battery_class(wiring, part_id))
    field = f"parts.{part_id}.resistance"
    only = part.resistance.only() if part.resistance is not None else None
    if isinstance(only, Quantity):
        typed: float | None = inputs.end(only, field, ohms=True)
    else:
        typed = _at_25c(part.resistance) if part.resistance is not None else None
    if typed is None:  # the usual figure is that of the whole voltage class: in series counted already
        beside = 1 if part.joined == "series" else count
        return inputs.pick(None, (low / beside, high / beside), field, source, ohms=True).value
    return typed * count if part.joined == "series" else typed / count


def states_inner_ohm(wiring: Wiring, part_id: str) -> bool:
    """True if the plan gives a battery's inner resistance."""
    typed = wiring.parts[part_id].resistance
    return typed is not None and _at_25c(typed) is not None


def _at_25c(resistance: Curve) -> float | None:
    """Return a resistance at 25 °C, between the points of its curve in a straight line. [Ω]"""
    only = resistance.only()
    if only is not None:
        return only.high if isinstance(only, Quantity) else None
    points = sorted(
        (float(at), ohm.high) for at, ohm in resistance.points.items() if isinstance(ohm, Quantity)
    )
    if not points:
        return None
    return float(np.interp(25.0, [at for at, _ in points], [ohm for _, ohm in points]))


def sources_of(wiring: Wiring, inputs: Inputs, *, inside: bool) -> list[Source]:
    """Return batteries, converter outputs and the vehicle's own feeds as sources.

    `inside`: with the batteries' internal resistance (for dips), else ideal at their posts (for drops).
    """
    found: list[Source] = []
    minus = vehicle_minus(wiring)
    for part_id, part in wiring.parts.items():
        if is_battery(wiring, part_id):
            ohm = inner_ohm(wiring, inputs, part_id) if inside else 0.0
            found.append(
                Source(part_id, f"{part_id}.plus", f"{part_id}.minus", posts_volts(wiring, part_id), ohm)
            )
        elif part.kind == "converter":
            found.append(
                Source(part_id, f"{part_id}.out", f"{part_id}.out_minus", converter_volts(wiring, part_id))
            )
        elif part.kind == "solar_regulator":
            panel = Source(
                f"{part_id}.panel", f"{part_id}.panel", f"{part_id}.panel_minus", system_volts(wiring.plan)
            )
            found.append(panel)
        elif minus is not None and part.kind == "vehicle_feed":
            found.append(
                Source(part_id, f"{part_id}.plus", minus, posts_volts(wiring, minus.removesuffix(".minus")))
            )
        elif minus is not None and part.kind == "alternator":
            volts = posts_volts(wiring, minus.removesuffix(".minus"))
            found.append(Source(f"{part_id}.d_plus", f"{part_id}.d_plus", minus, volts))
    return found


def converter_volts(wiring: Wiring, part_id: str) -> float:
    """Return the output volts of a converter. [V]"""
    for limit in (wiring.parts[part_id].output or {}).values():
        if isinstance(limit.volts, Quantity):
            return limit.volts.high
    return 12.0
