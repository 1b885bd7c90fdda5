"""What the sun brings to a tank in a day: panels, regulators, sun hours of the month."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.energy.climate import on_plane
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Part
from loomwright.plan.values import Quantity
from loomwright.source import Source
from loomwright.steps import Given, Step, looked_up
from loomwright.tables.solar import (
    DAY_HELD,
    DAY_YIELD,
    GOOD_SHARE,
    HELD_SOURCE,
    RAINY_SHARE,
    RAINY_SOURCE,
    SUNNY_V,
    YIELD_SOURCE,
)

from ..inputs import TYPED
from ..loads import count_of
from ..record import Assessment, CircuitFigure
from .air import air_of, climate_of, of_month
from .held import Held, held_of, is_held
from .stores import Store

_S_PER_H = 3600.0


@dataclass(frozen=True, slots=True)
class Sun:
    """The sun of a day.

    Attributes
    ----------
    hours : float
        Of 1000 W/m² on the panel's plane. [h]
    source : Source
    unknown : tuple of str
        Fields of the plan that were guessed at.
    level_in : str
        The month whose climate they are of, on a level plane; "" for hours on the panel's own plane.
    """

    hours: float
    source: Source
    unknown: tuple[str, ...] = ()
    level_in: str = ""


@dataclass(frozen=True, slots=True)
class Array:
    """The panels of one regulator, and the tank it fills. `regulator` is "" for panels without one."""

    panels: tuple[str, ...]
    regulator: str
    store: str


@dataclass(frozen=True, slots=True)
class Yielded:
    """What an array brings in a day. [Ah]"""

    array: Array
    ah: float
    steps: tuple[Step, ...]
    unknown: tuple[str, ...]


def sun_of(job: Assessment, month: str, kind: str = "average") -> Sun | None:
    """Return the sun of a day of a month; None if nobody knows.

    Parameters
    ----------
    job : Assessment
    month : str
        jan ... dec
    kind : str
        none, rainy, average or good.
    """
    site, inputs = job.plan.site, job.under_load.inputs
    if kind == "none":
        return Sun(0.0, TYPED)
    if site is None:
        return None
    if kind == "rainy" and (typed := of_month(site.rainy_sun_hours, month)) is not None:
        return Sun(inputs.end(typed, "site.rainy_sun_hours", worse="low") / _S_PER_H, TYPED)
    share = {"rainy": RAINY_SHARE, "good": GOOD_SHARE}.get(kind, 1.0)
    typed = of_month(site.sun_hours, month)
    if typed is not None:
        hours = inputs.end(typed, "site.sun_hours", worse="low") / _S_PER_H
        return Sun(hours * share, TYPED if share == 1.0 else RAINY_SOURCE)
    climate = climate_of(job)
    if climate is None:
        return None
    mean, out = climate.ghi_kwh_m2_day[MONTHS.index(month)], climate.band_pct / 100.0
    if out == 0.0:
        return Sun(mean * share, climate.source, (), month)
    band = (mean * (1.0 - out), mean * (1.0 + out))
    pick = inputs.pick(None, band, "site.sun_hours", climate.source, worse="low")
    return Sun(pick.value * share, climate.source, ("site.sun_hours",), month)


def snow_leaves(job: Assessment, month: str) -> float:
    """Return what snow on the panels leaves of a month's sun; 1 where it does not freeze."""
    site = job.plan.site
    if site is None or not isinstance(site.snow_days, Quantity) or not isinstance(site.snow_leaves, Quantity):
        return 1.0
    air = air_of(job, month)
    if air is not None and air.low_c > 0.0:
        return 1.0
    return 1.0 - site.snow_days.high * (1.0 - site.snow_leaves.low)


def arrays_of(job: Assessment, stores: tuple[Store, ...]) -> tuple[Array, ...]:
    """Return the arrays of a van by what they charge; those that fill the vehicle's own battery have no tank.

    Panels and regulators without wires belong together, and to the largest tank.
    """
    parts, charging = job.wiring.parts, [c for c in job.circuits.values() if c.path == "charging"]
    panels = [id for id, part in parts.items() if part.kind == "solar_panel"]
    regulators = [id for id, part in parts.items() if part.kind == "solar_regulator"]
    wired = {c.feeder: c.load for c in charging if c.feeder in panels}
    held = {regulator: [id for id, load in wired.items() if load == regulator] for regulator in regulators}
    free = [id for id in panels if id not in wired]
    idle = next((id for id in regulators if not held[id]), regulators[0] if regulators else "")
    if free and idle:
        held[idle] = [*held.get(idle, []), *free]
        free = []
    found = [Array(tuple(ids), id, _filled(charging, id, stores)) for id, ids in held.items() if ids]
    straight = {id: load for id, load in wired.items() if load not in regulators}
    found += [Array((id,), "", _store(load, stores)) for id, load in straight.items()]
    return (*found, *(Array((id,), "", stores[0].id if stores else "") for id in free))


def _filled(charging: Sequence[CircuitFigure], regulator: str, stores: tuple[Store, ...]) -> str:
    loads = [c.load for c in charging if c.feeder == regulator]
    if not loads:
        return stores[0].id if stores else ""
    return next((id for load in loads if (id := _store(load, stores))), "")


def _store(battery: str, stores: tuple[Store, ...]) -> str:
    return next((one.id for one in stores if battery in one.batteries), "")


