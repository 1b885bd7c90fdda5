"""Size, length and surroundings of every piece of wire: typed, by default, or chosen."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from loomwright.loom.lengths import ALLOWANCE_SOURCE, UNKNOWN_M, direct_length
from loomwright.loom.lines import Point
from loomwright.plan.model import Leg, Path, Place, Plan
from loomwright.plan.pieces import FlatRun, Piece, Wiring
from loomwright.plan.values import UNKNOWN, Quantity, Word
from loomwright.source import Source
from loomwright.tables import awg
from loomwright.tables.insulation import insulation_class

from .inputs import TYPED, Inputs, Pick

if TYPE_CHECKING:
    from .routes import Routes

ZONE_SOURCE = Source(
    work="common practice", place="temperatures of engine bays and roof voids", checked="common practice"
)
#: Air around a wire where its path lies in such a zone and no temperature is typed anywhere. [°C]
ZONE_C = {"engine_bay": 60.0, "roof_void": 60.0, "hot": 60.0}
#: The zone in which the boat tables' factor for engine spaces counts.
ENGINE_SPACE = "engine_bay"
#: Sizes counted with where the plan says that the area is not known, thin and thick. [mm²]
UNKNOWN_MM2 = (1.0, 6.0)
#: A return to a stud or the bare body, where no length is typed. [m]
STUD_LEAD_M = 0.3
#: Between two parts at one place there is still so much wire. [m]
SAME_PLACE_M = 0.1
REGIONS_WITH_AWG = ("na",)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What the program has chosen so far where the plan says `auto`."""

    area_mm2: Mapping[str, float] = field(default_factory=dict)  # by run or leg id
    fuse_a: Mapping[str, float] = field(default_factory=dict)  # by run or leg id


@dataclass(frozen=True, slots=True)
class Size:
    """One piece of wire as it will be counted."""

    area_mm2: float | None
    assumed_mm2: float | None  # counted with where the area is not known
    gauge: str
    conductors: str
    length: Pick
    insulation: str
    insulation_c: float
    ambient_c: float
    ambient_says: str
    bundled: int
    engine_space: bool
    chosen: frozenset[str]

    def with_bundled(self, count: int) -> Size:
        """Return the same with so many loaded cores together."""
        return replace(self, bundled=count)


def rating_table(plan: Plan) -> str:
    """Return the current table counted with: typed, else by region."""
    return plan.basis.cable_rating or ("abyc_e11" if plan.region in REGIONS_WITH_AWG else "vde_0298_4")


def conductor_table(plan: Plan) -> str:
    """Return the table of ohms per metre: typed, else by region."""
    return plan.basis.conductors or ("awg" if plan.region in REGIONS_WITH_AWG else "iec_60228_class_5")


def auto_key(piece: Piece) -> str:
    """Return the key under which a choice for this piece is held: its run, or its leg."""
    return f"{piece.run}.{piece.load}" if piece.load else piece.run


def is_auto_area(flat: FlatRun, piece: Piece) -> bool:
    """True if the program is to choose this piece's area."""
    run = flat.run
    joint = isinstance(run.length, Quantity) and run.length.high == 0.0
    if flat.inner or flat.mains or joint or run.factory is True or isinstance(run.resistance, Quantity):
        return False
    area = area_of(flat, piece)
    return not isinstance(area, Quantity) and area is not UNKNOWN


