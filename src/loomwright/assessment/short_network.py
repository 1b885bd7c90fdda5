"""A van as the network that a short sees: what resists, drives, limits itself, and which fuses lie where.

Largest: copper at 20 °C or the air's if that is colder, joints fresh, batteries full and new; what limits
itself gives its limit on top. Smallest: copper as hot as its insulation stands, joints aged, batteries at
20 % charge and weak; nothing that limits itself helps. What limits itself and is all there is folds back: it
gives no more than its limit. Capacitors are left out: they empty within milliseconds.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from loomwright.circuit.along import Given
from loomwright.circuit.between import Between
from loomwright.circuit.joints import pieces
from loomwright.circuit.network import Resistor, Source
from loomwright.plan.pieces import Piece, Wiring
from loomwright.plan.values import Fuse, Quantity
from loomwright.tables import batteries, feeds

from .bands import usual_fuse_kind
from .banks_states import resting_v
from .chargers import output_volts, ports_of
from .conditions import fuse_device
from .diodes import conducting
from .inputs import Corner, Inputs
from .network import END_JOINTS, Branch, NetworkBuilder, vehicle_minus
from .sizes import Chosen, Size, size_of
from .sources import converter_volts, inner_ohm, is_battery
from .states import Contact
from .topology import Topology

#: Copper, and charge, when a short is at its largest. [°C, %]
COLD_C, FULL_PCT = 20.0, 100.0
#: No battery resists less than this, whatever was typed. [Ω]
LEAST_INNER_OHM = 1e-5
#: What limits itself holds its volts up to its limit, behind next to nothing. [Ω]
_HELD_OHM = 1e-5
#: A panel shorted gives so much of its current at the best point, where no figure is typed. [-]
_PANEL_SHORTED = 1.1
_LITHIUM = "lifepo4"
#: Corner of the ohms. For the largest short they are few at its bad end, many at its good one; for the
#: smallest joints are as after years at its bad end.
_MOST_AT = {Corner.BAD: Corner.LEAST, Corner.GOOD: Corner.BAD}
_LEAST_AT = {Corner.BAD: Corner.WORN}


@dataclass(frozen=True, slots=True)
class Device:
    """A fuse: where it sits, the run or box that it guards, and how far down its wire it sits. [A, m]"""

    at: str
    owner: str
    rating_a: float | None
    kind: str
    from_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Limit:
    """What limits its own output: its name as in a mode, its part, its posts, volts and amperes."""

    id: str
    part: str
    plus: str
    minus: str
    volts: float
    amps: float


@dataclass(frozen=True, slots=True)
class State:
    """How a van stands: closed contacts, fuses that are out, and what gives (None: all that can)."""

    name: str
    closed: Sequence[Contact]
    pulled: Collection[str] = ()
    gives: Collection[str] | None = None


@dataclass(frozen=True, slots=True)
class ShortNetwork:
    """The network of one state at one end.

    Attributes
    ----------
    resistors : list of Resistor
        Each wire in three: what lies before a short at each end, and the rest.
    sources : list of Source
        Batteries, the vehicle's own feeds, diodes that conduct; and what limits itself and is alone.
    given : list of Given
        What limits itself where a battery is.
    alone : mapping of str to float
        By what limits itself and stands alone, what it gives together with others of its metal. [A]
    between : Between
        Which fuses lie between a point and each source.
    """

    resistors: list[Resistor]
    sources: list[Source]
    given: list[Given]
    alone: dict[str, float]
    between: Between

    def limit_at(self, point: str) -> float:
        """Return what a short at a point draws at most: infinite where a battery feeds it. [A]"""
        feeding = self.between.ways(point)
        alone = bool(feeding) and all(id in self.alone for id in feeding)
        return max(self.alone[id] for id in feeding) if alone else math.inf


class ShortBuilder:
    """Builds the networks of one van at one end: with the largest shorts, or with the smallest.

    Parameters
    ----------
    topology, chosen
        How the van hangs together; sizes and fuses where the plan says auto.
    corner : Corner
        At the bad one the largest are as large, and the smallest as small, as the unknown allows.
    turned : frozenset of str
        Fields that stand at the other end, as in `Inputs`.
    most : bool
        True for the largest.
    """

    def __init__(
        self,
        topology: Topology,
        chosen: Chosen,
        corner: Corner,
        turned: frozenset[str] = frozenset(),
        *,
        most: bool,
    ) -> None:
        self.wiring, self.most = topology.wiring, most
        self.inputs = Inputs(
            self.wiring.plan, (_MOST_AT if most else _LEAST_AT).get(corner, corner), turned=turned
        )
        sizes = {
            piece.id: size_of(topology.routes, flat, piece, self.inputs, chosen)
            for flat in self.wiring.runs.values()
            for piece in flat.pieces
        }
        copper_c = {id: self._copper_c(size) for id, size in sizes.items()}
        self.builder = NetworkBuilder(self.wiring, self.inputs, sizes, chosen, copper_c)
        self.devices = devices_of(self.builder)
        self.limits = tuple(limits_of_sources(self.wiring))
        self._pieces = {piece.id: piece for piece in self.wiring.pieces()}
        self._parted: dict[str, tuple[Resistor, ...]] = {}

    def _copper_c(self, size: Size) -> float:
        return min(COLD_C, size.ambient_c) if self.most else size.insulation_c

    def resistors(self, closed: Iterable[Contact], pulled: Collection[str] = ()) -> list[Resistor]:
        """Return what resists with these contacts closed and these fuses out."""
        whole = (branch for branch in self.builder.branches(closed) if fuse_device(branch.id) not in pulled)
        return [one for branch in whole for one in self._parts(branch)]

    def _parts(self, branch: Branch) -> tuple[Resistor, ...]:
        """Return a branch as resistors: a wire in three, before a short at each end, and the rest."""
        if branch.kind != "wire":
            return (branch.resistor(),)
        if branch.id not in self._parted:
            self._parted[branch.id] = _parted(self.builder, self._pieces[branch.id], branch)
        return self._parted[branch.id]

    def batteries(self) -> list[Source]:
        """Return the batteries behind their inner resistance: full and new, or nearly empty and weak."""
        charge = FULL_PCT if self.most else batteries.LOW_CHARGE_PCT
        return [
            Source(id, f"{id}.plus", f"{id}.minus", resting_v(self.wiring, id, charge), self._inner(id))
            for id in self.wiring.parts
            if is_battery(self.wiring, id)
        ]

    def _inner(self, id: str) -> float:
        ohm = max(inner_ohm(self.wiring, self.inputs, id), LEAST_INNER_OHM)
        if self.most:
            return ohm
        weak = self.wiring.parts[id].chemistry == _LITHIUM
        return ohm * (batteries.COLD_RESISTANCE if weak else batteries.AGED_RESISTANCE.low)

    def network(self, state: State) -> ShortNetwork:
        """Return the network of a state."""
        wiring = self.wiring
        resistors = self.resistors(state.closed, state.pulled)
        stiff = self.batteries()
        for id, feed, resistor in self._feeds():
            if state.gives is None or id in state.gives:
                stiff.append(feed)
                resistors.append(resistor)
        diodes = conducting(wiring, state.closed, stiff)
        metal = _Metal(resistors, diodes)
        limits = [one for one in self.limits if state.gives is None or one.id in state.gives]
        ends = {metal.of(point) for source in stiff for point in (source.plus, source.minus)}
        with_battery = [one for one in limits if metal.of(one.plus) in ends]
        lonely = [one for one in limits if metal.of(one.plus) not in ends]
        together: dict[int, float] = {}
        for one in lonely:
            together[metal.of(one.plus)] = together.get(metal.of(one.plus), 0.0) + one.amps
        highest: dict[int, float] = {}
        for one in lonely:
            highest[metal.of(one.plus)] = max(one.volts, highest.get(metal.of(one.plus), 0.0))
        held = [Source(one.id, one.plus, one.minus, highest[metal.of(one.plus)], _HELD_OHM) for one in lonely]
        lie = {one.id: (one.a, one.b) for one in resistors if one.id in self.devices}
        joined = [(one.a, one.b) for one in resistors if one.id not in self.devices]
        joined += [(one.plus, one.minus) for one in diodes]
        feeding = {one.id: one.plus for one in stiff} | {one.id: one.plus for one in limits}
        return ShortNetwork(
            resistors,
            [*stiff, *diodes, *held],
            [Given(one.plus, one.minus, one.amps) for one in with_battery] if self.most else [],
            {one.id: together[metal.of(one.plus)] for one in lonely},
            Between(joined, lie, feeding),
        )

    def _feeds(self) -> Iterator[tuple[str, Source, Resistor]]:
        """Give the vehicle's own feeds: its battery behind a cable and a fuse that nobody can see."""
        minus = vehicle_minus(self.wiring)
        if minus is None:
            return
        battery = next(one for one in self.batteries() if one.minus == minus)
        ohm = feeds.FEED_OHM.low if self.most else feeds.FEED_OHM.high
        for id, part in self.wiring.parts.items():
            if part.kind == "vehicle_feed" and part.wired is not False:
                inside = f"{id}:inside"
                source = Source(id, inside, minus, battery.volts, battery.ohm)
                yield id, source, Resistor(f"{id}:feed", inside, f"{id}.plus", ohm)