def sun_on(job: Assessment, store: Store, sun: Sun, arrays: tuple[Array, ...]) -> Iterator[Yielded]:
    """Give what each array of a tank brings in a day of such sun, its roof clear. [Ah]"""
    for array in arrays:
        if array.store == store.id:
            yield _yielded(job, store, sun, array)


def _yielded(job: Assessment, store: Store, sun: Sun, array: Array) -> Yielded:
    inputs, parts = job.under_load.inputs, job.wiring.parts
    regulator = parts.get(array.regulator)
    unknown = list(sun.unknown)
    typed = regulator is not None and regulator.yield_ is not None
    steps = [Step("t_s", "table", (Given("table", sun.hours, "h"),), sun.hours, "h", sun.source, "sun hours")]
    for id in array.panels:
        held = held_of(job, id, store) if is_held(job, array.regulator) and not typed else None
        if held is not None:
            steps += _held(job, array, held, id, sun, unknown)
            continue
        share, volts, source = _yield_of(job, store, array, regulator, unknown)
        power = 0.0
        if isinstance(rated := parts[id].power, Quantity):
            power = count_of(parts[id]) * inputs.end(rated, f"parts.{id}.power", worse="low")
        else:
            unknown.append(f"parts.{id}.power")
        lit = _lit(job, id, sun, Given("P", power, "W"))
        given = (*lit.inputs, Given("k", share, ""), Given("U", volts, "V"))
        says, value = parts[id].name or id, lit.value * share / volts
        steps.append(Step("Q_s", f"{lit.formula} * k / U", given, value, "Ah", source, says))
    ah = sum(step.value for step in steps if step.symbol == "Q_s")
    return Yielded(array, ah, tuple(steps), tuple(dict.fromkeys(unknown)))


def _held(
    job: Assessment, array: Array, held: Held, id: str, sun: Sun, unknown: list[str]
) -> tuple[Step, Step]:
    """Return the current of a panel that is held at its battery's volts, and what it brings in the day."""
    field = f"parts.{array.regulator}.yield"
    pick = job.under_load.inputs.pick(None, (DAY_HELD.low, DAY_HELD.high), field, HELD_SOURCE, worse="low")
    unknown += [field, *held.unknown]
    name = job.wiring.parts[id].name or id
    amps = looked_up("I_p", held.day_a, "A", HELD_SOURCE, f"{name}, held at {held.volts:.1f} V")
    lit = _lit(job, id, sun, Given("I_p", held.day_a, "A"))
    given = (*lit.inputs, Given("k", pick.value, ""))
    return amps, Step("Q_s", f"{lit.formula} * k", given, lit.value * pick.value, "Ah", pick.source, name)


def _lit(job: Assessment, id: str, sun: Sun, rated: Given) -> Step:
    """Return a panel's watts or amperes over the sun of the day, as it is tilted and shaded. [Wh or Ah]"""
    panel, shade = job.wiring.parts[id], 0.0
    if isinstance(panel.shade, Quantity):
        shade = job.under_load.inputs.end(panel.shade, f"parts.{id}.shade")
    given = [rated, Given("t_s", sun.hours, "h")]
    formula, value = f"{rated.name} * t_s", rated.value * sun.hours
    if (tilted := _tilted(job, panel, sun)) != 1.0:
        given.append(Given("r", tilted, ""))
        formula, value = f"{formula} * r", value * tilted
    if shade > 0.0:
        given.append(Given("s", shade, ""))
        formula, value = f"{formula} * (1 - s)", value * (1.0 - shade)
    return Step("lit", formula, tuple(given), value, f"{rated.unit}h", None, "")


def _tilted(job: Assessment, panel: Part, sun: Sun) -> float:
    """Return by how much a tilted panel gets more sun, or less, than the level plane of the climate."""
    climate = climate_of(job) if sun.level_in else None
    if climate is None or not isinstance(panel.tilt, Quantity) or panel.tilt.mid == 0.0:
        return 1.0
    azimuth = panel.azimuth.mid if isinstance(panel.azimuth, Quantity) else 180.0
    return on_plane(climate, panel.tilt.mid, azimuth)[MONTHS.index(sun.level_in)]


def _yield_of(
    job: Assessment, store: Store, array: Array, regulator: Part | None, unknown: list[str]
) -> tuple[float, float, Source]:
    """Return the share of a panel's rated watts that reaches the battery, and at what volts. [1, V]"""
    if regulator is not None and regulator.yield_ is not None:
        typed = regulator.yield_
        return typed.share.low, typed.volts.high, TYPED
    kind = regulator.regulation if regulator is not None else None
    field = f"parts.{array.regulator or array.panels[0]}.yield"
    band = DAY_YIELD.get(kind, DAY_YIELD[None])
    pick = job.under_load.inputs.pick(None, (band.low, band.high), field, YIELD_SOURCE, worse="low")
    unknown.append(field)
    lithium = job.wiring.parts[store.id].chemistry == "lifepo4"
    per_12v = store.volts / (12.8 if lithium else 12.0)
    return pick.value, SUNNY_V["lifepo4" if lithium else "lead"] * per_12v, YIELD_SOURCE


__all__ = ["Array", "Sun", "Yielded", "arrays_of", "snow_leaves", "sun_of", "sun_on"]
