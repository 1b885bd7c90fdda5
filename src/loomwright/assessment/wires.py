"""One figure per piece of wire: size, rating, currents, fuses, what is lost along it and its return."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwright.errors import OutOfTableError
from loomwright.plan.pieces import FlatRun, Piece, Spot, Wiring
from loomwright.plan.values import AUTO, UNKNOWN, Quantity
from loomwright.protection.rating import Rating, cable_rating
from loomwright.steps import Given, Step
from loomwright.tables.insulation import insulation_class

from . import bands
from .flow import Potentials
from .loads import system_volts
from .network import Branch, NetworkBuilder
from .record import CircuitFigure, FuseFigure, WireFigure
from .sizes import Size, rating_table
from .solve import Converts, Solved
from .sums import OHMS_LAW
from .topology import Topology

#: Highest volts of a battery per nominal volt: what a fuse has to break at.
FULL_PER_NOMINAL = 14.0 / 12.0


def rating_of(table: str, size: Size) -> Rating | None:
    """Return the derated rating of a wire of this size, None if the table has no such size."""
    if size.area_mm2 is None:
        return None
    try:
        return cable_rating(
            size.area_mm2,
            table=table,
            insulation_c=size.insulation_c,
            ambient_c=size.ambient_c,
            bundled=size.bundled,
            engine_space=size.engine_space,
        )
    except OutOfTableError:
        return None


def rating_with(wire: WireFigure, area_mm2: float, table: str) -> float:
    """Return what a wire would carry where it lies with this area; 0 if the table has no such size. [A]"""
    try:
        return cable_rating(
            area_mm2,
            table=table,
            insulation_c=insulation_class(wire.insulation).max_c,
            ambient_c=wire.ambient_c,
            bundled=wire.bundled,
            engine_space=wire.engine_space,
        ).amps
    except OutOfTableError:
        return 0.0


class WireBook:
    """Works out the figures of all wires from solved flows."""

    def __init__(
        self,
        topology: Topology,
        builder: NetworkBuilder,
        solved: Solved,
        lasting: Mapping[str, float],
        charging: Mapping[str, float],
        peak: Mapping[str, float],
        ratings: Mapping[str, Rating | None],
        converters: Mapping[str, Converts],
    ) -> None:
        """`lasting`, `charging`, `peak`: amperes by branch id: all on; chargers at work; with starts."""
        self.topology, self.wiring, self.builder = topology, topology.wiring, builder
        self.branches = {branch.id: branch for branch in solved.flow.branches}
        self.lasting, self.charging, self.peak = lasting, charging, peak
        self.ratings, self.converters = ratings, converters

    def figure(
        self, flat: FlatRun, piece: Piece, drop: tuple[Lost, float], own: CircuitFigure | None
    ) -> WireFigure:
        """Return the figure of one piece; `drop`: of its run, and the system's volts; `own`: its circuit."""
        size, rating = self.builder.sizes[piece.id], self.ratings.get(piece.id)
        lost, system_v = drop[0].volts, drop[1]
        branch = self.branches.get(piece.id)
        if piece.id != flat.id:
            current = self.current(flat, piece, own)
            lost = None if branch is None or current is None else branch.ohm * current
        table = rating_table(self.wiring.plan)
        return WireFigure(
            id=piece.id,
            run=flat.id,
            role=piece.role,
            from_=piece.a_text,
            to=piece.b_text,
            area_mm2=size.area_mm2,
            gauge=size.gauge,
            length_m=self._length(flat, size),
            colour=self.topology.colour[piece.id],
            insulation=size.insulation,
            ambient_c=size.ambient_c,
            bundled=size.bundled,
            engine_space=size.engine_space,
            rating_a=None if rating is None or flat.mains else rating.amps,
            rating_basis=table if rating is None else rating.basis,
            rating_steps=() if rating is None else rating.steps,
            current_a=self.current(flat, piece, own),
            peak_a=self.peak.get(piece.id),
            fuses=tuple(self.fuse(flat, piece, spot) for spot in piece.spots),
            drop_v=lost,
            drop_pct=None if lost is None else 100.0 * lost / system_v,
            joint_v=self._joint_volts(flat, piece),
            copper_c=self.builder.copper_c.get(piece.id, 20.0),
            chosen=size.chosen,
            unknown=self._unknown(flat, size),
            places=self.topology.places[piece.id],
            mains=flat.mains,
            inner=flat.inner,
            factory=flat.run.factory is True,
            upstream_fuse=self._guard(flat),
            ohms=branch.ohms if branch is not None else (),
            drop_steps=drop[0].steps,
        )

    def _guard(self, flat: FlatRun) -> FuseFigure | None:
        """Return the fuse that guards a run which has none of its own."""
        guard = self.topology.guard.get(flat.id)
        if guard is None:
            return None
        if guard.piece is not None and guard.spot is not None:
            rating = self.builder.fuse_rating(guard.piece, guard.spot.fuse)
            return FuseFigure(guard.at, rating, self.builder.fuse_kind(guard.piece, guard.spot), None, None)
        rating = (
            guard.fuse.rating.high
            if guard.fuse is not None and isinstance(guard.fuse.rating, Quantity)
            else None
        )
        return FuseFigure(
            guard.at, rating, (guard.fuse.type if guard.fuse is not None else None) or "", None, None
        )

    def _length(self, flat: FlatRun, size: Size) -> float | None:
        """Return the length of a piece; of a wire known by its resistance alone there is none. [m]"""
        measured = isinstance(flat.run.resistance, Quantity) and not isinstance(flat.run.length, Quantity)
        return None if flat.inner or measured else size.length.value

    def current(self, flat: FlatRun, piece: Piece, own: CircuitFigure | None) -> float | None:
        """Return the running current of a piece: its charger's on a charging path, else everything on. [A]"""
        if flat.mains:
            return None
        if own is not None and own.path == "charging":
            return own.running_a
        lasting = abs(self.lasting.get(piece.id, 0.0))
        return min(
            lasting if lasting > 0.0 else abs(self.charging.get(piece.id, 0.0)), self._source_limit(flat)
        )

    def most(self, flat: FlatRun, branch_id: str) -> float:
        """Return the largest lasting current of a branch: everything on, or all chargers at work. [A]"""
        most = max(abs(self.lasting.get(branch_id, 0.0)), abs(self.charging.get(branch_id, 0.0)))
        return min(most, self._source_limit(flat))

    def _source_limit(self, flat: FlatRun) -> float:
        """Return what the thing a run starts at can give: a converter no more than its rated current. [A]"""
        part = self.wiring.part_of(flat.pieces[0].a)
        converter = self.converters.get(part or "")
        at_output = self.wiring.terminal_of(flat.pieces[0].a) == "out"
        return converter.limit_a if converter is not None and at_output else math.inf

    def fuse(self, flat: FlatRun, piece: Piece, spot: Spot) -> FuseFigure:
        """Return the figure of one fuse of a piece."""
        rating = self.builder.fuse_rating(piece, spot.fuse)
        kind = self.builder.fuse_kind(piece, spot)
        breaks = bands.breaks_a(kind, rating, system_volts(self.wiring.plan) * FULL_PER_NOMINAL)
        if isinstance(spot.fuse.breaks, Quantity):
            breaks = spot.fuse.breaks.low
        at = spot.way or (piece.a_text if spot.side == "a" else piece.b_text)
        lasting = None if flat.mains else self.most(flat, spot.way or piece.id)
        return FuseFigure(
            at=at,
            rating_a=rating,
            kind=kind,
            breaks_a=breaks,
            lasting_a=lasting,
            auto=spot.fuse.rating is AUTO,
            unknown=spot.fuse.rating is UNKNOWN,
            largest_safe_a=bands.largest_fuse(kind, lasting or 0.0, self._weakest(flat)),
        )

    def _weakest(self, flat: FlatRun) -> float:
        """Return the smallest derated rating among the pieces of a run. [A]"""
        ratings = [self.ratings.get(piece.id) for piece in flat.pieces]
        return min((rating.amps for rating in ratings if rating is not None), default=0.0)

    def _joint_volts(self, flat: FlatRun, piece: Piece) -> float:
        if flat.mains or flat.inner:
            return 0.0
        return self.builder.joint(self.builder.sizes[piece.id]).value * self.most(flat, piece.id)

    def _unknown(self, flat: FlatRun, size: Size) -> tuple[str, ...]:
        names = [size.length.unknown] if size.length.unknown else []
        if flat.run.area is UNKNOWN:
            names.append(f"wiring.{flat.id}.area")
        return tuple(names)


