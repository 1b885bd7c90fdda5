"""A van's batteries by charge and temperature: volts at rest, and what they resist then.

What the plan types wins: resting volts by charge and resistance by temperature lie between their points in a
straight line and go on from the last point as the table does. A typed resistance is taken as it is found, so
age counts only where the table's is taken.
"""

from __future__ import annotations

from itertools import pairwise

from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Curve, Quantity
from loomwright.tables import batteries, battery_states

from .inputs import Inputs
from .sources import battery_class, inner_ohm, is_battery, states_inner_ohm

#: At what a battery counts as warm. [°C]
WARM_C = 25.0
_YEAR_S = 365.25 * 86400.0
Points = list[tuple[float, float]]


def chemistry_of(part: Part) -> str:
    """Return the chemistry of a battery as the tables name it."""
    return str(part.chemistry) if part.chemistry in batteries.OPEN_CIRCUIT_V else "unknown"


def resting_v(wiring: Wiring, battery: str, charge_pct: float) -> float:
    """Return the volts of a battery at rest: between the typed points, else by its chemistry. [V]"""
    part, nominal_v = wiring.parts[battery], battery_class(wiring, battery)

    def table(pct: float) -> float:
        return batteries.open_circuit_v(chemistry_of(part), pct, nominal_v)

    typed = [(100.0 * share, volts) for share, volts in points_of(part.open_circuit)]
    if not typed:
        return table(charge_pct)
    for (low, low_v), (high, high_v) in pairwise(typed):
        if low <= charge_pct <= high:
            return low_v + (high_v - low_v) * (charge_pct - low) / (high - low)
    end, end_v = min(typed, key=lambda point: abs(point[0] - charge_pct))
    return end_v + table(charge_pct) - table(end)


def ohm_in_state(
    wiring: Wiring, inputs: Inputs, battery: str, charge_pct: float, temperature_c: float
) -> float:
    """Return what a battery resists, `count` alike as joined, at some charge and temperature. [Ω]"""
    part = wiring.parts[battery]
    chemistry, warm = chemistry_of(part), inner_ohm(wiring, inputs, battery)
    by_charge = battery_states.factor_by_charge(chemistry, charge_pct)
    if not states_inner_ohm(wiring, battery):
        years = part.age.high / _YEAR_S if isinstance(part.age, Quantity) else 0.0
        return warm * battery_states.resistance_factor(chemistry, charge_pct, temperature_c, years)
    typed = points_of(part.resistance)
    return warm * by_charge * _typed_factor(typed, chemistry, temperature_c)


def _typed_factor(typed: Points, chemistry: str, temperature_c: float) -> float:
    """Return by how much typed resistances grow from warm to a temperature: the table's way beyond them."""

    def at(celsius: float) -> float:
        table = battery_states.factor_by_temperature
        for (low, low_ohm), (high, high_ohm) in pairwise(typed):
            if low <= celsius <= high:
                return low_ohm + (high_ohm - low_ohm) * (celsius - low) / (high - low)
        end, ohm = min(typed, key=lambda point: abs(point[0] - celsius))
        return ohm * table(chemistry, celsius) / table(chemistry, end)

    if len(typed) < 2:
        return battery_states.factor_by_temperature(chemistry, temperature_c)
    return at(temperature_c) / at(WARM_C) if at(WARM_C) > 0.0 else 1.0


def string_of(wiring: Wiring, top: str) -> tuple[str, ...]:
    """Return a battery and those below it in series: each plus wired to the minus of the one before."""
    found = [top]
    for battery in found:
        for piece in wiring.by_point.get(f"{battery}.minus", ()):
            other = piece.b if piece.a == f"{battery}.minus" else piece.a
            part = wiring.part_of(other)
            if (
                part is not None
                and other == f"{part}.plus"
                and part not in found
                and is_battery(wiring, part)
            ):
                found.append(part)
    return tuple(found)


def points_of(curve: Curve | None) -> Points:
    """Return the typed points of a curve that has an axis, the lowest first."""
    if curve is None or curve.axis == "":
        return []
    known = ((float(at), value.high) for at, value in curve.points.items() if isinstance(value, Quantity))
    return sorted(known)


def coldest_c(wiring: Wiring) -> float | None:
    """Return the coldest air that the plan's site names, None if it names none. [°C]"""
    site = wiring.plan.site
    curves = (site.night, site.mean) if site is not None else ()
    typed = [
        value.low
        for curve in curves
        if curve is not None
        for value in curve.points.values()
        if isinstance(value, Quantity)
    ]
    return min(typed, default=None)


__all__ = ["WARM_C", "chemistry_of", "coldest_c", "ohm_in_state", "points_of", "resting_v", "string_of"]
