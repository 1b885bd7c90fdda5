"""The current of a short at each end of each wire, right at the terminal or behind the fuse that sits there.

Contacts stand as for the consumers. A short lies between the wire and the body or its own return. Chargers,
panels and the alternator limit themselves and are not in these figures; a battery's own management may open
first, and is not relied upon.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.shorts import shorts
from loomwright.plan.pieces import BODY, Wiring

from .inputs import Corner
from .short_network import ShortBuilder, ShortNetwork, State
from .sizes import Chosen
from .sources import is_battery
from .topology import Topology

_BAR, _ACROSS, _CASE, _SIDES = "bar", "across", "case", ("a", "b")
#: Less than this between a wire and what it may touch is no short. [V]
LIVE_V = 1.0


@dataclass(frozen=True, slots=True)
class EndShort:
    """A bolted short at one end of a piece of wire.

    Attributes
    ----------
    owner, side : str
        The piece, and "a" or "b", where its current comes from or goes to; or the fuse box, and "bar".
    minus : str
        What it is shorted to.
    volts, ohm, amps : float
        Before; of the loop, battery included; in the short. [V, Ω, A]
    here_a : float
        What of it comes into the wire through this end. [A]
    """

    owner: str
    side: str
    minus: str
    volts: float
    ohm: float
    amps: float
    here_a: float


@dataclass(frozen=True, slots=True)
class Shorts:
    """Shorts of a van: at the ends of its wires by (piece, side), at the bars of fuse boxes, and across.

    `across` has those between the plus and the minus of one load, by the piece that ends on it, and those
    between the posts of a battery; `cases` those between a piece and the case of what it ends on, where a
    wire leads away from that case.
    """

    ends: Mapping[tuple[str, str], EndShort]
    bars: Mapping[str, EndShort]
    across: Mapping[str, EndShort]
    cases: Mapping[str, EndShort]


def largest_shorts(
    topology: Topology,
    chosen: Chosen,
    corner: Corner = Corner.BAD,
    turned: frozenset[str] = frozenset(),
) -> Shorts:
    """Return the largest current of a short at each live end, and at the bar of each fuse box.

    Copper at 20 °C or colder, joints fresh, batteries full and new.

    Parameters
    ----------
    topology : Topology
        How the van hangs together.
    chosen : Chosen
        Sizes and fuses where the plan says auto.
    corner : Corner
        At the bad one all that is not known resists as little as it may, at the good one as much.
    turned : frozenset of str
        Fields that stand at the other end, as in `Inputs`.

    Returns
    -------
    Shorts
        Ends that nothing feeds are left out.
    """
    builder = ShortBuilder(topology, chosen, corner, turned, most=True)
    resistors = builder.resistors(topology.standing.closed)
    return _shorts(topology.wiring, resistors, builder.batteries(), None)


def smallest_shorts(
    topology: Topology,
    chosen: Chosen,
    corner: Corner = Corner.BAD,
    turned: frozenset[str] = frozenset(),
) -> Shorts:
    """Return the smallest current of a short at each live end: copper hot, joints aged, batteries weak.

    What limits itself counts where it stands alone, by what it gives at most.

    Parameters
    ----------
    topology, chosen
        As for `largest_shorts`.
    corner : Corner
        At the bad one all that is not known resists as much as it may.
    turned : frozenset of str
        As for `largest_shorts`.

    Returns
    -------
    Shorts
        Ends that nothing feeds are left out.
    """
    builder = ShortBuilder(topology, chosen, corner, turned, most=False)
    net = builder.network(State("", topology.standing.closed))
    return _shorts(topology.wiring, net.resistors, net.sources, net)


def _shorts(
    wiring: Wiring, resistors: Sequence[Resistor], sources: Sequence[Source], net: ShortNetwork | None
) -> Shorts:
    """Short every place against each thing that the wire may touch, and keep the largest or smallest.

    `net` is given for the smallest: it holds what limits itself to that limit.
    """
    most = net is None
    asked = [
        (place, minus)
        for place, touched in _places(wiring, at_posts=most)
        for minus in dict.fromkeys(touched if place.side in (_ACROSS, _CASE) else (BODY, *touched))
    ]
    found = shorts(resistors, sources, [(place.node, minus) for place, minus in asked])
    kept: dict[_Place, EndShort] = {}
    for k, (place, minus) in enumerate(asked):
        volts, ohm, amps = float(found.volts[k]), float(found.ohm[k]), float(found.amps[k])
        known = kept.get(place)
        limit = math.inf if net is None else net.limit_at(place.node)
        if volts > LIVE_V and (known is None or (known.amps < amps) == most):
            brought = (
                amps if place.side in (_BAR, _ACROSS, _CASE) else found.into(k, f"{place.owner}:{place.side}")
            )
            here_a = min(max(brought, 0.0), limit)
            kept[place] = EndShort(place.owner, place.side, minus, volts, ohm, min(amps, limit), here_a)
    return Shorts(
        {(place.owner, place.side): end for place, end in kept.items() if place.side in _SIDES},
        {place.owner: end for place, end in kept.items() if place.side == _BAR},
        {place.owner: end for place, end in kept.items() if place.side == _ACROSS},
        {place.owner: end for place, end in kept.items() if place.side == _CASE},
    )


class _Place(NamedTuple):
    """A point to short: whose it is, which end, the node's name."""

    owner: str
    side: str
    node: str


