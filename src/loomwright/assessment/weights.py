"""What the electrics weigh, where, and what that does to the axles and to what may still be loaded.

A part weighs what the plan says, else a band by its kind; what has neither is named and left out. Cables
weigh their copper and plastic, at the middle of their way; where the plan has cargo that belongs to the
electrics, cables are in it already and are shown only. Parts that exist are in the ready mass.

About the front axle at x_f, a mass m at x loads the rear axle with m·(x - x_f)/wheelbase and the front one
with the rest; behind the rear axle it lifts the front. Statics of a beam on two supports.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.loom.bundles import wire_grams_per_m
from loomwright.plan.model import Part
from loomwright.plan.values import Amount, Quantity
from loomwright.tables import masses
from loomwright.units import Band

from .cut_list import MAINS_CORES
from .ends import listed_wires
from .loads import system_volts
from .record import Assessment, WireFigure
from .sizes import stops_of, where_of

#: The vehicle's own, or no thing at all: in the ready mass.
VEHICLES_OWN = frozenset({"vehicle_battery", "alternator", "vehicle_feed", "standby"})


@dataclass(frozen=True, slots=True)
class Weight:
    """What one thing weighs.

    Attributes
    ----------
    what : str
        A part, "cables", or an entry of the cargo.
    sort : str
        "part", "cables", "electrics" (cargo that belongs to them) or "load".
    place : str
        "" if nobody knows.
    x_m : float or None
        Where it is, rearward. [m]
    kg : Band or None
        None: nobody knows. [kg]
    typed : bool
        The plan says how much.
    counted : bool
        False for cables where cargo has them in it.
    """

    what: str
    sort: str
    place: str
    x_m: float | None
    kg: Band | None
    typed: bool
    counted: bool = True


@dataclass(frozen=True, slots=True)
class Axles:
    """What masses add to the front and the rear axle. [kg]"""

    front: Band
    rear: Band


@dataclass(frozen=True)
class Weights:
    """All that is weighed, and what follows for the van; what is not in the plan is None. [kg]"""

    every: tuple[Weight, ...]
    ready_kg: float | None
    permitted_kg: float | None
    front_axle_kg: float | None
    rear_axle_kg: float | None
    front_at_m: float | None
    wheelbase_m: float | None

    def total(self, *sorts: str) -> Band:
        """Return the sum of what is known of some sorts. [kg]"""
        return _sum(one.kg for one in self.every if one.counted and one.kg is not None and one.sort in sorts)

    @cached_property
    def electrics(self) -> Band:
        """Parts, cables and the cargo that belongs to them. [kg]"""
        return self.total("part", "cables", "electrics")

    @cached_property
    def load(self) -> Band:
        """What is carried. [kg]"""
        return self.total("load")

    @property
    def unknown(self) -> tuple[str, ...]:
        """What nobody knows the mass of."""
        return tuple(one.what for one in self.every if one.kg is None)

    @property
    def payload_kg(self) -> float | None:
        """What may be added to the van that is ready to drive. [kg]"""
        if self.ready_kg is None or self.permitted_kg is None:
            return None
        return self.permitted_kg - self.ready_kg

    @property
    def left(self) -> Band | None:
        """What may still be loaded, with electrics and cargo in. [kg]"""
        if self.payload_kg is None:
            return None
        taken = _sum((self.electrics, self.load))
        return Band(self.payload_kg - taken.high, self.payload_kg - taken.low)

    @cached_property
    def axles(self) -> Axles | None:
        """What is added to each axle by what has a place; None without wheelbase or place of an axle."""
        if self.front_at_m is None or not self.wheelbase_m:
            return None
        shares = [
            (one.kg, (one.x_m - self.front_at_m) / self.wheelbase_m)
            for one in self.every
            if one.counted and one.kg is not None and one.x_m is not None
        ]
        front = [_times(kg, 1.0 - share) for kg, share in shares]
        rear = [_times(kg, share) for kg, share in shares]
        return Axles(_sum(front), _sum(rear))

    @property
    def without_place(self) -> tuple[str, ...]:
        """What weighs something and is nowhere: it is in no axle."""
        return tuple(one.what for one in self.every if one.counted and one.kg is not None and one.x_m is None)


def weights_of(job: Assessment) -> Weights:
    """Return what is weighed of a van.

    Parameters
    ----------
    job : Assessment
    """
    plan, vehicle = job.plan, job.plan.vehicle
    cargo = [
        Weight(id, one.share, one.place or "", _x_of_place(job, one.place), _band(one.mass), True)
        for id, one in plan.cargo.items()
    ]
    in_cargo = any(one.sort == "electrics" for one in cargo)
    parts = [
        _part(job, id, part)
        for id, part in plan.parts.items()
        if part.status != "existing" and part.kind not in VEHICLES_OWN and part.kind != "appliance"
    ]
    appliances = [
        _part(job, id, part)
        for id, part in plan.parts.items()
        if part.kind == "appliance" and isinstance(part.mass, Quantity)
    ]
    rear_at, wheelbase = _mid(vehicle.rear_axle_at), _mid(vehicle.wheelbase)
    return Weights(
        every=(*parts, *appliances, _cables(job, counted=not in_cargo), *cargo),
        ready_kg=_mid(vehicle.ready_mass),
        permitted_kg=_mid(vehicle.permitted_mass),
        front_axle_kg=_mid(vehicle.front_axle),
        rear_axle_kg=_mid(vehicle.rear_axle),
        front_at_m=None if rear_at is None or wheelbase is None else rear_at - wheelbase,
        wheelbase_m=wheelbase,
    )


def _part(job: Assessment, id: str, part: Part) -> Weight:
    at = where_of(job.wiring, id)
    count = part.count if isinstance(part.count, int) else 1
    typed = _band(part.mass)
    kg = typed if typed is not None else _usual(job, part)
    if kg is not None:
        kg = _times(kg, -count if part.status == "to_remove" else count)
    return Weight(id, "part", part.place or "", None if at is None else at[0], kg, typed is not None)


def _usual(job: Assessment, part: Part) -> Band | None:
    """Return what such a part weighs, each. [kg]"""
    if part.kind == "battery" and isinstance(part.capacity, Quantity):
        volts = _mid(part.voltage) or system_volts(job.plan)
        each = masses.BATTERY_KG_PER_AH.get(str(part.chemistry), masses.BATTERY_KG_PER_AH["unknown"])
        return each.times(part.capacity.mid * max(1.0, round(volts / 12.0)))
    if part.kind == "solar_panel" and isinstance(part.power, Quantity):
        return masses.PANEL_KG_PER_W.times(part.power.mid)
    if part.kind == "inverter" and isinstance(part.power, Quantity):
        return masses.INVERTER_KG_PER_W.times(part.power.mid)
    return masses.MASS_KG.get(part.kind)


def _cables(job: Assessment, *, counted: bool) -> Weight:
    """Return all new cables as one weight at the middle of their mass."""
    kg, moment, located = 0.0, 0.0, 0.0
    for wire, own in _each_cable(job):
        kg += own
        x = _x_of_wire(job, wire)
        if x is not None:
            moment, located = moment + own * x, located + own
    band = Band(kg, kg)
    return Weight("cables", "cables", "", moment / located if located else None, band, False, counted)


def _each_cable(job: Assessment) -> Iterator[tuple[WireFigure, float]]:
    for wire in listed_wires(job):
        run = job.wiring.runs[wire.run].run
        if wire.area_mm2 is not None and wire.length_m and not wire.factory and run.status != "existing":
            cores = MAINS_CORES if wire.mains and not isinstance(run.cores, int) else 1
            grams = cores * wire_grams_per_m(wire.area_mm2, job.loom.thick_mm(wire.id)) * wire.length_m
            yield wire, grams / 1000.0 * (-1.0 if run.status == "to_remove" else 1.0)


def _x_of_wire(job: Assessment, wire: WireFigure) -> float | None:
    """Return the middle of a wire's way, rearward; None if nobody knows where it lies. [m]"""
    laid = job.loom.laid.get(wire.id)
    if laid is None or laid.route is None or not laid.route.metres:
        return None
    stretches = laid.route.stretches
    return math.fsum((one.a[0] + one.b[0]) / 2.0 * one.metres for one in stretches) / laid.route.metres


def _x_of_place(job: Assessment, place: str | None) -> float | None:
    stops = stops_of(job.plan, place) if place else []
    return stops[0][0] if stops else None


def _band(mass: Amount | None) -> Band | None:
    return Band(mass.low, mass.high) if isinstance(mass, Quantity) else None


def _mid(amount: object) -> float | None:
    return amount.mid if isinstance(amount, Quantity) else None


def _times(band: Band, factor: float) -> Band:
    """Return a band times a factor of either sign."""
    ends = sorted((band.low * factor, band.high * factor))
    return Band(ends[0], ends[1])


def _sum(bands: Iterable[Band]) -> Band:
    every = list(bands)
    return Band(math.fsum(one.low for one in every), math.fsum(one.high for one in every))


__all__ = ["Axles", "Weight", "Weights", "weights_of"]
