"""The mains side as things with points at their left and right edges, and the cables between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from loomwright.assessment.mains.layout import Span
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import length, size, typed
from loomwright.plan.model import Part

#: Cores of a cable by how many it has.
_CORES = {2: ("L", "N"), 3: ("L", "N", "PE")}
TWO_LEGS = ("L1", "L2", "N", "PE")
_CHANGE = "change_over"
_SOCKET = "mains_socket"


@dataclass(frozen=True, slots=True)
class Unit:
    """One thing on the sheet.

    Attributes
    ----------
    id : str
        Its own on the sheet.
    sort : str
        post, inlet, maker, box, change, rcd, joint, outlet, plain, goes or comes.
    part : str
        The part of the plan that it is or belongs to.
    ins, outs : tuple of str
        Points at its left and right edge.
    """

    id: str
    sort: str
    part: str
    ins: tuple[str, ...] = ()
    outs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Cable:
    """One cable from a point at the right of a thing to one at the left of another.

    `id` is its own on the sheet, `name` what stands beside it, `run` what typed it; `words` say its size and
    length; `inner` leads from a socket's RCD to the socket.
    """

    id: str
    name: str
    run: str
    a: str
    b: str
    cores: tuple[str, ...]
    words: tuple[str, ...] = ()
    inner: bool = False


@dataclass(frozen=True, slots=True)
class Graph:
    """All things and cables; each point has one thing."""

    units: dict[str, Unit]
    cables: tuple[Cable, ...]

    @property
    def unit_out(self) -> dict[str, str]:
        """By point at a right edge, the thing."""
        return {point: id for id, unit in self.units.items() for point in unit.outs}

    @property
    def unit_in(self) -> dict[str, str]:
        """By point at a left edge, the thing."""
        return {point: id for id, unit in self.units.items() for point in unit.ins}


def mains_graph(job: Assessment) -> Graph:
    """Return the mains side of a van, the post and lead of each inlet with it."""
    spans = [one for one in job.mains.layout.spans if _has_ends(job, one)]
    units = {unit.id: unit for id in _parts(job, spans) for unit in _units(job, id, spans)}
    cables = [*_leads(job), *(_inner(units)), *(_cable(job, span) for span in spans)]
    graph = Graph(units, tuple(cables))
    return replace(graph, cables=tuple(_from_left_to_right(graph)))


def _has_ends(job: Assessment, span: Span) -> bool:
    return job.wiring.part_of(span.a) is not None and job.wiring.part_of(span.b) is not None


def _parts(job: Assessment, spans: list[Span]) -> list[str]:
    """Return what is on the mains side, inlets first; not what is only plugged in."""
    layout = job.mains.layout
    met = {job.wiring.part_of(point) for span in spans for point in (span.a, span.b)}
    met |= {*layout.inlets, *layout.makers}
    return sorted((id for id in job.wiring.parts if id in met), key=lambda id: id not in layout.inlets)


def _units(job: Assessment, id: str, spans: list[Span]) -> Iterator[Unit]:
    part, layout = job.wiring.parts[id], job.mains.layout
    starts = tuple(dict.fromkeys(s.a for s in spans if job.wiring.part_of(s.a) == id))
    ends = tuple(dict.fromkeys(s.b for s in spans if job.wiring.part_of(s.b) == id))
    if id in layout.inlets:
        yield Unit(f"{id}|post", "post", id, outs=(f"{id}|post",))
        yield Unit(id, "inlet", id, (f"{id}|in",), (f"{id}.out",))
    elif id in layout.makers:
        takes = (f"{id}.in",) if part.kind == "inverter_charger" else ()
        yield Unit(id, "maker", id, takes, (f"{id}.out",))
    elif part.kind == "breaker_box":
        ways = tuple(f"{id}.{n}" for n in range(1, _ways(part) + 1))
        yield Unit(id, "box", id, (f"{id}.in",), ways)
    elif part.kind == _CHANGE:
        yield Unit(id, "change", id, (f"{id}.in_1", f"{id}.in_2"), (f"{id}.out",))
    elif id in layout.outlets:
        yield from _outlet(job, id, part, starts)
    else:
        yield Unit(id, "plain", id, ends, tuple(point for point in starts if point not in ends))


def _ways(part: Part) -> int:
    return part.ways if isinstance(part.ways, int) else 1


def _outlet(job: Assessment, id: str, part: Part, starts: tuple[str, ...]) -> Iterator[Unit]:
    """Give a socket or appliance: what goes on from it leaves by a joint, or behind its own RCD."""
    entry, point = (f"{id}.in" if part.kind == _SOCKET else job.mains.layout.outlets[id]), f"{id}|end"
    on = [one for one in starts if one == entry]
    guarded = any(gate.part == id and gate.residual is not None for gate in job.mains.layout.gates)
    if on:
        yield Unit(f"{id}|joint", "joint", id, (entry,), (entry,))
    if guarded:
        yield Unit(f"{id}|rcd", "rcd", id, (f"{id}|rcd" if on else entry,), (f"{id}.load",))
    elif any(one not in on for one in starts):
        yield Unit(f"{id}|load", "joint", id, (f"{id}|rcd" if on else entry,), (f"{id}.load",))
    alone = not on and not guarded and not starts
    yield Unit(id, "outlet", id, (entry if alone else point,))


def _inner(units: dict[str, Unit]) -> Iterator[Cable]:
    """Give what joins the pieces that a socket is drawn as."""
    for unit in units.values():
        if unit.sort != "outlet" or not unit.ins[0].endswith("|end"):
            continue
        id = unit.id
        chain = [units[one] for one in (f"{id}|joint", f"{id}|rcd", f"{id}|load", id) if one in units]
        for before, after in pairwise(chain):
            yield Cable(f"{id}|{after.id}", "", "", before.outs[0], after.ins[0], _CORES[3], inner=True)


def _leads(job: Assessment) -> Iterator[Cable]:
    """Give the lead of each inlet, of the usual length and size where the plan has none."""
    legs = max((pitch.legs for pitch in job.mains.pitches), default=1)
    lead = next((id for id, part in job.plan.parts.items() if part.kind == "hook_up_lead"), "")
    for id in job.mains.layout.inlets:
        cores = TWO_LEGS if legs == 2 else _CORES[3]
        pitch = next(iter(job.mains.pitches), None)
        size = () if pitch is None else (f"{len(cores)} × {pitch.lead_mm2:g} mm²", f"{pitch.lead_m:g} m")
        words = (*size, *(() if lead or pitch is None else ("usual lead",)))
        yield Cable(f"{id}|lead", lead or "lead", lead, f"{id}|post", f"{id}|in", cores, words)


def _cable(job: Assessment, span: Span) -> Cable:
    cores = _CORES.get(span.cores, TWO_LEGS)
    if "/" in span.id and not span.area_mm2 and not span.length_m:
        return Cable(span.id, span.id, span.run, span.a, span.b, cores, ("inside the unit",))
    wire = job.wires.get(span.id)
    area = "?" if wire is None or wire.area_mm2 is None else size(wire)
    unit = "" if wire is not None and wire.gauge else " mm²"
    far = "? m" if wire is None or not wire.length_m else length(wire)
    conductor = job.wiring.runs[span.run].run.conductor
    kind = () if conductor == "flexible" else (str(conductor),)
    return Cable(
        span.id, span.id, span.run, span.a, span.b, cores, (f"{span.cores} × {area}{unit}", far, *kind)
    )


def _from_left_to_right(graph: Graph) -> Iterator[Cable]:
    """Give the cables as they run from what feeds; one that was typed the other way round is turned."""
    outs, ins = graph.unit_out, graph.unit_in
    for cable in graph.cables:
        fits = cable.a in outs and cable.b in ins
        turned = cable.b in outs and cable.a in ins
        yield replace(cable, a=cable.b, b=cable.a) if turned and not fits else cable


def rating_of(part: Part) -> str:
    """Return what a part says of itself: its power, or its rated current."""
    return typed(part.power) or typed(part.rating) or typed(part.current)


__all__ = ["TWO_LEGS", "Cable", "Graph", "Unit", "mains_graph", "rating_of"]
