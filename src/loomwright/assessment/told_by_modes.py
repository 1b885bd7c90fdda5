"""What the modes of a van tell: batteries joined, one drained, chargers summed, switches that do not turn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from loomwright.plan.values import Quantity

from .banks_charged import charge_share
from .chargers import ports_of
from .conditions import condition
from .inputs import Corner, Inputs
from .modes import ModeFigure
from .record import Assessment

#: From full, so much of a starter battery may go; below it the engine may not start. Common practice.
MAY_GO = 0.5
#: Modes in which nothing drives and a person has set nothing by hand.
AT_REST = ("parked", "ignition", "master_off", "storage")


@dataclass(frozen=True, slots=True)
class Joined:
    """A vehicle battery and a house battery that feed one another in a mode where nothing charges them."""

    mode: str
    vehicle: str
    house: str


def joined_at_rest(job: Assessment) -> Iterator[Joined]:
    """Give the pairs of batteries that are joined though the engine stands, each in its first mode."""
    parts = job.wiring.parts
    vehicles = [id for id, part in parts.items() if part.kind == "vehicle_battery"]
    houses = [id for id, part in parts.items() if part.kind == "battery"]
    known: set[tuple[str, str]] = set()
    for mode in _at_rest(job):
        for vehicle, house in product(vehicles, houses):
            if (vehicle, house) not in known and vehicle in mode.live.at(f"{house}.plus"):
                known.add((vehicle, house))
                yield Joined(mode.id, vehicle, house)


def _at_rest(job: Assessment) -> Iterator[ModeFigure]:
    """Give the named modes at rest, then every state of the switches with engine and hook-up off."""
    yield from (mode for name in AT_REST if (mode := job.modes.figures.get(name)) is not None)
    resting = {condition("engine"): "stopped", condition("hook_up"): "none"}
    for mode in job.modes.sweep[0]:
        if all(mode.positions[id] == position for id, position in resting.items()):
            yield mode


@dataclass(frozen=True, slots=True)
class Drain:
    """What a vehicle battery feeds while the van is parked: the loads, their sum, and how long until half.

    [A, h]; `hours` is None if its capacity is not known.
    """

    battery: str
    loads: tuple[str, ...]
    amps: float
    hours: float | None


def drains(job: Assessment) -> Iterator[Drain]:
    """Give what each vehicle battery alone feeds while the van is parked, everything on that can be."""
    parked = job.modes.figures["parked"]
    running = {one.load: one.running_a for one in job.circuits.values() if one.running_a is not None}
    for id, part in job.wiring.parts.items():
        if part.kind != "vehicle_battery":
            continue
        others = {other for other, one in job.wiring.parts.items() if one.kind == "battery"}
        loads = [
            load for load, by in parked.feeds.items() if id in by and not others & by and running.get(load)
        ]
        amps = sum(running[load] or 0.0 for load in loads)
        if amps > 0.0:
            capacity = part.capacity.low if isinstance(part.capacity, Quantity) else None
            hours = None if capacity is None else MAY_GO * capacity / amps
            yield Drain(id, tuple(loads), amps, hours)


@dataclass(frozen=True, slots=True)
class ChargingSum:
    """What chargers together may push into a battery in a mode, against what it may take. [A]"""

    mode: str
    battery: str
    chargers: Mapping[str, float]
    limit_a: float

    @property
    def amps(self) -> float:
        """Sum of the chargers. [A]"""
        return sum(self.chargers.values())


def charging_sums(job: Assessment) -> Iterator[ChargingSum]:
    """Give, for each battery with a charge limit, the mode in which the most is pushed into it.

    Batteries of a bank share it. Only what limits its own output counts; an alternator behind a plain relay
    gives what the battery takes.
    """
    gives = _outputs(job)
    for battery, part in job.wiring.parts.items():
        if part.kind != "battery" or not isinstance(part.charge_limit, Quantity):
            continue
        worst: ChargingSum | None = None
        for mode in job.modes.figures.values():
            chargers = {
                id: gives[id] * charge_share(job, battery, id)
                for id in sorted(mode.charges.get(battery, ()))
                if gives.get(id)
            }
            found = ChargingSum(mode.id, battery, chargers, part.charge_limit.low)
            if worst is None or found.amps > worst.amps:
                worst = found
        if worst is not None and worst.amps > 0.0:
            yield worst


def _outputs(job: Assessment) -> dict[str, float]:
    """Return what each output of a charger gives, by the name of its source in the modes. [A]"""
    ports = ports_of(job.wiring, Inputs(job.plan, Corner.BAD))
    outputs = (port for port in ports if port.kind == "output")
    return {port.id if port.id.endswith(".second") else port.part: port.amps for port in outputs}


@dataclass(frozen=True, slots=True)
class OddSwitch:
    """A two-way or intermediate switch that does not turn its load over in every position of the others."""

    load: str
    switch: str


def odd_switches(job: Assessment) -> Iterator[OddSwitch]:
    """Give the two-way and intermediate switches that fail to turn a load they stand before."""
    for group in _groups(job):
        table = _truth_table(job, group)
        first, *others = table.values()
        for load, by in first.feeds.items():
            if all(bool(other.feeds[load]) == bool(by) for other in others):
                continue  # it does not hang on these switches
            for place, (switch, positions) in enumerate(group.items()):
                if not _turns_over(table, load, place, positions):
                    yield OddSwitch(load, switch)


def _groups(job: Assessment) -> Iterator[dict[str, tuple[str, ...]]]:
    """Give the switches that lines join to each other, with their positions."""
    parts = job.wiring.parts
    turning = {
        one.id: tuple(one.positions)
        for one in job.modes.net.devices
        if one.id in parts and parts[one.id].kind in ("two_way", "intermediate")
    }
    joined: dict[str, set[str]] = {id: set() for id in turning}
    for piece in job.wiring.pieces():
        ends = {job.wiring.part_of(point) for point in (piece.a, piece.b)} & turning.keys()
        for id in ends:
            joined[id or ""] |= {end for end in ends if end is not None}
    left = dict(turning)
    while left:
        group, queue = [], [next(iter(left))]
        while queue:
            id = queue.pop()
            if id in left:
                del left[id]
                group.append(id)
                queue += sorted(joined[id])
        if len(group) > 1:
            yield {id: turning[id] for id in sorted(group)}


def _truth_table(job: Assessment, group: Mapping[str, tuple[str, ...]]) -> dict[tuple[str, ...], ModeFigure]:
    states = product(*group.values())
    return {state: job.modes.figure("", dict(zip(group, state, strict=True))) for state in states}


def _turns_over(
    table: Mapping[tuple[str, ...], ModeFigure], load: str, place: int, positions: tuple[str, ...]
) -> bool:
    """Say whether moving one switch always changes whether the load is fed."""
    for state, figure in table.items():
        for other in positions:
            moved = (*state[:place], other, *state[place + 1 :])
            if moved != state and bool(figure.feeds.get(load)) == bool(table[moved].feeds.get(load)):
                return False
    return True
