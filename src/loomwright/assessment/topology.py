"""What of a van does not hang on any figure: worked out once, for both corners and every trial of a size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.pieces import FlatRun, Piece, Wiring

from .colours import colour_of
from .modes import Modes
from .open_ends import open_ends
from .poles import Poles, poles_of
from .routes import Routes
from .sizes import place_of
from .states import Standing, neighbours, reach, standing
from .upstream import Guard, guards


@dataclass(frozen=True, slots=True)
class Topology:
    """How things hang together with the contacts as asked for.

    `behind` holds, by converter, the points that its output reaches; `guard`, by run without a fuse of its
    own, the nearest fuse before it; `colour` and `places` go by piece. `modes` says who feeds what in each,
    `routes` where each wire lies.
    """

    wiring: Wiring
    standing: Standing
    behind: Mapping[str, frozenset[str]]
    guard: Mapping[str, Guard]
    open_ends: tuple[tuple[str, str], ...]
    colour: Mapping[str, str]
    places: Mapping[str, tuple[str, ...]]
    modes: Modes
    poles: Poles
    routes: Routes


def topology_of(wiring: Wiring) -> Topology:
    """Find out how the things of a van hang together."""
    stand = standing(wiring)
    graph = neighbours(wiring, stand.closed)
    converters = (id for id, part in wiring.parts.items() if part.kind == "converter")
    pieces = [(flat, piece) for flat in wiring.runs.values() for piece in flat.pieces]
    return Topology(
        wiring=wiring,
        standing=stand,
        behind={id: frozenset(reach(graph, f"{id}.out")) for id in converters},
        guard=guards(wiring, graph),
        open_ends=open_ends(wiring),
        colour={piece.id: colour_of(wiring, flat, piece) for flat, piece in pieces},
        places={piece.id: _places(wiring, flat, piece) for flat, piece in pieces},
        modes=Modes(wiring, stand),
        poles=poles_of(wiring, graph),
        routes=Routes(wiring),
    )


def _places(wiring: Wiring, flat: FlatRun, piece: Piece) -> tuple[str, ...]:
    """Return the places and paths that a piece touches, in its order."""
    ends = [place_of(wiring, piece.a), *flat.run.via, place_of(wiring, piece.b)]
    return tuple(dict.fromkeys(place for place in ends if place))
