"""Ends of wires without a fuse, and what the van's sources can drive into each of them for good.

An end whose fuse sits some way down the wire (`distance`) is one of them as far as that fuse.

Current comes from batteries (their short-circuit current), the alternator, and what limits its own output:
chargers, regulators, panels, converters, feeds of the vehicle. It passes wires and closed contacts freely, a
fuse up to its rating. On/off contacts count as closed; of a selector or change-over every position is tried,
and the worst counts. What sits in a box without sizes, the maker's own cables and mains are not looked at.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from loomwright.plan.kinds import states
from loomwright.plan.pieces import FlatRun, Piece, Spot, Wiring
from loomwright.plan.values import AUTO, Quantity
from loomwright.protection.supply import Passages, Supply
from loomwright.tables import feeds

from .chargers import ports_of
from .diodes import diodes_of
from .inputs import Corner, Inputs
from .sizes import Chosen, auto_key
from .sources import battery_class, inner_ohm, is_battery
from .states import Contact, asked_state, contacts_of
from .topology import Topology

#: Unfused neighbours of a point and how far they are. [m]
_Free = dict[str, list[tuple[str, float]]]
_Near = dict[str, dict[str, tuple[float, str]]]
#: A link inside one bank of lead batteries, sheathed, is part of the bank up to this length. [m]
BANK_LINK_M = 0.5
_LEAD = ("flooded", "efb", "agm", "gel")
_ONE_OF_SEVERAL = ("selector", "change_over", "relay")


@dataclass(frozen=True, slots=True)
class UnfusedEnd:
    """One end of a piece of wire that has no fuse there.

    Attributes
    ----------
    run, piece, side, point : str
        The wire, "a" or "b", and the point it starts at or ends on.
    amps : float
        What sources can drive into it for good through this end. [A]
    sources : tuple of str
        Batteries and alternators that reach it without any fuse; if none, the others that reach it.
    free : bool
        True if a battery or an alternator reaches it without any fuse.
    reach_m : float
        From the nearest of these along unfused wire to the far end of this piece, or to its fuse. [m]
    fuse_m : float or None
        How far down the wire its fuse sits; None if there is none. [m]
    unsaid : tuple of str
        Fields of the plan that would say what the sources give, and do not.
    """

    run: str
    piece: str
    side: str
    point: str
    amps: float
    sources: tuple[str, ...]
    free: bool
    reach_m: float
    fuse_m: float | None = None
    unsaid: tuple[str, ...] = ()


def unfused_ends(topology: Topology, chosen: Chosen, length_m: Mapping[str, float]) -> tuple[UnfusedEnd, ...]:
    """Return every unfused end that a source reaches.

    Parameters
    ----------
    topology : Topology
        How the van hangs together.
    chosen : Chosen
        Fuses where the plan says auto.
    length_m : mapping of str to float
        Length of each piece. [m]
    """
    looker = _Looker(topology.wiring, chosen, length_m)
    worst: dict[tuple[str, str], UnfusedEnd] = {}
    for contacts in _standings(topology.wiring):
        for end in looker.look(contacts):
            known = worst.get((end.piece, end.side))
            if known is None or (end.free, end.amps) > (known.free, known.amps):
                worst[end.piece, end.side] = end
    return tuple(worst.values())


def barest_end(ends: Iterable[UnfusedEnd], run: str) -> UnfusedEnd | None:
    """Return the end of a run that lies nearest along bare wire to a battery or an alternator.

    None if a fuse stands between them wherever the run begins and ends.
    """
    bare = (end for end in ends if end.run == run and end.free and end.fuse_m is None)
    return min(bare, key=lambda end: end.reach_m, default=None)


def in_bank(wiring: Wiring, run: str, length_m: float) -> bool:
    """Say whether a run is a short sheathed link between two lead batteries: that is part of the bank."""
    flat = wiring.runs[run]
    ends = (flat.pieces[0].a, flat.pieces[-1].b) if len(flat.pieces) == 1 else ()
    parts = [wiring.parts.get(wiring.part_of(end) or "") for end in ends]
    lead = all(part is not None and part.kind == "battery" and part.chemistry in _LEAD for part in parts)
    return bool(parts) and lead and flat.run.sheathed is True and length_m <= BANK_LINK_M


def _standings(wiring: Wiring) -> Iterator[list[Contact]]:
    """Give the closed contacts: all on, then with each selector and change-over in its other positions."""
    asked = {id: list(contacts_of(id, part, asked_state(part))) for id, part in wiring.parts.items()}
    yield [contact for contacts in asked.values() for contact in contacts]
    for id, part in wiring.parts.items():
        if part.kind not in _ONE_OF_SEVERAL:
            continue
        for state in states(part):
            moved = list(contacts_of(id, part, state))
            if moved and moved != asked[id]:
                yield [c for other, contacts in asked.items() if other != id for c in contacts] + moved


class _Looker:
    def __init__(self, wiring: Wiring, chosen: Chosen, length_m: Mapping[str, float]) -> None:
        self.wiring, self.chosen, self.length_m = wiring, chosen, length_m
        inputs = Inputs(wiring.plan, Corner.LEAST)
        self.unlimited = dict(unlimited(wiring, inputs))
        self.limited = limited(wiring)
        self.wires = [
            (flat, piece) for flat in wiring.runs.values() if not flat.mains for piece in flat.pieces
        ]
        self.fused_at = {piece.id: self._fused(flat, piece) for flat, piece in self.wires}

    def _fused(self, flat: FlatRun, piece: Piece) -> dict[str, float]:
        """Return the smallest fuse at each end of a piece that has one on the wire itself. [A]"""
        found: dict[str, float] = {}
        for spot in piece.spots:
            if spot.way is None:
                found[spot.side] = min(self._rating(piece, spot), found.get(spot.side, math.inf))
        return found

    def _rating(self, piece: Piece, spot: Spot) -> float:
        """Return what a fuse lets through: nothing if its rating is unknown, a rule of its own says that."""
        rating = spot.fuse.rating
        if isinstance(rating, Quantity):
            return rating.high
        return self.chosen.fuse_a.get(auto_key(piece), 0.0) if rating is AUTO else 0.0

    def look(self, contacts: Iterable[Contact]) -> Iterator[UnfusedEnd]:
        """Give the ends that a source reaches with these contacts closed."""
        passages, free = self._passages(contacts)
        supply = Supply(passages, {**self.limited, **self.unlimited})
        near = {post: _lengths(free, post) for post in self.unlimited}
        for flat, piece in self.wires:
            if flat.inner or flat.run.factory is True or piece.is_return or not self.length_m.get(piece.id):
                continue
            for side, point in (("a", piece.a), ("b", piece.b)):
                fuse_m = min((_distance(s) for s in piece.spots if s.side == side), default=None)
                if fuse_m == 0.0:
                    continue
                amps = supply.arrives(point, avoid=f"{piece.id}:")
                if amps > 0.0:
                    end = self._end(flat, piece, side, amps, supply, free, near)
                    past_m = self.length_m[piece.id] - fuse_m if fuse_m is not None else 0.0
                    yield replace(end, fuse_m=fuse_m, reach_m=end.reach_m - max(past_m, 0.0))

    def _end(
        self, flat: FlatRun, piece: Piece, side: str, amps: float, supply: Supply, free: _Free, near: _Near
    ) -> UnfusedEnd:
        point, inner = (piece.a if side == "a" else piece.b), f"{piece.id}:"
        reached = {post: lengths[point] for post, lengths in near.items() if point in lengths}
        for post, (_, before) in list(reached.items()):
            if before == inner:  # the nearest way is the wire itself: look for another
                lengths = _lengths(free, post, avoid=inner)
                reached.pop(post)
                if point in lengths:
                    reached[post] = lengths[point]
        senders = reached or supply.senders(point, avoid=inner)
        names = sorted({self.wiring.part_of(one) or one for one in senders})
        metres = min((metres for metres, _ in reached.values()), default=0.0) + self.length_m[piece.id]
        unsaid = () if reached else tuple(field for id in names for field in _unsaid(self.wiring, id))
        return UnfusedEnd(
            flat.id, piece.id, side, point, amps, tuple(names), bool(reached), metres, unsaid=unsaid
        )

    def _passages(self, contacts: Iterable[Contact]) -> tuple[Passages, _Free]:
        """Return what lets how much through, and the unfused part of it with its lengths. [m]"""
        passages, free = Passages(), _Free()

        def join(a: str, b: str, metres: float = 0.0, amps: float = math.inf) -> None:
            passages.join(a, b, amps)
            if math.isinf(amps):
                free.setdefault(a, []).append((b, metres))
                free.setdefault(b, []).append((a, metres))

        for _, piece in self.wires:
            fused, half = self.fused_at[piece.id], self.length_m.get(piece.id, 0.0) / 2.0
            for side, point in (("a", piece.a), ("b", piece.b)):
                join(point, f"{piece.id}:", half, fused.get(side, math.inf))
        for a, b, amps in self._in_boxes():
            join(a, b, amps=amps)
        for contact in contacts:
            join(contact.a, contact.b)
        for passage, _ in diodes_of(self.wiring):
            passages.let_through(passage.a, passage.b)
            free.setdefault(passage.a, []).append((passage.b, 0.0))
        for id, part in self.wiring.parts.items():
            if part.kind == "alternator" and part.charges in self.wiring.parts:
                join(f"{id}.plus", f"{part.charges}.plus")
        return passages, free

    def _in_boxes(self) -> Iterator[tuple[str, str, float]]:
        """Give the main fuse of each box and the fuse in each way, as passages. [A]"""
        for id, part in self.wiring.parts.items():
            if part.kind == "fuse_box":
                main = part.main_fuse if isinstance(part.main_fuse, tuple) else ()
                ratings = [fuse.rating.high for fuse in main if isinstance(fuse.rating, Quantity)]
                yield f"{id}.in", f"{id}.bar", min(ratings, default=0.0 if main else math.inf)
        ways: dict[str, float] = {}
        for _, piece in self.wires:
            for point in (piece.a, piece.b):
                box = self.wiring.part_of(point)
                is_way = box is not None and self.wiring.parts[box].kind == "fuse_box"
                if is_way and self.wiring.terminal_of(point).isdigit():
                    ways.setdefault(point, math.inf)
            for spot in piece.spots:
                if spot.way is not None:
                    ways[spot.way] = self._rating(piece, spot)
        for way, amps in ways.items():
            yield f"{self.wiring.part_of(way)}.bar", way, amps


def _distance(spot: Spot) -> float:
    """Return how far down its wire a fuse sits: at the very end unless the plan says so. [m]"""
    typed = spot.fuse.distance
    return typed.high if spot.way is None and isinstance(typed, Quantity) else 0.0


def _lengths(free: _Free, start: str, avoid: str = "") -> dict[str, tuple[float, str]]:
    """Return how far each point lies along unfused wire from `start`, and the point before it. [m]"""
    found: dict[str, tuple[float, str]] = {}
    queue = [(0.0, start, "")]
    while queue:
        metres, point, before = heapq.heappop(queue)
        if point in found:
            continue
        found[point] = (metres, before)
        for other, more in free.get(point, ()):
            if other not in found and other != avoid:
                heapq.heappush(queue, (metres + more, other, point))
    return found


def unlimited(wiring: Wiring, inputs: Inputs) -> Iterator[tuple[str, float]]:
    """Give the plus of each battery and alternator with what it can drive into a short. [A]"""
    for id, part in wiring.parts.items():
        if is_battery(wiring, id):
            ohm = inner_ohm(wiring, inputs, id)
            yield f"{id}.plus", battery_class(wiring, id) / ohm if ohm > 0.0 else math.inf
        elif part.kind == "alternator":
            yield (
                f"{id}.plus",
                part.current.high if isinstance(part.current, Quantity) else feeds.ALTERNATOR_A,
            )


def limited(wiring: Wiring) -> dict[str, float]:
    """Return the largest output of what limits itself, by its plus. [A]"""
    found: dict[str, float] = {}
    for port in ports_of(wiring, Inputs(wiring.plan, Corner.BAD)):
        if port.gives:
            found[port.plus] = port.amps
    for id, part in wiring.parts.items():
        if part.kind == "solar_panel" and isinstance(part.short_current, Quantity):
            found[f"{id}.plus"] = part.short_current.high
        elif part.kind == "converter":
            amps = next((a.high for a in (part.fold_back, part.current) if isinstance(a, Quantity)), math.inf)
            found[f"{id}.out"] = amps
        elif part.kind == "vehicle_feed":
            found[f"{id}.plus"] = part.rating.high if isinstance(part.rating, Quantity) else feeds.FEED_A
        elif part.kind == "inverter_charger" and isinstance(part.current, Quantity):
            found[f"{id}.plus"] = part.current.high
    return found


def _unsaid(wiring: Wiring, part_id: str) -> Iterator[str]:
    """Give the field that would say what a source gives, if the plan leaves it open."""
    part = wiring.parts[part_id]
    if part.kind == "converter" and not isinstance(part.fold_back or part.current, Quantity):
        yield f"parts.{part_id}.current"
    elif part.kind == "vehicle_feed" and not isinstance(part.rating, Quantity):
        yield f"parts.{part_id}.rating"


__all__ = ["UnfusedEnd", "barest_end", "in_bank", "limited", "unfused_ends", "unlimited"]
