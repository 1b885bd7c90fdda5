"""Bands behind the wires of the system sheet: the ampere-hours of a day, each on its way.

A flow goes the way of its circuit: of the ways along the drawn lines, the one that uses most of the wires in
which its current was worked out. What shows of a band beside its wire is as wide as its ampere-hours, in one
scale for all of a sheet: half a millimetre for each, or as much less as keeps bands side by side apart.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise

from loomwright.assessment.energy.day_flows import DayFlows, Flow, What
from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import Token
from loomwright.drawing.scene import Band, Link, aside

from .layout import Strand
from .things import Graph

#: Ampere-hours of each sort behind one strand.
Sums = dict[What, float]
#: The tints, in the order in which bands lie side by side.
TINTS: dict[What, Token] = {"sun": "sun", "driving": "band", "hook-up": "band", "use": "use"}
#: The largest scale, the widest band, the narrowest that shows, and what is left between two.
#: [mm/Ah, mm, mm, mm]
_SCALE, _WIDEST, _LEAST, _APART = 0.5, 8.0, 0.5, 0.4
#: Energy does not go on through these; they are where it comes from or is turned.
_ENDS = frozenset(
    {"battery", "vehicle_battery", "alternator", "solar_panel", "b2b", "solar_regulator", "mains_charger"}
)
#: What a wire costs on the way of a flow that was not worked out in it.
_FOREIGN = 4.0


def sums_of(flows: DayFlows, strands: Sequence[Strand], graph: Graph, job: Assessment) -> dict[int, Sums]:
    """Return what goes along each drawn wire in the day, by its place among the strands. [Ah]"""
    net = _Net(strands, graph, job)
    found: defaultdict[int, Sums] = defaultdict(dict)
    for flow in flows.flows:
        for place in dict.fromkeys(net.way_of(flow, flows.store.batteries)):
            found[place][flow.what] = found[place].get(flow.what, 0.0) + flow.ah
    return dict(found)


def scale_of(sums: Mapping[int, Sums], strands: Sequence[Strand], halves: Mapping[int, float]) -> float:
    """Return how much of a band shows beside its wire for each ampere-hour, both sides together. [mm/Ah]

    Parameters
    ----------
    sums : mapping of int to Sums
        As `sums_of` gives them.
    strands : sequence of Strand
    halves : mapping of int to float
        Half of what each wire is wide. [mm]
    """
    whole = {place: sum(one.values()) for place, one in sums.items()}
    limits = [_SCALE, *(_WIDEST / ah for ah in whole.values() if ah > 0.0)]
    for one, other in combinations(whole, 2):
        gap = _gap(strands[one].points, strands[other].points) - halves[one] - halves[other] - _APART
        if gap > 0.0:
            limits.append(2.0 * gap / (whole[one] + whole[other]))
    return min(limits)


def bands(
    sums: Mapping[int, Sums], strands: Sequence[Strand], halves: Mapping[int, float], scale: float
) -> Iterator[Band]:
    """Yield the bands, of each wire side by side in the order of `TINTS`; the wire lies in their middle."""
    for place, one in sums.items():
        strand, half = strands[place], halves[place]
        link = Link("wire", strand.wire) if strand.wire else Link("part", strand.line.start)
        kinds = [what for what in TINTS if one.get(what, 0.0) > 0.0]
        widths = [max(scale * one[what], _LEAST) for what in kinds]
        seen, middle = 0.0, sum(widths) / 2.0
        for what, width in zip(kinds, widths, strict=True):
            left, right = (_beside(edge - middle, half) for edge in (seen, seen + width))
            seen += width
            points = tuple(aside(strand.points, (left + right) / 2.0))
            yield Band(points, half_width=(right - left) / 2.0, fill=TINTS[what], of=link)


def _beside(edge: float, half: float) -> float:
    """Return where an edge lies when the wire takes the middle; the middle itself stays. [mm]"""
    return edge + (half if edge > 0.0 else -half if edge < 0.0 else 0.0)


def _gap(one: Sequence[Point], other: Sequence[Point]) -> float:
    """Return how near the lines of two wires come where they run side by side; infinite if they do not."""
    gaps = [float("inf")]
    for a, b in pairwise(one):
        for c, d in pairwise(other):
            for x in (0, 1):
                y = 1 - x
                if a[y] == b[y] and c[y] == d[y]:
                    beside = min(max(a[x], b[x]), max(c[x], d[x])) - max(min(a[x], b[x]), min(c[x], d[x]))
                    if beside > 0.5:
                        gaps.append(abs(a[y] - c[y]))
    return min(gaps)


class _Net:
    """The drawn lines as ways: things and joints, and the strands between them."""

    def __init__(self, strands: Sequence[Strand], graph: Graph, job: Assessment) -> None:
        self.graph, self.job = graph, job
        self.wires = {place: strand.wire for place, strand in enumerate(strands)}
        self.near: defaultdict[str, list[tuple[str, int]]] = defaultdict(list)
        trunks = {strand.line for strand in strands if _is_trunk(strand)}
        for place, strand in enumerate(strands):
            line = strand.line
            if line.control:
                continue
            joint = f"joint of {line.wires[-1] if line.wires else line.start}"
            start = joint if line in trunks and not _is_trunk(strand) else line.start
            for end in (joint,) if _is_trunk(strand) else strand.leads_to:
                self.near[start].append((end, place))
                self.near[end].append((start, place))

    def way_of(self, flow: Flow, store: Sequence[str]) -> list[int]:
        """Return the strands along which a flow goes; none where its parts are not drawn."""
        parts = [id.partition("/")[0] for id in flow.parts if id.partition("/")[0] in self.near]
        if not parts:
            return []
        if flow.what == "use":
            return self._along([tuple(store), *((id,) for id in parts)], flow.parts)
        before: list[tuple[str, ...]] = []
        if flow.what == "driving":
            before = [tuple(id for id in self.near if self._kind(id) in ("alternator", "vehicle_battery"))]
            before = [tuple(id for id in before[0] if self._kind(id) == "vehicle_battery") or before[0]]
        return self._along(
            [*(one for one in before if one), *((id,) for id in parts), tuple(store)], flow.parts
        )

    def _along(self, stops: Sequence[Sequence[str]], parts: Sequence[str]) -> list[int]:
        own = self._worked_out_in(parts)
        return [place for some, others in pairwise(stops) for place in self._way(some, others, own)]

    def _worked_out_in(self, parts: Sequence[str]) -> frozenset[str]:
        """Return the wires in which the currents of some parts were worked out."""
        found: set[str] = set()
        for circuit in self.job.circuits.values():
            if circuit.path != "signal" and (circuit.load in parts or circuit.feeder in parts):
                found |= {circuit.wire, *(share.ohm.owner for share in circuit.shares)}
        return frozenset(found)

    def _way(self, some: Sequence[str], others: Sequence[str], own: frozenset[str]) -> list[int]:
        """Return the cheapest way from one of some things to one of others; none if there is no way."""
        waiting: list[tuple[float, int, str, tuple[int, ...]]] = [
            (0.0, n, id, ()) for n, id in enumerate(some)
        ]
        seen: set[str] = set()
        count = len(waiting)
        while waiting:
            cost, _, id, way = heapq.heappop(waiting)
            if id in others:
                return list(way)
            if id in seen or (way and self._kind(id) in _ENDS):
                continue
            seen.add(id)
            for end, place in self.near[id]:
                count += 1
                dear = 1.0 if self.wires[place] in own else _FOREIGN
                heapq.heappush(waiting, (cost + dear, count, end, (*way, place)))
        return []

    def _kind(self, id: str) -> str:
        thing = self.graph.things.get(id)
        return thing.kind if thing is not None else "joint"


def _is_trunk(strand: Strand) -> bool:
    """Say whether a strand is the common piece of a run whose loads are joined."""
    return len(strand.line.tips) > 1 and not any(tip.wire == strand.wire for tip in strand.line.tips)


__all__ = ["TINTS", "Sums", "bands", "scale_of", "sums_of"]