def size_of(routes: Routes, flat: FlatRun, piece: Piece, inputs: Inputs, chosen: Chosen) -> Size:
    """Return size, length and surroundings of one piece; `routes`: where the wires of its van lie."""
    wiring, run = routes.wiring, flat.run
    plan = wiring.plan
    area, marks = area_of(flat, piece), set()
    area_mm2, gauge = None, ""
    if isinstance(area, Quantity):
        area_mm2 = inputs.end(area, f"wiring.{flat.id}.area", worse="low", ohms=True)
        gauge = area.typed if "awg" in area.typed.lower() else ""
    elif not flat.inner and area is not UNKNOWN:
        area_mm2 = chosen.area_mm2.get(auto_key(piece))
        if area_mm2 is not None and conductor_table(plan) == "awg":
            gauge = awg.label(awg.largest_within(area_mm2)).removeprefix("AWG ") + " AWG"
        marks.add("area")
    length = _length(routes, flat, piece, inputs)
    if not isinstance(run.length, Quantity):
        marks.add("length")
    insulation = (
        (run.return_.insulation if piece.is_return and run.return_ is not None else None)
        or run.insulation
        or plan.basis.insulation
        or "PVC 70 °C"
    )
    way = _way(wiring, flat, piece)
    ambient_c, says = _ambient(wiring, flat, way, inputs)
    bundled = run.bundle if isinstance(run.bundle, int) else plan.basis.bundle
    return Size(
        area_mm2,
        _guessed_mm2(inputs, flat.id) if area is UNKNOWN else None,
        gauge,
        "awg" if gauge else conductor_table(plan),
        length,
        insulation,
        insulation_class(insulation).max_c,
        ambient_c,
        says,
        bundled if isinstance(bundled, int) else 1,
        not isinstance(run.temperature, Quantity)
        and any(ENGINE_SPACE in zones_of(plan, spot) for spot in way.values()),
        frozenset(marks),
    )


def _guessed_mm2(inputs: Inputs, run: str) -> float:
    """Return the area counted with where nobody knows it. [mm²]"""
    return inputs.pick(None, UNKNOWN_MM2, f"wiring.{run}.area", TYPED, worse="low", ohms=True).value


def area_of(flat: FlatRun, piece: Piece) -> Quantity | Word | None:
    """Return the size of a piece as the plan types it. [mm²]"""
    run = flat.run
    if piece.role == "leg" or (piece.is_return and piece.load):
        leg = run.legs.get(piece.load or "", Leg())
        own = leg.return_.area if piece.is_return and leg.return_ is not None else None
        return _first(own, leg.area, run.area)
    if piece.is_return and run.return_ is not None:
        return _first(run.return_.area, run.area)
    return run.area


def _first(*amounts: Quantity | Word | None) -> Quantity | Word | None:
    for amount in amounts:
        if isinstance(amount, Quantity) or amount is UNKNOWN:
            return amount
    return None


def _length(routes: Routes, flat: FlatRun, piece: Piece, inputs: Inputs) -> Pick:
    """Return how long a piece is: typed for its run and shared out, else by its own way, else guessed. [m]"""
    wiring = routes.wiring
    if _goes_to_body(wiring, flat, piece):
        return _lead_length(routes, flat, piece, inputs)
    typed = _typed_length(wiring, flat, piece, inputs)
    if typed is None:
        laid = routes.laid.get(piece.id)
        if laid is not None and laid.metres is not None and flat.run.length is not UNKNOWN:
            loop = flat.run.loop.high if isinstance(flat.run.loop, Quantity) else 0.0
            return Pick(laid.metres + loop * _share(wiring, flat, piece), ALLOWANCE_SOURCE)
        typed = _guessed_length(wiring, flat, inputs)
    return Pick(typed.value * _share(wiring, flat, piece), typed.source, typed.unknown)


def _share(wiring: Wiring, flat: FlatRun, piece: Piece) -> float:
    """Return a piece's part of its run's length: by how far its ends lie apart, evenly if nobody knows."""
    if piece.share == 1.0:
        return 1.0
    chain = [one for one in flat.pieces if one.role == piece.role and one.load == piece.load]
    apart: dict[tuple[str | None, str | None], float] = {}
    for one in chain:
        start, end = where_of(wiring, one.a), where_of(wiring, one.b)
        if start is None or end is None:
            return piece.share
        apart[wiring.part_of(one.a), wiring.part_of(one.b)] = max(math.dist(start, end), SAME_PLACE_M)
    own = apart[wiring.part_of(piece.a), wiring.part_of(piece.b)]
    return own / sum(apart.values())