class _Metal:
    """Which points are one piece of metal."""

    def __init__(self, resistors: Sequence[Resistor], diodes: Sequence[Source]) -> None:
        number: dict[str, int] = {}

        def at(point: str) -> int:
            return number.setdefault(point, len(number))

        pairs = [(at(one.a), at(one.b)) for one in resistors]
        pairs += [(at(one.plus), at(one.minus)) for one in diodes]
        piece = pieces(len(number), pairs)
        self._piece = {point: piece[k] for point, k in number.items()}

    def of(self, point: str) -> int:
        """Return the number of the metal that a point is part of; one that nothing touches is by itself."""
        return self._piece.setdefault(point, len(self._piece) + 1_000_000)


# --- fuses -------------------------------------------------------------------------------------------


def devices_of(builder: NetworkBuilder) -> dict[str, Device]:
    """Return every fuse of a van, by the resistor that it is in."""
    wiring = builder.wiring
    found: dict[str, Device] = {}
    for flat in wiring.runs.values():
        if flat.mains:
            continue
        for piece in flat.pieces:
            for spot in piece.spots:
                rating, kind = builder.fuse_rating(piece, spot.fuse), builder.fuse_kind(piece, spot)
                text = piece.a_text if spot.side == "a" else piece.b_text
                away = spot.fuse.distance
                from_m = away.high if spot.way is None and isinstance(away, Quantity) else 0.0
                device = Device(spot.way or text, flat.id, rating, kind, from_m)
                found.setdefault(spot.way or f"{piece.id}:{spot.side}", device)
    for id, part in wiring.parts.items():
        if part.kind == "fuse_box" and isinstance(part.main_fuse, tuple) and part.main_fuse:
            fuse: Fuse = min(part.main_fuse, key=lambda one: _rating(one) or 0.0)
            rating = _rating(fuse)
            found[f"{id}.main"] = Device(id, id, rating, fuse.type or usual_fuse_kind(rating))
        elif part.kind == "vehicle_feed":
            rating = part.rating.high if isinstance(part.rating, Quantity) else feeds.FEED_A
            found[f"{id}:feed"] = Device(id, id, rating, usual_fuse_kind(rating))
    return found