@dataclass(frozen=True, slots=True)
class Lost:
    """The volts lost along a run and its return, None if they can't be told, and how they add up."""

    volts: float | None = None
    steps: tuple[Step, ...] = ()


def _one_way(own: Step) -> Lost:
    return Lost(own.value, (own,))


def _both_ways(feed_v: float, back_v: float, before: tuple[Step, ...]) -> Lost:
    """Return what is lost on the way there and back."""
    given = (Given("U_f", feed_v, "V"), Given("U_b", back_v, "V"))
    total = feed_v + back_v
    return Lost(total, (*before, Step("U", "U_f + U_b", given, total, "V", OHMS_LAW, "feed and return")))


class RunDrop:
    """What is lost along a run and its return, at the run's own current (its circuit's, or everything on)."""

    def __init__(self, wiring: Wiring, branches: Sequence[Branch]) -> None:
        self.wiring = wiring
        self.ohm = {branch.id: branch.ohm for branch in branches}
        self.contacts = [({one.a, one.b}, one.ohm) for one in branches if one.kind == "contact"]

    def along_circuit(
        self, flat: FlatRun, own: CircuitFigure | None, potentials: Potentials, column: int | None
    ) -> Lost:
        """Return the volts at the current of the run's own circuit; `column` picks the potentials' case."""
        feed = self._fall(potentials, self._box(flat.pieces[0].a), self._box(self._last(flat)), column)
        if feed is None:
            return Lost()
        back = self._return_points(flat, own)
        lost = None if back is None else self._fall(potentials, *back, column)
        return _both_ways(abs(feed), abs(lost or 0.0), ())

    def along_feeder(
        self, flat: FlatRun, current: Mapping[str, float | None], potentials: Potentials
    ) -> Lost:
        """Return the volts along a run that feeds a bar or box, or brings a minus back."""
        feed = current[self._last_piece(flat).id] or 0.0
        pieces = [piece for piece in flat.pieces if not piece.load]
        amps = {piece.id: current[piece.id] or 0.0 for piece in pieces}
        start = self.wiring.terminal_of(flat.pieces[0].a)
        if any(piece.is_return for piece in flat.pieces) or start.endswith("minus"):
            typed = flat.run.return_
            if typed is None or typed.to is None or typed.to.id == "wire":
                amps = dict.fromkeys(amps, feed)
            return _one_way(self._along(flat, amps, feed))
        own = self._along(flat, amps, feed)
        back = self._return_points(flat, None)
        lost = None if back is None else self._fall(potentials, *back, None)
        return _both_ways(own.value, abs(lost or 0.0), (own,))

    def _along(self, flat: FlatRun, amps: Mapping[str, float], feed: float) -> Step:
        """Return the volts lost in pieces of a run at their currents, and in the contacts between. [V]"""
        terms = [(id, self.ohm.get(id, 0.0), current) for id, current in amps.items()]
        terms.append(("contacts", self._contacts_in(flat), feed))
        counted = [(name, ohm, current) for name, ohm, current in terms if ohm * current]
        given = [
            one
            for n, (_, ohm, current) in enumerate(counted)
            for one in (Given(f"I{n}", current, "A"), Given(f"R{n}", ohm, "Ω"))
        ]
        formula = " + ".join(f"I{n} * R{n}" for n in range(len(counted))) or "0"
        value = sum(ohm * current for _, ohm, current in counted)
        says = ", ".join(name for name, _, _ in counted)
        return Step("U_f", formula, tuple(given), value, "V", OHMS_LAW, says)

    def _contacts_in(self, flat: FlatRun) -> float:
        """Return the contacts that stand between the pieces of a run. [Ω]"""
        ends = {point for piece in flat.pieces for point in (piece.a, piece.b)}
        return sum(ohm for points, ohm in self.contacts if points <= ends)

    def _last(self, flat: FlatRun) -> str:
        return self._last_piece(flat).b

    def _last_piece(self, flat: FlatRun) -> Piece:
        return [piece for piece in flat.pieces if piece.role == "feed"][-1]

    def _box(self, point: str) -> str:
        """A run that starts or ends in a way counts to the box's terminal, so its way's fuse is inside."""
        part = self.wiring.part_of(point)
        if part is not None and self.wiring.parts[part].kind == "fuse_box":
            return f"{part}.in"
        return point

    def _fall(self, potentials: Potentials, a: str, b: str, column: int | None) -> float | None:
        fall = potentials.fall(a, b)
        return None if fall is None else float(fall if column is None else fall[column])

    def _return_points(self, flat: FlatRun, own: CircuitFigure | None) -> tuple[str, str] | None:
        """Return the two points between which the run's return lies, in the direction of the current."""
        first, last = flat.pieces[0].a, flat.loads[0]
        typed = [piece for piece in flat.pieces if piece.is_return]
        if typed:
            start = next((piece.a for piece in typed if not piece.load), typed[0].a)
            return (start, self.wiring.minus_of_feed(first) or typed[-1].b)
        device = self.wiring.minus_of(first) or self.wiring.minus_of(last)
        if device is None:
            return None
        far = self._own_return(flat, device)
        if far is None or self._on_metal(far):
            other = self.wiring.minus_of(last) if device == self.wiring.minus_of(first) else None
            sink = f"{own.load}.minus" if own is not None and own.load in self.wiring.parts else None
            far = other or sink or far
        return None if far is None else (far, device)

    def _own_return(self, flat: FlatRun, device: str) -> str | None:
        """Return the far end of the wire at a device's minus.

        A run of its own comes before the return of another run, a bar or terminal before a stud.
        """
        found = [
            (self._on_metal(far), piece.is_return, far)
            for piece in self.wiring.by_point.get(device, ())
            if piece.run != flat.id
            for far in [self._far_end(piece, device)]
        ]
        return min(found, key=lambda one: one[:2])[2] if found else None

    def _far_end(self, piece: Piece, device: str) -> str:
        """Return where the run of a piece that ends on a device has its other end."""
        run = self.wiring.runs[piece.run]
        if piece.is_return or len(run.loads) > 1:
            return piece.b if piece.a == device else piece.a
        return run.loads[0] if run.pieces[0].a == device else run.pieces[0].a

    def _on_metal(self, point: str) -> bool:
        return point in self.wiring.plan.studs or "@" in point