def _typed_length(wiring: Wiring, flat: FlatRun, piece: Piece, inputs: Inputs) -> Pick | None:
    """Return the length that the plan types for all of a run, leg or return; None if it has to be found."""
    run = flat.run
    if flat.inner:
        return Pick(0.0, TYPED)
    if piece.load and piece.role in ("leg", "return"):
        leg = run.legs.get(piece.load, Leg())
        own = leg.return_.length if piece.is_return and leg.return_ is not None else None
        amount = _first(own, leg.length)
        leg_name = f"wiring.{flat.id}.legs.{piece.load}.length"
        return inputs.pick(amount, (0.0, 0.0), leg_name, TYPED, ohms=True)
    if piece.is_return:
        back = run.return_
        if back is not None and isinstance(back.length, Quantity):
            own_name = f"wiring.{flat.id}.return.length"
            return inputs.pick(back.length, (0.0, 0.0), own_name, TYPED, ohms=True)
    if isinstance(run.length, Quantity):
        return inputs.pick(run.length, (0.0, 0.0), f"wiring.{flat.id}.length", TYPED, ohms=True)
    return None


def _goes_to_body(wiring: Wiring, flat: FlatRun, piece: Piece) -> bool:
    """Say whether a piece is a return to a stud or the bare body whose length nobody types."""
    if flat.inner or not piece.is_return:
        return False
    leg = flat.run.legs.get(piece.load) if piece.load else None
    back = leg.return_ if leg is not None else flat.run.return_ if piece.load is None else None
    return (
        back is not None
        and not isinstance(back.length, Quantity)
        and back.to is not None
        and (back.to.id == "body" or back.to.id in wiring.plan.studs)
    )


def _lead_length(routes: Routes, flat: FlatRun, piece: Piece, inputs: Inputs) -> Pick:
    """Return how long a return to a stud is: its way from the load; 0.3 m where nobody knows it. [m]"""
    laid = routes.laid.get(piece.id)
    if laid is not None and laid.metres is not None:
        return Pick(max(laid.metres, STUD_LEAD_M), ALLOWANCE_SOURCE)
    start, end = where_of(routes.wiring, piece.a), where_of(routes.wiring, piece.b)
    if start is None or end is None or start == end:
        return Pick(STUD_LEAD_M * _share(routes.wiring, flat, piece), ALLOWANCE_SOURCE)
    return inputs.pick(
        None, direct_length(start, end), f"wiring.{piece.run}.return.length", ALLOWANCE_SOURCE, ohms=True
    )


def _guessed_length(wiring: Wiring, flat: FlatRun, inputs: Inputs) -> Pick:
    """Return the band of a run that no path leads: by how far its ends lie apart, if anybody knows. [m]"""
    first, last = flat.pieces[0].a, (flat.loads[0] if flat.loads else flat.pieces[-1].b)
    start, end = where_of(wiring, first), where_of(wiring, last)
    if flat.run.length is UNKNOWN or start is None or end is None:
        band = UNKNOWN_M
    else:
        band = direct_length(start, end)
    return inputs.pick(None, band, f"wiring.{flat.id}.length", ALLOWANCE_SOURCE, ohms=True)


def place_of(wiring: Wiring, point: str) -> str | None:
    """Return the id of the place a point lies at; inside a composite, that of the composite."""
    part = wiring.part_of(point)
    while part is not None:
        place = wiring.parts[part].place
        if place is not None:
            return place
        outer = part.rpartition("/")[0]
        part = outer if outer in wiring.parts else None
    stud = wiring.plan.studs.get(point)
    return stud.place if stud is not None else None