def _rating(fuse: Fuse) -> float | None:
    return fuse.rating.high if isinstance(fuse.rating, Quantity) else None


# --- what limits itself ------------------------------------------------------------------------------


def limits_of_sources(wiring: Wiring) -> Iterator[Limit]:
    """Give everything that limits its own output, with what it gives at most."""
    plan = wiring.plan
    for port in ports_of(wiring, Inputs(plan, Corner.BAD)):
        if port.gives and port.amps > 0.0:
            part = wiring.parts[port.part]
            amps, volts = port.amps, output_volts(part, plan)
            if port.kind == "panel":
                shorted = part.short_current
                amps = shorted.high if isinstance(shorted, Quantity) else amps * _PANEL_SHORTED
            id = port.id if port.id.endswith(".second") else port.part
            yield Limit(id, port.part, port.plus, port.minus, volts, amps)
    for id, part in wiring.parts.items():
        if part.wired is False:
            continue
        if part.kind == "converter":
            typed = next((a.high for a in (part.fold_back, part.current) if isinstance(a, Quantity)), None)
            if typed:
                yield Limit(id, id, f"{id}.out", f"{id}.out_minus", converter_volts(wiring, id), typed)
        elif part.kind == "alternator":
            amps = part.current.high if isinstance(part.current, Quantity) else feeds.ALTERNATOR_A
            charged = part.charges if part.charges in wiring.parts else None
            minus = f"{charged}.minus" if charged else vehicle_minus(wiring)
            if minus is not None:
                yield Limit(id, id, f"{id}.plus", minus, output_volts(part, plan), amps)
        elif part.kind == "inverter_charger" and isinstance(part.current, Quantity):
            ends = f"{id}.plus", f"{id}.minus"
            yield Limit(id, id, *ends, output_volts(part, plan), part.current.high)


# --- wires in three ----------------------------------------------------------------------------------


def _parted(builder: NetworkBuilder, piece: Piece, branch: Branch) -> tuple[Resistor, ...]:
    """Return a wire in three; the colon: a point of the plan may be called like a piece and a letter."""
    a, b = _end_ohms(builder, piece, branch)
    return (
        Resistor(f"{piece.id}:a", piece.a, f"{piece.id}:a", a),
        Resistor(f"{piece.id}:", f"{piece.id}:a", f"{piece.id}:b", max(branch.ohm - a - b, 0.0)),
        Resistor(f"{piece.id}:b", f"{piece.id}:b", piece.b, b),
    )


def _end_ohms(builder: NetworkBuilder, piece: Piece, branch: Branch) -> tuple[float, float]:
    """Return what a short at each end of a piece lies behind: a fuse and its terminal, half a bar. [Ω]"""
    joint = sum(item.ohm for item in branch.ohms if item.what in END_JOINTS) / 2.0
    ends = {"a": 0.0, "b": 0.0}
    for spot in piece.spots:
        if spot.way is None:
            ends[spot.side] += builder.fuse_ohm(piece, spot).ohm + joint
    for side, point in (("a", piece.a), ("b", piece.b)):
        ends[side] += sum(item.ohm for item in branch.ohms if item.what == "bar" and item.owner == point)
    return ends["a"], ends["b"]


__all__ = ["Device", "Limit", "ShortBuilder", "ShortNetwork", "State"]
