"""What a van does when something comes open: a wire, a joint, a stud, a contact, or a fuse that has blown.

Everything is on and every contact stands as for the consumers; what follows is worked out in
`breaks_follow`, once for each chain of things in a row: it is the same wherever that comes open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from loomwright.circuit.breaks import bridges
from loomwright.plan.pieces import Wiring

from .breaks_follow import Follows
from .breaks_network import BreaksNetwork
from .breaks_record import Break, OtherWay, Overload
from .flow import Flow
from .network import METAL, Branch
from .poles import Poles
from .record import WireFigure

if TYPE_CHECKING:
    from .weak_joints import WeakJoint

#: A fuse may be so much above a cable and still guard it; the limits of a fuse say the same. [ratio]
SLACK = 1.02


class Broken:
    """The breaks of a van, worked out when somebody asks.

    Parameters
    ----------
    flow : Flow
        The network of the van, with the inner resistances of its batteries.
    network : callable
        Makes of it one whose places may open.
    wires : mapping of str to WireFigure
        What each wire is good for.
    poles : Poles
        Which points are minus.
    """

    def __init__(
        self,
        flow: Flow,
        network: Callable[[Flow], BreaksNetwork],
        wires: Mapping[str, WireFigure],
        poles: Poles,
    ) -> None:
        self._flow, self._make, self._wires, self._poles = flow, network, wires, poles
        self.worn: tuple[WeakJoint, ...] | None = None  # kept here by `weak_joints`

    @cached_property
    def network(self) -> BreaksNetwork:
        """The van as a network whose places may open."""
        return self._make(self._flow)

    @cached_property
    def _follows(self) -> Follows:
        return Follows(self.network, self._wires, self._poles)

    @cached_property
    def wires(self) -> Mapping[str, Break]:
        """By wire that is laid: what follows when it, or a joint at its ends, comes open."""
        found = ((id, self.wire(id)) for id in self._wires)
        return {id: one for id, one in found if one is not None}

    def wire(self, id: str) -> Break | None:
        """Return the break of one wire; None where none is laid or no current ever comes."""
        wire = self._wires.get(id)
        laid = wire is not None and not wire.inner and wire.length_m != 0.0
        return self._break(id, "wire", id) if laid else None

    @cached_property
    def studs(self) -> Mapping[str, Break]:
        """By stud of the plan: what follows when its rings have no contact with the body."""
        found = ((id, self.stud(id)) for id in self.network.wiring.plan.studs)
        return {id: one for id, one in found if one is not None}

    def stud(self, id: str) -> Break | None:
        """Return the break of one stud of the plan; None where no current ever comes."""
        return self._break(id, "stud", f"{id}{METAL}")

    @cached_property
    def contacts(self) -> Mapping[str, Break]:
        """By switch, output, relay or pin of a plug: what follows when its contact does not close."""
        found: dict[str, Break] = {}
        for branch in self._of_kind("contact"):
            name = contact_name(self.network.wiring, branch)
            one = self._break(name, "contact", branch.id)
            if one is not None:
                found.setdefault(name, one)
        return found

    @cached_property
    def plugs(self) -> Mapping[str, Break]:
        """By plug with several pins in use: what follows when it is pulled."""
        pins: dict[str, dict[int, None]] = {}
        for branch in self._of_kind("contact"):
            place = self.network.place(branch.id)
            if self.network.wiring.parts[branch.owner].kind == "plug" and place >= 0:
                pins.setdefault(branch.owner, {})[place] = None
        several = {id: tuple(places) for id, places in pins.items() if len(places) > 1}
        return {
            id: replace(self._follows.together(places), of=id, kind="plug") for id, places in several.items()
        }

    @cached_property
    def fuses(self) -> Mapping[str, Break]:
        """By way, by wire that has its fuse in it, by box with a main fuse: what it takes down."""
        wiring, found = self.network.wiring, dict[str, Break | None]()
        for piece in wiring.pieces():
            for spot in piece.spots:
                at = spot.way or piece.id
                found.setdefault(at, self._break(at, "fuse", at))
        for id, part in wiring.parts.items():
            if part.kind == "fuse_box" and isinstance(part.main_fuse, tuple) and part.main_fuse:
                found[id] = self._break(id, "fuse", f"{id}.main")
        return {at: one for at, one in found.items() if one is not None}

    @cached_property
    def has_rings(self) -> bool:
        """True if something of the wiring may open and its current still has a way; quickly found."""
        pairs = [(one.a, one.b) for one in self._flow.branches]
        pairs += [(one.minus, one.plus) for one in self._flow.sources]
        return not all(bridges([pair for pair in pairs if pair[0] != pair[1]]))

    @cached_property
    def overloads(self) -> tuple[Overload, ...]:
        """The wires that carry too much once something else comes loose, and nothing guards them."""
        return tuple(self._overloads()) if self.has_rings else ()

    def _overloads(self) -> Iterator[Overload]:
        worst: dict[str, tuple[OtherWay, list[str]]] = {}
        for one in (*self.wires.values(), *self.studs.values()):
            for way in one.other_ways:
                wire = self._wires[way.wire]
                if way.holds or not one.goes_on or (way.before_a > (way.rating_a or 0.0)) or _guarded(wire):
                    continue
                known = worst.get(way.wire)
                if known is None or way.amps_a > known[0].amps_a * 1.001:
                    worst[way.wire] = way, [one.of]
                elif way.amps_a > known[0].amps_a * 0.999:
                    known[1].append(one.of)
        for id, (way, broken) in worst.items():
            yield Overload(id, tuple(broken), way.amps_a, way.rating_a or 0.0)

    @property
    def every(self) -> Iterator[Break]:
        """All of them: wires, studs, contacts, plugs, fuses."""
        for found in (self.wires, self.studs, self.contacts, self.plugs, self.fuses):
            yield from found.values()

    def of(self, id: str) -> Break | None:
        """Return the break of a wire, stud or contact, None if no current ever comes there."""
        return self.wire(id) or self.stud(id) or self.contacts.get(id)

    def _of_kind(self, kind: str) -> Iterator[Branch]:
        return (branch for branch in self.network.branches if branch.kind == kind)

    def _break(self, id: str, kind: str, branch: str) -> Break | None:
        place = self.network.place(branch)
        if place < 0:
            return None
        amps = self.network.lasting_a.get(branch, 0.0)
        return replace(self._follows.of(place), of=id, kind=kind, amps_a=abs(amps))


def _guarded(wire: WireFigure) -> bool:
    """Say whether a fuse opens before a wire carries more than it is good for."""
    fuses = (*wire.fuses, *((wire.upstream_fuse,) if wire.upstream_fuse is not None else ()))
    rating = (wire.rating_a or 0.0) * SLACK
    return any(fuse.rating_a is not None and fuse.rating_a <= rating for fuse in fuses)


def contact_name(wiring: Wiring, branch: Branch) -> str:
    """Return what a contact is called: the part, a pin of a plug "X1.2", an output of a panel."""
    kind = wiring.parts[branch.owner].kind
    return branch.b.rstrip("<>") if kind in ("plug", "control_panel") else branch.owner


__all__ = ["Broken", "contact_name"]