def _places(wiring: Wiring, *, at_posts: bool) -> Iterator[tuple[_Place, set[str]]]:
    """Give every end of a wire and every bar with what a wire may touch there besides the body.

    That is its own return; where nothing returns by wire and no body is there, the minus of what feeds it;
    and `at_posts`, behind a fuse on a battery's post, the minus posts of that place. The smallest short lies
    at a load, from its plus to its minus.
    """
    bodiless = not any(_on_body(wiring, point) for point in wiring.by_point)
    bars: dict[str, set[str]] = {id: set() for id, part in wiring.parts.items() if part.kind == "fuse_box"}
    for flat in wiring.runs.values():
        if flat.mains:
            continue
        start = flat.pieces[0].a
        back = {piece.b for piece in flat.pieces if piece.is_return and not piece.load}
        if not back and bodiless:
            back = {minus for minus in [wiring.minus_of_feed(start)] if minus is not None}
        bars.get(wiring.part_of(start) or "", set()).update(back)
        by_wire = bool(back) and not any(_on_body(wiring, point) for point in back)
        for piece in flat.pieces:
            far = wiring.minus_of(piece.b)
            fused = {spot.side for spot in piece.spots if spot.way is None} if at_posts else set()
            near_a = back | (_posts_beside(wiring, piece.a) if "a" in fused else set())
            near_b = {far} if far is not None and by_wire else back
            if far is not None and not at_posts:
                near_b = near_b | {far}
            if far is not None and not piece.is_return:
                yield _Place(piece.id, _ACROSS, f"{piece.id}:b"), {far}
                case = f"{wiring.part_of(piece.b)}.case"
                if case in wiring.by_point:
                    yield _Place(piece.id, _CASE, f"{piece.id}:b"), {case}
            near_b = near_b | (_posts_beside(wiring, piece.b) if "b" in fused else set())
            yield _Place(piece.id, "a", f"{piece.id}:a"), near_a
            yield _Place(piece.id, "b", f"{piece.id}:b"), near_b
    for id in wiring.parts:
        if is_battery(wiring, id):
            yield _Place(id, _ACROSS, f"{id}.plus"), {f"{id}.minus"}
    for box, back in bars.items():
        yield _Place(box, _BAR, f"{box}.bar"), back


def _on_body(wiring: Wiring, point: str) -> bool:
    return point in wiring.plan.studs or point.endswith(f"@{BODY}")


def _posts_beside(wiring: Wiring, point: str) -> set[str]:
    """Return the minus posts of the batteries that stand where a battery's post is."""
    own = wiring.part_of(point)
    if own is None or not is_battery(wiring, own):
        return set()
    place = wiring.parts[own].place
    beside = (id for id in wiring.parts if is_battery(wiring, id))
    return {f"{id}.minus" for id in beside if id == own or (place and wiring.parts[id].place == place)}


__all__ = ["EndShort", "Shorts", "largest_shorts", "smallest_shorts"]
