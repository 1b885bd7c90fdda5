"""The current of a short at each end of each wire, right at the terminal or behind the fuse that sits there.

Contacts stand as for the consumers. A short lies between the wire and the body or its own return. Chargers,
panels and the alternator limit themselves and are not in these figures; a battery's own management may open
first, and is not relied upon.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.shorts import shorts
from loomwright.plan.pieces import BODY, Piece, Wiring
from loomwright.plan.values import Quantity
from loomwright.tables import batteries

from .inputs import Corner, Inputs
from .network import END_JOINTS, Branch, NetworkBuilder
from .sizes import Chosen, Size, size_of
from .sources import battery_class, converter_volts, inner_ohm, is_battery
from .topology import Topology

#: Copper, and charge, when a short is at its largest. [°C, %]
COLD_C, FULL_PCT = 20.0, 100.0
#: No battery resists less than this, whatever was typed. [Ω]
LEAST_INNER_OHM = 1e-5
_BAR = "bar"
#: Less than this between a wire and what it may touch is no short. [V]
LIVE_V = 1.0
#: Corner of the ohms for the largest short: they are few at its bad end, many at its good one.
_OHMS_AT = {Corner.BAD: Corner.LEAST, Corner.GOOD: Corner.BAD}


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
    """Shorts of a van: at the ends of its wires by (piece, side), and at the bars of fuse boxes."""

    ends: Mapping[tuple[str, str], EndShort]
    bars: Mapping[str, EndShort]


def largest_shorts(topology: Topology, chosen: Chosen, corner: Corner = Corner.BAD) -> Shorts:
    """Return the largest current of a short at each live end, and at the bar of each fuse box.

    Copper at 20 °C, joints fresh, batteries full and new.

    Parameters
    ----------
    topology : Topology
        How the van hangs together.
    chosen : Chosen
        Sizes and fuses where the plan says auto.
    corner : Corner
        At the bad one all that is not known resists as little as it may, at the good one as much.

    Returns
    -------
    Shorts
        Ends that nothing feeds are left out.
    """
    inputs = Inputs(topology.wiring.plan, _OHMS_AT.get(corner, corner))
    builder = _builder(topology, inputs, chosen, lambda _: COLD_C)
    return _shorts(topology, builder, _batteries(topology.wiring, inputs, FULL_PCT), most=True)


def smallest_shorts(topology: Topology, chosen: Chosen, corner: Corner = Corner.BAD) -> Shorts:
    """Return the smallest current of a short at each live end: copper hot, batteries nearly empty.

    A converter is a battery that drives its largest output into a short at its own terminals.

    Parameters
    ----------
    topology, chosen
        As for `largest_shorts`.
    corner : Corner
        At the bad one all that is not known resists as much as it may.

    Returns
    -------
    Shorts
        Ends that nothing feeds are left out.
    """
    wiring, inputs = topology.wiring, Inputs(topology.wiring.plan, corner)
    builder = _builder(topology, inputs, chosen, lambda size: size.insulation_c)
    sources = [*_batteries(wiring, inputs, batteries.LOW_CHARGE_PCT), *_converters(wiring)]
    return _shorts(topology, builder, sources, most=False)


def _builder(
    topology: Topology, inputs: Inputs, chosen: Chosen, copper_c: Callable[[Size], float]
) -> NetworkBuilder:
    wiring = topology.wiring
    sizes = {
        piece.id: size_of(wiring, flat, piece, inputs, chosen)
        for flat in wiring.runs.values()
        for piece in flat.pieces
    }
    return NetworkBuilder(wiring, inputs, sizes, chosen, {id: copper_c(size) for id, size in sizes.items()})


def _shorts(topology: Topology, builder: NetworkBuilder, sources: Sequence[Source], *, most: bool) -> Shorts:
    """Short every place against each thing that the wire may touch, and keep the largest or smallest."""
    wiring = topology.wiring
    resistors = list(_parted(builder, builder.branches(topology.standing.closed)))
    asked = [
        (place, minus)
        for place, touched in _places(wiring, at_posts=most)
        for minus in dict.fromkeys((BODY, *touched))
    ]
    found = shorts(resistors, sources, [(place.node, minus) for place, minus in asked])
    kept: dict[_Place, EndShort] = {}
    for k, (place, minus) in enumerate(asked):
        volts, ohm, amps = float(found.volts[k]), float(found.ohm[k]), float(found.amps[k])
        known = kept.get(place)
        if volts > LIVE_V and (known is None or (known.amps < amps) == most):
            brought = amps if place.side == _BAR else found.into(k, f"{place.owner}:{place.side}")
            kept[place] = EndShort(place.owner, place.side, minus, volts, ohm, amps, max(brought, 0.0))
    return Shorts(
        {(place.owner, place.side): end for place, end in kept.items() if place.side != _BAR},
        {place.owner: end for place, end in kept.items() if place.side == _BAR},
    )


class _Place(NamedTuple):
    """A point to short: whose it is, which end, the node's name."""

    owner: str
    side: str
    node: str


