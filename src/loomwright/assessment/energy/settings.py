"""What is dialled into each charger of a van, by the battery that it charges, and what the plan says is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Quantity
from loomwright.tables.charge_profiles import PROFILES, Profile
from loomwright.units import Band

from ..banks_states import chemistry_of
from ..charging_least import charge_limit
from ..record import Assessment
from ..sources import battery_class
from .days import Energy

_KINDS = ("b2b", "solar_regulator", "mains_charger", "inverter_charger", "charger")


@dataclass(frozen=True, slots=True)
class Setting:
    """One charger and one battery.

    Attributes
    ----------
    charger, battery, chemistry : str
    absorption_v, float_v : Band or None
        None where the chemistry is not known. [V]
    equalise_v : Band or None
    per_c_v : Band or None
    full_a : Band or None
        Counts as full when it takes less. [A]
    limit_a : float
        All chargers together give the battery no more. [A]
    least_c : float or None
        No charge below. [°C]
    typed : str
        What the plan says is dialled in.
    """

    charger: str
    battery: str
    chemistry: str
    absorption_v: Band | None
    float_v: Band | None
    equalise_v: Band | None
    per_c_v: Band | None
    full_a: Band | None
    limit_a: float
    least_c: float | None
    typed: str


def settings_of(job: Assessment) -> Iterator[Setting]:
    """Give each charger with the battery it charges; one without wires charges the first house battery."""
    charging = [one for one in job.circuits.values() if one.path == "charging"]
    stores = Energy(job).stores
    for id, part in job.wiring.parts.items():
        if part.kind not in _KINDS:
            continue
        batteries = dict.fromkeys(
            one.load for one in charging if one.feeder == id and _is_battery(job, one.load)
        )
        if not batteries and part.wired is False and stores:
            batteries = {stores[0].id: None}
        yield from (_setting(job, id, part, battery) for battery in batteries)


def _is_battery(job: Assessment, id: str) -> bool:
    return job.wiring.parts[id].kind in ("battery", "vehicle_battery")


def _setting(job: Assessment, id: str, part: Part, battery: str) -> Setting:
    own = job.wiring.parts[battery]
    chemistry = chemistry_of(own)
    profile: Profile | None = PROFILES.get(chemistry)
    scale = battery_class(job.wiring, battery) / 12.0
    store = next((one for one in Energy(job).stores if battery in one.batteries), None)
    if store is not None:
        scale = sum(battery_class(job.wiring, level[0]) for level in store.levels) / 12.0
    limit = charge_limit(job.wiring, job.under_load.inputs, battery)
    least = own.charge_temperature.low if isinstance(own.charge_temperature, Quantity) else None
    typed = "; ".join(f"{name} {value}" for name, value in (part.settings or {}).items())
    if profile is None:
        return Setting(id, battery, "unknown", None, None, None, None, None, limit, least, typed)
    capacity = own.capacity.mid if isinstance(own.capacity, Quantity) else None
    return Setting(
        id,
        battery,
        chemistry,
        profile.absorption_v.times(scale),
        profile.float_v.times(scale),
        None if profile.equalise_v is None else profile.equalise_v.times(scale),
        None if profile.per_c_v is None else profile.per_c_v.times(scale),
        None if capacity is None else profile.full_share.times(capacity),
        limit,
        profile.least_c if least is None else least,
        typed,
    )


__all__ = ["Setting", "settings_of"]
