"""What each fuse may have to break, what it can, and which fuse before it would break it instead.

A fuse in the way of a box is asked what a short at the bar draws, since a fuse of any rating may sit there;
any other what a short right behind it draws. A fuse whose type the plan does not say may be anything between
a blade and the best bolted one, so it can break something between the two.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.plan.values import AUTO, Fuse, Quantity
from loomwright.protection.fusing import breaking_capacity, usual_type
from loomwright.tables.iso_8820 import BOLTED_BREAKS_AT_BEST

from .shorts import Shorts
from .sizes import Chosen, auto_key
from .sources import is_battery
from .states import neighbours, shortest
from .topology import Topology
from .upstream import Guard, fuse_spots, fuses_on

#: Dust in a comparison of two currents.
_DUST = 1.0 + 1e-6


@dataclass(frozen=True, slots=True)
class Can:
    """What a fuse breaks: at the least and at best [A]; `stated` if the plan gives the figure."""

    least_a: float
    best_a: float
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Before:
    """A fuse before another one: where it sits, the run or box that it guards, its rating and type. [A]"""

    at: str
    owner: str
    rating_a: float | None
    kind: str


@dataclass(frozen=True, slots=True)
class Breaks:
    """One fuse and the short it may have to break.

    Attributes
    ----------
    owner : str
        The run it guards, or the box whose main fuse it is.
    at : str
        Where it sits.
    box : str
        The fuse box it sits in, "" for one on a wire.
    fuse : Fuse
        As the plan has it.
    kind : str or None
        Its type by the plan, its box counted; None if nobody says.
    rating_a : float or None
        Typed or chosen. [A]
    asked_a, volts : float
        Current and volts before of the worst short. [A, V]
    can : Can or None
        None if nothing is known of its type.
    backed_by : tuple of str
        Where the fuses sit that would break it instead; empty if some battery has none on its way.
    before : tuple of Before
        Every fuse before it that is on the way from each battery.
    """

    owner: str
    at: str
    box: str
    fuse: Fuse
    kind: str | None
    rating_a: float | None
    asked_a: float
    volts: float
    can: Can | None
    backed_by: tuple[str, ...]
    before: tuple[Before, ...] = ()

    @property
    def kind_or_usual(self) -> str:
        """Its type; that usual at its rating if nobody says."""
        return usual_type(self.rating_a or 0.0) if self.kind in (None, "unknown") else self.kind or ""

    @property
    def says(self) -> str:
        """What it is: "10 A blade fuse"; one without a type is called what is usual at its rating."""
        kind = (self.kind or usual_type(self.rating_a or 0.0)).replace("_", " ")
        name = kind if kind == "breaker" else f"{kind} fuse"
        return f"{name} of unknown rating" if self.rating_a is None else f"{self.rating_a:g} A {name}"

    @property
    def holds(self) -> bool:
        """True if it surely breaks what it is asked."""
        return self.can is not None and self.asked_a <= self.can.least_a * _DUST

    @property
    def may_hold(self) -> bool:
        """True if one of its type can."""
        return self.can is not None and self.asked_a <= self.can.best_a * _DUST


def breaks_of(topology: Topology, chosen: Chosen, largest: Shorts) -> tuple[Breaks, ...]:
    """Return every fuse of the van that a battery may drive a short through.

    Parameters
    ----------
    topology : Topology
        How the van hangs together.
    chosen : Chosen
        Fuses where the plan says auto.
    largest : Shorts
        The largest shorts.
    """
    return tuple(_Judge(topology, chosen, largest).all())


class _Judge:
    def __init__(self, topology: Topology, chosen: Chosen, largest: Shorts) -> None:
        self.wiring, self.chosen, self.largest = topology.wiring, chosen, largest
        self.graph = neighbours(self.wiring, topology.standing.closed)
        self.batteries = [id for id in self.wiring.parts if is_battery(self.wiring, id)]
        self.spots = fuse_spots(self.wiring)
        self.backing: dict[tuple[str, float], tuple[str, ...]] = {}
        self.guards: dict[tuple[str, str], list[list[Guard]]] = {}

    def all(self) -> Iterator[Breaks]:
        wiring = self.wiring
        for id, part in wiring.parts.items():
            bar = self.largest.bars.get(id)
            if part.kind == "fuse_box" and bar is not None and isinstance(part.main_fuse, tuple):
                for fuse in part.main_fuse:
                    rating = fuse.rating.high if isinstance(fuse.rating, Quantity) else None
                    yield self._breaks(id, id, "", fuse, rating, None, (bar.amps, bar.volts), f"{id}.in")
        for flat in wiring.runs.values():
            if flat.mains:
                continue
            for piece in flat.pieces:
                for spot in piece.spots:
                    box = wiring.part_of(spot.way) or "" if spot.way is not None else ""
                    short = self.largest.bars.get(box) or self.largest.ends.get((piece.id, spot.side))
                    if short is None:
                        continue
                    amps = short.amps if box else short.here_a
                    rating = self._rating(spot.fuse, auto_key(piece))
                    in_box = wiring.parts[box].fuse_type if box else None
                    at = spot.way or (piece.a_text if spot.side == "a" else piece.b_text)
                    before = f"{box}.in" if box else (piece.a if spot.side == "a" else piece.b)
                    yield self._breaks(
                        flat.id, at, box, spot.fuse, rating, in_box, (amps, short.volts), before
                    )

    def _rating(self, fuse: Fuse, key: str) -> float | None:
        if isinstance(fuse.rating, Quantity):
            return fuse.rating.high
        return self.chosen.fuse_a.get(key) if fuse.rating is AUTO else None

    def _breaks(
        self,
        owner: str,
        at: str,
        box: str,
        fuse: Fuse,
        rating: float | None,
        in_box: object,
        short: tuple[float, float],
        before: str,
    ) -> Breaks:
        asked_a, volts = short
        typed = fuse.type or (in_box if isinstance(in_box, str) else None)
        backed, can = self._backed(before, box, asked_a, volts), _can(fuse, typed, rating, volts)
        ways = [dict.fromkeys(map(self._before, guards)) for guards in self._guards(before, box)]
        ones = tuple(one for one in (ways[0] if ways else ()) if all(one in way for way in ways))
        return Breaks(owner, at, box, fuse, typed, rating, asked_a, volts, can, backed, ones)

    def _backed(self, point: str, box: str, asked_a: float, volts: float) -> tuple[str, ...]:
        """Return the fuse before a point, on the way from each battery, that breaks the current."""
        key = (f"{point} {box}", asked_a)
        if key not in self.backing:
            self.backing[key] = self._find_backing(point, box, asked_a, volts)
        return self.backing[key]

    def _find_backing(self, point: str, box: str, asked_a: float, volts: float) -> tuple[str, ...]:
        found: dict[str, None] = {}
        for guards in self._guards(point, box):
            able = next((one for one in guards if self._breaks_best(one, volts) >= asked_a), None)
            if able is None:
                return ()
            found[self._name(able)] = None
        return tuple(found)

    def _guards(self, point: str, box: str) -> list[list[Guard]]:
        """Return the fuses before a point, on the way from each battery that reaches it."""
        if (point, box) not in self.guards:
            ways = (shortest(self.graph, f"{battery}.plus", point) for battery in self.batteries)
            main = self._main(box)
            self.guards[point, box] = [
                [*fuses_on(self.wiring, self.spots, way), *main] for way in ways if way is not None
            ]
        return self.guards[point, box]

    def _before(self, guard: Guard) -> Before:
        fuse = _fuse_of(guard)
        rating = self._rating(fuse, auto_key(guard.piece) if guard.piece is not None else "")
        kind = fuse.type if fuse.type not in (None, "unknown") else self._in_box(guard)
        owner = guard.piece.run if guard.piece is not None else guard.at
        return Before(guard.at, owner, rating, kind or usual_type(rating or 0.0))

    def _in_box(self, guard: Guard) -> str | None:
        """Return the type of the box whose way a fuse sits in, if the plan says one."""
        box = self.wiring.parts.get(self.wiring.part_of(_way(guard) or "") or "")
        return box.fuse_type if box is not None and isinstance(box.fuse_type, str) else None

    def _main(self, box: str) -> Sequence[Guard]:
        part = self.wiring.parts.get(box)
        fuses = part.main_fuse if part is not None and isinstance(part.main_fuse, tuple) else ()
        return [Guard(box, fuse=fuse) for fuse in fuses]

    def _breaks_best(self, guard: Guard, volts: float) -> float:
        """Return what a fuse breaks at best. [A]"""
        fuse = _fuse_of(guard)
        rating = self._rating(fuse, auto_key(guard.piece) if guard.piece is not None else "")
        can = _can(fuse, fuse.type or self._in_box(guard), rating, volts)
        return 0.0 if can is None else can.best_a

    def _name(self, guard: Guard) -> str:
        return guard.piece.run if guard.piece is not None and not _way(guard) else guard.at


def _fuse_of(guard: Guard) -> Fuse:
    found = guard.fuse if guard.fuse is not None else guard.spot.fuse if guard.spot is not None else None
    assert found is not None, guard
    return found


def _way(guard: Guard) -> str | None:
    return guard.spot.way if guard.spot is not None else None


def _can(fuse: Fuse, typed: str | None, rating: float | None, volts: float) -> Can | None:
    """Return what a fuse breaks: stated, else by its type; between blade and bolted if nobody says."""
    if isinstance(fuse.breaks, Quantity):
        return Can(fuse.breaks.low, fuse.breaks.low, stated=True)
    kind = typed or usual_type(rating or 0.0)
    known = None if kind == "unknown" else breaking_capacity(kind, rating or 0.0, volts)
    if known is None:
        return None
    best = max(known[0], BOLTED_BREAKS_AT_BEST) if typed in (None, "bolted") else known[0]
    return Can(known[0], best)


__all__ = ["Before", "Breaks", "Can", "breaks_of"]