def _places(wiring: Wiring, *, at_posts: bool) -> Iterator[tuple[_Place, set[str]]]:
    """Give every end of a wire and every bar with what a wire may touch there besides the body.

    That is its own return; where nothing returns by wire and no body is there, the minus of what feeds it;
    and `at_posts`, behind a fuse on a battery's post, the minus posts of that place.
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
            near_b = near_b | (_posts_beside(wiring, piece.b) if "b" in fused else set())
            yield _Place(piece.id, "a", f"{piece.id}:a"), near_a
            yield _Place(piece.id, "b", f"{piece.id}:b"), near_b
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


def _batteries(wiring: Wiring, inputs: Inputs, charge_pct: float) -> list[Source]:
    """Return the batteries at a state of charge behind their inner resistance."""
    return [
        Source(
            id,
            f"{id}.plus",
            f"{id}.minus",
            _resting_v(wiring, id, charge_pct),
            max(inner_ohm(wiring, inputs, id), LEAST_INNER_OHM),
        )
        for id in wiring.parts
        if is_battery(wiring, id)
    ]


def _resting_v(wiring: Wiring, part_id: str, charge_pct: float) -> float:
    """Return the open-circuit volts of a battery: typed for that charge, else by chemistry. [V]"""
    part = wiring.parts[part_id]
    typed = part.open_circuit.points.get(f"{charge_pct:g}") if part.open_circuit is not None else None
    if isinstance(typed, Quantity):
        return typed.high
    known = str(part.chemistry) if part.chemistry in batteries.OPEN_CIRCUIT_V else "unknown"
    return batteries.open_circuit_v(known, charge_pct, battery_class(wiring, part_id))


def _converters(wiring: Wiring) -> Iterator[Source]:
    for id, part in wiring.parts.items():
        amps = next((a.high for a in (part.fold_back, part.current) if isinstance(a, Quantity)), None)
        if part.kind == "converter" and part.wired is not False and amps:
            volts = converter_volts(wiring, id)
            yield Source(id, f"{id}.out", f"{id}.out_minus", volts, volts / amps)


def _parted(builder: NetworkBuilder, branches: Sequence[Branch]) -> Iterator[Resistor]:
    """Give the branches as resistors, each wire in three: what lies before a short at each end, the rest."""
    pieces = {piece.id: piece for piece in builder.wiring.pieces()}
    for branch in branches:
        if branch.kind != "wire":
            yield branch.resistor()
            continue
        piece = pieces[branch.id]
        a, b = _end_ohms(builder, piece, branch)
        # the colon: a point of the plan may be called like a piece with a letter behind it
        yield Resistor(f"{piece.id}:a", piece.a, f"{piece.id}:a", a)
        yield Resistor(f"{piece.id}:", f"{piece.id}:a", f"{piece.id}:b", max(branch.ohm - a - b, 0.0))
        yield Resistor(f"{piece.id}:b", f"{piece.id}:b", piece.b, b)


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


__all__ = ["EndShort", "Shorts", "largest_shorts", "smallest_shorts"]
