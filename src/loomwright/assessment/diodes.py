"""Diodes of a van: which conduct when consumers run, and which let the alternator charge a house battery.

A diode conducts for the consumers only if nothing else feeds what lies behind it; between two live sides it
blocks. While it conducts it is a source of minus its drop, in series.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loomwright.circuit.network import Source
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity

from .states import Contact, Link, neighbours, reach, shortest

_PASSAGES = {"diode": (("a", "k"),), "diode_splitter": (("in", "out_1"), ("in", "out_2"))}
#: Forward drop where the plan has none that can be read. [V]
USUAL_DROP_V = 0.7


def diodes_of(wiring: Wiring) -> Iterator[tuple[Contact, float]]:
    """Give every diode's passage, from anode to cathode, and its drop. [V]"""
    for part_id, part in wiring.parts.items():
        drop_v = part.drop.high if isinstance(part.drop, Quantity) else USUAL_DROP_V
        for a, k in _PASSAGES.get(part.kind, ()):
            yield Contact(part_id, f"{part_id}.{a}", f"{part_id}.{k}"), drop_v


def conducting(wiring: Wiring, closed: Iterable[Contact], sources: Iterable[Source]) -> list[Source]:
    """Return the diodes that conduct for consumers, as sources of minus their drop."""
    ways = list(diodes_of(wiring))
    if not ways:
        return []
    graph = neighbours(wiring, closed)
    live = set().union(*(reach(graph, source.plus) for source in sources))
    return [
        Source(f"{way.part}:{way.b}", way.b, way.a, -drop_v)
        for way, drop_v in ways
        if way.b in graph and way.b not in live
    ]


def diode_links(wiring: Wiring, closed: Iterable[Contact]) -> list[Link]:
    """Return the ways through a diode by which a vehicle battery's alternator charges a house battery."""
    if not any(diodes_of(wiring)):
        return []
    graph = neighbours(wiring, closed)
    drops = {way.part: drop_v for way, drop_v in diodes_of(wiring)}
    for way, _ in diodes_of(wiring):
        graph.setdefault(way.a, []).append(way.b)  # one way only
    found = []
    for vehicle in (id for id, part in wiring.parts.items() if part.kind == "vehicle_battery"):
        for house in (id for id, part in wiring.parts.items() if part.kind == "battery"):
            points = shortest(graph, f"{vehicle}.plus", f"{house}.plus")
            passed = [wiring.part_of(point) for point in points or ()]
            part = next((part for part in passed if part in drops), None)
            if points is not None and part is not None:
                found.append(Link(part, vehicle, house, tuple(points), charges=True, diode_v=drops[part]))
    return found
