"""What a wire finds where it lies: how full its pipe is, how hot the air, what is left for a loop; inlets.

A pipe is filled by its wires as single cores, a cable of several by so many: never less than this.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.loom.bundles import pipe_fill
from loomwright.plan.pieces import FlatRun
from loomwright.plan.values import Quantity
from loomwright.tables.insulation import insulation_class

from .record import Assessment
from .routes import via_of
from .sizes import place_of, where_of, zones_of

#: Load floor above the road where the plan does not say. Common practice: panel vans, unladen. [m]
FLOOR_M = (0.5, 0.75)
#: A wire over a hinge or a slide has so much more than its way, so that it rolls and is not pulled. [m]
LOOP_M = 0.1
#: Cores of a mains cable where the plan does not say.
MAINS_CORES = 3


@dataclass(frozen=True, slots=True)
class PipeFill:
    """A closed pipe: shares of its bore that its wires fill and may fill, and the bore that would do. [mm]"""

    path: str
    wires: tuple[str, ...]
    fill: float
    most: float
    bore_mm: float
    needed_mm: float


def pipe_fills(job: Assessment) -> Iterator[PipeFill]:
    """Give each closed pipe whose bore is known (`hole`), with what lies in it where it is fullest."""
    for id, path in job.plan.paths.items():
        if path.conduit is not True or not isinstance(path.hole, Quantity):
            continue
        bore = 1e3 * path.hole.low
        found = [_filled(job, id, wires, bore) for wires in _inside(job, id)]
        fullest = max(filter(None, found), key=lambda one: one.fill / one.most, default=None)
        if fullest is not None:
            yield fullest


def _filled(job: Assessment, id: str, wires: Sequence[str], bore_mm: float) -> PipeFill | None:
    cores = [d for wire in wires for d in _cores_mm(job, wire)]
    if not cores or bore_mm <= 0.0:
        return None
    fill, most = pipe_fill(cores, bore_mm)
    return PipeFill(id, tuple(wires), fill, most, bore_mm, bore_mm * math.sqrt(fill / most))


def _cores_mm(job: Assessment, wire: str) -> list[float]:
    """Return the diameters of the cores of a wire; none where its size is not known. [mm]"""
    thick, flat = job.loom.thick_mm(wire), job.wiring.runs[job.wires[wire].run]
    cores = flat.run.cores if isinstance(flat.run.cores, int) else MAINS_CORES if flat.mains else 1
    return [thick] * cores if thick else []


def _inside(job: Assessment, id: str) -> Iterator[tuple[str, ...]]:
    """Give what lies together in a pipe: by the ways of its wires, else all whose run names it."""
    sections = [one.wires for one in job.loom.sections if one.path == id]
    if sections:
        yield from sections
        return
    named: dict[tuple[str, str, str | None], str] = {}
    for flat in job.wiring.runs.values():
        for piece in flat.pieces:
            if piece.id in job.wires and id in via_of(job.wiring, flat, [piece]):
                named.setdefault((flat.id, piece.role, piece.load), piece.id)
    yield tuple(named.values())


@dataclass(frozen=True, slots=True)
class HotAir:
    """A wire in air as hot as its insulation may get by itself. [°C]"""

    wire: str
    run: str
    air_c: float
    insulation_c: float
    says: str


def in_hot_air(job: Assessment) -> Iterator[HotAir]:
    """Give the wires whose air leaves their insulation nothing; of each run the worst."""
    worst: dict[str, HotAir] = {}
    for wire in job.wires.values():
        flat = job.wiring.runs[wire.run]
        if flat.inner or flat.run.factory is True:
            continue
        most = insulation_class(wire.insulation).max_c
        one = HotAir(wire.id, wire.run, wire.ambient_c, most, wire.insulation)
        if one.air_c >= most and (wire.run not in worst or most < worst[wire.run].insulation_c):
            worst[wire.run] = one
    yield from worst.values()


@dataclass(frozen=True, slots=True)
class Taut:
    """A wire over a moving part with `left_m` more than its way, laps and ends counted in. [m]"""

    wire: str
    run: str
    path: str
    left_m: float


def taut(job: Assessment) -> Iterator[Taut]:
    """Give the wires of typed length that have no loop left where they pass a moving part.

    Only where the corners of all its way are known and the length of the moving path is not typed, since a
    string laid there follows the loop.
    """
    moving = {
        id
        for id, path in job.plan.paths.items()
        if "moving" in zones_of(job.plan, path) and not isinstance(path.length, Quantity)
    }
    for id, laid in job.loom.laid.items():
        wire, flat = job.wires.get(id), _flat(job, id)
        if wire is None or flat is None or laid.route is None or wire.length_m is None:
            continue
        passed = [path for path in laid.route.paths if path in moving]
        if passed and laid.pinned and isinstance(flat.run.length, Quantity):
            left = wire.length_m - laid.route.metres
            if left < LOOP_M:
                yield Taut(id, wire.run, passed[0], left)


def _flat(job: Assessment, wire: str) -> FlatRun | None:
    figure = job.wires.get(wire)
    flat = job.wiring.runs.get(figure.run) if figure is not None else None
    return None if flat is None or flat.inner or flat.run.factory is True else flat


@dataclass(frozen=True, slots=True)
class InletHeight:
    """The middle of an inlet above the road, low and high; `guessed` if the floor is not measured. [m]"""

    inlet: str
    low_m: float
    high_m: float
    guessed: bool


def inlet_heights(job: Assessment) -> Iterator[InletHeight]:
    """Give the inlets whose height above the load floor is known, with that of the floor."""
    typed = job.plan.vehicle.floor_height
    known = isinstance(typed, Quantity)
    low, high = (typed.low, typed.high) if isinstance(typed, Quantity) else FLOOR_M
    for id, part in job.wiring.parts.items():
        at = where_of(job.wiring, f"{id}.out") if part.kind == "inlet" else None
        if at is not None:
            own = _extent(job, id) or (at[2], at[2])
            yield InletHeight(id, own[0] + low, own[1] + high, not known)


def _extent(job: Assessment, part_id: str) -> tuple[float, float] | None:
    """Return how high a part is by its own coordinates, else those of its place, as a range. [m]"""
    place = job.plan.places.get(place_of(job.wiring, f"{part_id}.out") or "")
    for at in (job.wiring.parts[part_id].at, place.at if place is not None else None):
        if at is not None:
            return (at[2].low, at[2].high) if isinstance(at[2], Quantity) else None
    return None


__all__ = [
    "FLOOR_M",
    "LOOP_M",
    "HotAir",
    "InletHeight",
    "PipeFill",
    "Taut",
    "in_hot_air",
    "inlet_heights",
    "pipe_fills",
    "taut",
]
