"""What happens to a van in a short, and where it has no fuse: worked out when a rule or a page asks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from loomwright.loom.lengths import PATH_FACTOR
from loomwright.plan.pieces import Piece, Wiring
from loomwright.plan.values import Quantity

from .along import Shorting
from .along_record import Along
from .breaking import Breaks, breaks_of
from .conditions import is_fuse
from .inputs import Corner
from .limits import limits_of
from .mode_network import closed_in
from .modes import ModeFigure
from .polarity import Marked, marked_breakers
from .record import WireFigure
from .selective import Pair, pairs_of
from .short_network import ShortBuilder, State
from .shorts import Shorts, largest_shorts, smallest_shorts
from .sizes import SAME_PLACE_M, Chosen
from .topology import Topology
from .unfused import UnfusedEnd, in_bank, unfused_ends

#: Where what is not known stands at its better end.
_BETTER = (Corner.GOOD, Corner.BEST)


class Faults:
    """The faults of one van with one choice of sizes, at one end of what is unknown.

    At the bad end the largest shorts are as large, and the smallest as small, as the unknown figures allow.
    """

    def __init__(
        self,
        topology: Topology,
        chosen: Chosen,
        corner: Corner,
        length_m: Mapping[str, float],
        wires: Mapping[str, WireFigure],
        turned: frozenset[str] = frozenset(),
    ) -> None:
        """`length_m`: of each piece of wire; `wires`: what is known of it; `turned`: as in `Inputs`. [m]"""
        self.of, self._wires = (topology, chosen, corner, turned), wires
        self._length_m = dict(length_m)

    @cached_property
    def largest(self) -> Shorts:
        """The largest current of a short at each end."""
        return largest_shorts(*self.of)

    @cached_property
    def smallest(self) -> Shorts:
        """The smallest."""
        return smallest_shorts(*self.of)

    @cached_property
    def breaking(self) -> tuple[Breaks, ...]:
        """What each fuse may have to break, and what it can."""
        return breaks_of(*self.of[:2], self.largest)

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """Fuses one before the other, and which of them opens first."""
        runs = {piece.id: piece.run for piece in self.of[0].wiring.pieces()}
        return pairs_of(self.breaking, self.largest, runs)

    @cached_property
    def unfused(self) -> tuple[UnfusedEnd, ...]:
        """Every end without a fuse that a source reaches."""
        return unfused_ends(*self.of[:2], self._length_m | self._ways_m())

    def _ways_m(self) -> dict[str, float]:
        """Return how far a feed leads along its way, no slack in it, where the plan types no length. [m]

        A fuse is asked to be near its source: where that is known by places alone, the slack that is
        counted for cutting is none of the distance. Where nobody knows how far a fuse box is, it may be near.
        """
        topology, wiring = self.of[0], self.of[0].wiring
        found: dict[str, float] = {}
        for piece in wiring.pieces():
            if piece.role != "feed" or isinstance(wiring.runs[piece.run].run.length, Quantity):
                continue
            laid = topology.routes.laid.get(piece.id)
            if laid is not None and laid.route is not None:
                way = max(PATH_FACTOR * laid.route.metres, SAME_PLACE_M)
            elif self.of[2] in _BETTER and self._leads_to_a_box(piece):
                way = SAME_PLACE_M
            else:
                continue
            found[piece.id] = min(way, self._length_m.get(piece.id, way))
        return found

    def _leads_to_a_box(self, piece: Piece) -> bool:
        wiring = self.of[0].wiring
        return any(
            wiring.parts[id].kind == "fuse_box" for p in (piece.a, piece.b) if (id := wiring.part_of(p))
        )

    @cached_property
    def marked(self) -> tuple[Marked, ...]:
        """Every breaker with a plus mark, and what feeds it from either side."""
        return marked_breakers(self.of[0])

    @cached_property
    def along(self) -> Mapping[str, Along]:
        """Shorts at every metre, by piece of wire; one that nothing feeds in any state is left out."""
        topology = self.of[0]
        wiring, limit = topology.wiring, limits_of(topology.wiring.plan).fuse_distance
        builders = (
            ShortBuilder(*self.of, most=True),
            ShortBuilder(*self.of, most=False),
        )
        shorting = Shorting(
            wiring, self._wires, builders, self._length_m, limit.fault or 0.0, frozenset(self._near())
        )
        return shorting.all(State("", topology.standing.closed), self.modes)

    def _near(self) -> Iterator[str]:
        """Give the pieces without a fuse that are near enough to their source, or part of its bank."""
        limit = limits_of(self.of[0].wiring.plan).fuse_distance
        for end in self.unfused:
            near = end.free and end.fuse_m is None and limit.level(end.reach_m) is None
            if near or in_bank(self.of[0].wiring, end.run, self._length_m[end.piece]):
                yield end.piece

    def modes(self) -> list[State]:
        """Return the modes of the van as shorts meet them."""
        wiring = self.of[0].wiring
        return [state_of(wiring, figure) for figure in self.of[0].modes.figures.values()]


def state_of(wiring: Wiring, figure: ModeFigure) -> State:
    """Return a mode as a short meets it: closed contacts, fuses that are out, what gives."""
    pulled = [id for id, at in figure.positions.items() if is_fuse(id) and at == "pulled"]
    gives = frozenset().union(*figure.live.plus.values())
    return State(figure.id, closed_in(wiring, figure.positions), pulled, gives)