def where_of(wiring: Wiring, point: str) -> Point | None:
    """Return where a point is: its part's own coordinates, else those of its place; None if not known. [m]"""
    part = wiring.part_of(point)
    at = wiring.parts[part].at if part is not None else None
    if at is None:
        place = wiring.plan.places.get(place_of(wiring, point) or "")
        at = place.at if place is not None else None
    return _middle(at)


def _middle(at: object) -> Point | None:
    if not isinstance(at, tuple) or len(at) != 3 or not all(isinstance(c, Quantity) for c in at):
        return None
    x, y, z = (c.mid for c in at)
    return (x, y, z)


def stops_of(plan: Plan, key: str) -> list[Point]:
    """Return the corners of a path, or the one point of a place, as far as they are known. [m]"""
    if key in plan.places:
        point = _middle(plan.places[key].at)
        return [point] if point is not None else []
    path = plan.paths.get(key)
    points: list[Point] = []
    for stop in path.along or () if path is not None else ():
        point = (
            _middle(plan.places[stop].at) if isinstance(stop, str) and stop in plan.places else _middle(stop)
        )
        if point is not None:
            points.append(point)
    return points


def _way(wiring: Wiring, flat: FlatRun, piece: Piece) -> dict[str, Path | Place]:
    """Return the paths and places that a run says it lies in; without any, the places of a piece's ends."""
    plan = wiring.plan
    keys: Sequence[str] = flat.run.via or tuple(
        place for point in (piece.a, piece.b) if (place := place_of(wiring, point)) is not None
    )
    spots = ((key, plan.paths.get(key) or plan.places.get(key)) for key in keys)
    return {key: spot for key, spot in spots if spot is not None}


def _ambient(
    wiring: Wiring, flat: FlatRun, way: Mapping[str, Path | Place], inputs: Inputs
) -> tuple[float, str]:
    """Return the air around a wire: its own, the hottest its way says, else the basis. [°C]"""
    if isinstance(flat.run.temperature, Quantity):
        return flat.run.temperature.high, "typed at the wire"
    basis = wiring.plan.basis
    basis_c = basis.temperature.high if isinstance(basis.temperature, Quantity) else 30.0
    use_zones = "temperature" not in basis.typed
    warm = [(_spot_c(wiring.plan, spot, use_zones=use_zones), key) for key, spot in way.items()]
    counted = [(basis_c, "basis") if c is None else (c, key) for c, key in warm]
    return max(counted, default=(basis_c, "basis"))


def _spot_c(plan: Plan, spot: Path | Place, *, use_zones: bool) -> float | None:
    """Return the hottest that a path or place says, of any month, itself or by its stops; None if nothing."""
    typed = spot.temperature.points.values() if spot.temperature is not None else ()
    months = [amount.high for amount in typed if isinstance(amount, Quantity)]
    if months:
        return max(months)
    zones = [ZONE_C[zone] for zone in zones_of(plan, spot) if zone in ZONE_C] if use_zones else []
    passed = [_spot_c(plan, stop, use_zones=False) for stop in _places_along(plan, spot)]
    return max([*zones, *(c for c in passed if c is not None)], default=None)


def hottest_c(plan: Plan, place: Place) -> float:
    """Return the hottest that a place gets: as typed, by its zones, else the basis. [°C]"""
    basis = plan.basis.temperature
    own = _spot_c(plan, place, use_zones="temperature" not in plan.basis.typed)
    return own if own is not None else basis.high if isinstance(basis, Quantity) else 30.0


def zones_of(plan: Plan, spot: Path | Place) -> set[str]:
    """Return the zones of a path or place; a path takes those of its stops too."""
    return {*(spot.zones or ()), *(zone for stop in _places_along(plan, spot) for zone in stop.zones)}


def _places_along(plan: Plan, spot: Path | Place) -> list[Place]:
    stops = spot.along or () if isinstance(spot, Path) else ()
    return [plan.places[stop] for stop in stops if isinstance(stop, str) and stop in plan.places]
