"""Short answers on batteries: what stops first, how long they take to fill, how they stand and age."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.calendar import MONTH_NAMES, MONTHS
from loomwright.plan.kinds import is_consumer
from loomwright.plan.values import Quantity
from loomwright.tables.battery_energy import COUNTED_ON, SELF_DISCHARGE, STARTS_ABOVE, USUAL_DRAIN_A, cycles
from loomwright.tables.battery_states import LIFE_YEARS
from loomwright.units import Band

from ..banks_states import WARM_C, chemistry_of, ohm_in_state, resting_v
from ..charging_least import HALF_PCT, Supply
from ..charging_taken import driven_charges
from ..record import Assessment
from .days import Energy
from .schedule import mains_charger_a
from .stores import Store, capacity_of, efficiency_of, usable_of
from .sunshine import snow_leaves, sun_of, sun_on

_MONTH_D, _YEAR_D, _WEEKS_D = 30.4, 365.0, 28.0


@dataclass(frozen=True, slots=True)
class Stop:
    """A load with a cut-out: at which charge it stops, and whether the volts or the battery end it.

    Attributes
    ----------
    load : str
    why : str
        "empty": the battery is at its planned floor first; "cut-out": the volts at the load are.
    charge_pct : float
        [%]
    cut_out_v : float or None
        [V]
    drop_v : float
        On the way to it while it runs. [V]
    """

    load: str
    why: str
    charge_pct: float
    cut_out_v: float | None
    drop_v: float

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {
            "load": self.load,
            "why": self.why,
            "charge_pct": self.charge_pct,
            "cut_out_v": self.cut_out_v,
            "drop_v": self.drop_v,
        }


def stops_of(job: Assessment) -> Iterator[Stop]:
    """Give the loads of the house that have a cut-out of their own.

    The battery is warm and gives this load alone: its volts are those at rest less what its inside and the
    way to the load take.
    """
    stores = Energy(job).stores
    for circuit in job.circuits.values():
        part = job.wiring.parts.get(circuit.load)
        consumes = part is not None and is_consumer(part.kind)
        limit = part.cut_out.volts if part is not None and consumes and part.cut_out is not None else None
        store = next((one for one in stores if circuit.feeder in one.batteries), None)
        if store is None or not isinstance(limit, Quantity) or circuit.drop_v is None:
            continue
        floor_pct = 100.0 * (1.0 - usable_of(job, store.levels[0], None).ah / _size(job, store))
        yield _stop(job, store, circuit.load, limit.high, circuit.drop_v, circuit.running_a or 0.0, floor_pct)


def _stop(
    job: Assessment, store: Store, load: str, limit_v: float, drop_v: float, amps: float, floor_pct: float
) -> Stop:
    inputs, string = job.under_load.inputs, [level[0] for level in store.levels]
    beside = len(store.levels[0])
    for pct in range(100, round(floor_pct), -1):
        rests = sum(resting_v(job.wiring, id, float(pct)) for id in string)
        ohm = sum(ohm_in_state(job.wiring, inputs, id, float(pct), WARM_C) for id in string) / beside
        if rests - amps * ohm - drop_v < limit_v:
            return Stop(load, "cut-out", float(pct), limit_v, drop_v)
    return Stop(load, "empty", floor_pct, limit_v, drop_v)


def _size(job: Assessment, store: Store) -> float:
    return sum(capacity_of(job, id)[0] for id in store.levels[0])


@dataclass(frozen=True, slots=True)
class Fill:
    """How long something takes to fill the house batteries from half; None if it never does. [h]"""

    by: str
    hours: float | None

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {"by": self.by, "hours": self.hours}


def fills_of(job: Assessment) -> Iterator[Fill]:
    """Give driving, hook-up and the mean sun of the best month of use, each alone and nothing taken."""
    energy = Energy(job)
    for one in driven_charges(job):
        hours = (
            None if one.to_full_h is None or one.closed_h.high <= 0.0 else one.to_full_h / one.closed_h.high
        )
        yield Fill(f"driving, through {one.part}", hours)
    if not energy.stores:
        return
    store, amps = energy.stores[0], mains_charger_a(energy)
    if amps > 0.0:
        supply = Supply(job.wiring, job.under_load.inputs, store.levels[0], 0.0, None)
        hours = supply.hours_to_full(float("inf"), amps)
        yield Fill("hook-up", None if hours is None else hours / efficiency_of(job, store).value)
    days = {m: sum(one.ah for one in sun_on(job, store, sun, energy.arrays))
            for _, m in energy.seasons() if (sun := sun_of(job, m)) is not None}  # fmt: skip
    if days and max(days.values()) > 0.0:
        best = max(days, key=lambda month: days[month])
        need = _size(job, store) * (1.0 - HALF_PCT / 100.0) / efficiency_of(job, store).value
        yield Fill(f"sun of {MONTH_NAMES[best]}, by day and night", 24.0 * need / days[best])


def left_on(job: Assessment) -> dict[str, float]:
    """Return what each inverter takes in a day of standing idle, where the plan says what it takes. [Ah]"""
    inverters = (one for one in job.wiring.parts.items() if one[1].kind in ("inverter", "inverter_charger"))
    return {id: 24.0 * part.idle.high for id, part in inverters if isinstance(part.idle, Quantity)}


@dataclass(frozen=True, slots=True)
class Parked:
    """A vehicle battery that stands.

    Attributes
    ----------
    battery : str
    drain_a : float
        [A]
    half_days : Band
        When half of it is gone, nothing charging it. [days]
    after_four_weeks_pct : float
        What is left then. [%]
    lost_ah : Band
        In a day, drain and self-discharge. [Ah]
    second_ah : mapping of str to float
        What the second output of a solar regulator brings it at least in a day, by month, while the house is
        full; empty if there is none. [Ah]
    """

    battery: str
    drain_a: float
    half_days: Band
    after_four_weeks_pct: float
    lost_ah: Band
    second_ah: Mapping[str, float]

    @property
    def falls_in(self) -> tuple[str, ...]:
        """The months in which a second output brings less than may be lost."""
        return tuple(month for month, ah in self.second_ah.items() if ah < self.lost_ah.high)

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {
            "battery": self.battery,
            "drain_a": self.drain_a,
            "half_days": [self.half_days.low, self.half_days.high],
            "after_four_weeks_pct": self.after_four_weeks_pct,
            "lost_ah_per_day": [self.lost_ah.low, self.lost_ah.high],
            "second_output_ah_per_day": dict(self.second_ah) or None,
        }


def parked_of(job: Assessment) -> Iterator[Parked]:
    """Give the vehicle's own battery, and what a second output of the sun's regulator brings it."""
    for id, part in job.wiring.parts.items():
        if part.kind != "vehicle_battery":
            continue
        typed = part.factory_drain
        drain = Band(typed.low, typed.high) if isinstance(typed, Quantity) else USUAL_DRAIN_A
        more = max(job.idle_a.get(id, 0.0), 0.0)
        capacity, _ = capacity_of(job, id)
        rest = SELF_DISCHARGE[chemistry_of(part)]
        low, high = (
            24.0 * (amps + more) + share * capacity / _MONTH_D
            for amps, share in ((drain.low, rest.low), (drain.high, rest.high))
        )
        half = Band(STARTS_ABOVE * capacity / high, STARTS_ABOVE * capacity / low)
        left = 100.0 * max(1.0 - _WEEKS_D * (low + high) / 2.0 / capacity, 0.0)
        yield Parked(id, drain.mid + more, half, left, Band(low, high), _second_ah(job, id))


def _second_ah(job: Assessment, battery: str) -> dict[str, float]:
    """Return what second outputs of solar regulators bring a battery in a day at least, by month. [Ah]

    The sun of a day is spread over more hours than its hours of full sun, in each of which the small current
    of a second output flows: their number is the least.
    """
    energy, found = Energy(job), dict[str, float]()
    fed = {one.feeder for one in job.circuits.values() if one.path == "charging" and one.load == battery}
    for array in energy.arrays:
        part = job.wiring.parts.get(array.regulator)
        store = next((one for one in energy.stores if one.id == array.store), None)
        if array.regulator not in fed or part is None or part.second is None or store is None:
            continue
        most = part.second.current.low if isinstance(part.second.current, Quantity) else 0.0
        for month in MONTHS:
            sun = sun_of(job, month)
            if sun is None or sun.hours <= 0.0:
                continue
            full_a = sum(one.ah for one in sun_on(job, store, sun, (array,))) / sun.hours
            brought = min(most, full_a) * sun.hours * snow_leaves(job, month)
            found[month] = found.get(month, 0.0) + brought
    return found


@dataclass(frozen=True, slots=True)
class Cycles:
    """How deep a day goes at most, and how many years that gives; the low end is half of plain counting."""

    battery: str
    season: str
    depth_pct: float
    years: Band

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {
            "battery": self.battery,
            "season": self.season,
            "depth_pct": self.depth_pct,
            "years": [self.years.low, self.years.high],
        }


def cycles_of(job: Assessment) -> Iterator[Cycles]:
    """Give the house batteries: cycles at the deepest mean day of use, no longer than they last unused."""
    energy = Energy(job)
    for store in energy.stores:
        days = [energy.day(s, m, store, drive=False) for s, m in energy.seasons()]
        taken = [day for day in days if day.takes]
        if not taken:
            continue
        worst = max(taken, key=lambda day: day.taken_ah)
        size = _size(job, store)
        usable = usable_of(job, store.levels[0], None).ah / size
        depth = min(max(worst.taken_ah / size, 0.01), usable)
        chemistry = chemistry_of(job.wiring.parts[store.id])
        months = max(len({day.month for day in taken}), 1)
        counted = cycles(chemistry, depth) / (_YEAR_D * months / 12.0)
        shelf = LIFE_YEARS[chemistry]
        high = min(counted, shelf.high)
        years = Band(min(COUNTED_ON * counted, shelf.low, high), high)
        yield Cycles(store.id, worst.season, 100.0 * depth, years)


__all__ = ["Cycles", "Fill", "Parked", "Stop", "cycles_of", "fills_of", "left_on", "parked_of", "stops_of"]
