"""From records with names to numbered nodes, branches, draws and valves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from loomwright.circuit.joints import pieces
from loomwright.circuit.linear import Branches
from loomwright.circuit.network import (
    Converter,
    Diode,
    Element,
    Limited,
    Load,
    Network,
    Resistor,
    Source,
    terminals,
)
from loomwright.circuit.valves import Circuit, Valve
from loomwright.circuit.working import Demand, Feed


class Always(NamedTuple):
    """A branch that always conducts, and the element behind it."""

    element: Resistor | Source | Load
    a: int
    b: int
    ohm: float
    emf_v: float


class Draw(NamedTuple):
    """A pair at which a load or the input of a converter draws."""

    element: Load | Converter
    plus: int
    minus: int


@dataclass(slots=True)
class Compiled:
    """A part of a network that shares nothing with the rest, in numbers."""

    elements: list[Element] = field(default_factory=list)
    number: dict[str, int] = field(default_factory=dict)  #: of each node
    island: list[int] = field(default_factory=list)  #: the galvanic island of each node
    always: list[Always] = field(default_factory=list)
    draws: list[Draw] = field(default_factory=list)
    valves: list[tuple[Diode | Limited | Converter, Valve]] = field(default_factory=list)
    feeds: list[Feed] = field(default_factory=list)

    def add(self, name: str, island: int) -> None:
        """Add a node."""
        self.number[name] = len(self.island)
        self.island.append(island)

    def circuit(self) -> Circuit:
        """Return the circuit without names."""
        return Circuit(
            nodes=len(self.number),
            fixed=Branches(
                a=[branch.a for branch in self.always],
                b=[branch.b for branch in self.always],
                ohm=[branch.ohm for branch in self.always],
                emf_v=[branch.emf_v for branch in self.always],
            ),
            draws=[(draw.plus, draw.minus) for draw in self.draws],
            valves=[valve for _, valve in self.valves],
        )

    def demand(self, on: Sequence[int], barred: frozenset[int]) -> Demand:
        """Return what is drawn while the draws `on` are fed and the valves `barred` stay off."""
        elements = [draw.element for draw in self.draws]
        return Demand(
            amps=np.array([e.idle_a if isinstance(e, Converter) else e.amps for e in elements]),
            watts=np.array([0.0 if isinstance(e, Converter) else e.watts for e in elements]),
            feeds=tuple(feed for feed in self.feeds if feed.valve not in barred),
            on=np.array(on, dtype=np.intp),
            barred=barred,
        )


def compile_network(network: Network) -> list[Compiled]:
    """Split a network into the parts that neither metal nor a converter joins, each in numbers."""
    ends = [terminals(element) for element in network.elements]
    number: dict[str, int] = {}
    numbers = [[number.setdefault(node, len(number)) for node in nodes] for nodes in ends]
    # The two sides of a converter are two pairs; it joins its islands to one part, but not by metal.
    metal = [(nodes[k], nodes[k + 1]) for nodes in numbers for k in range(0, len(nodes), 2)]
    island = pieces(len(number), metal)
    part = pieces(max(island, default=-1) + 1, [(island[n[0]], island[n[2]]) for n in numbers if len(n) > 2])
    groups = [Compiled() for _ in range(max(part, default=-1) + 1)]
    for name, node in number.items():
        groups[part[island[node]]].add(name, island[node])
    for element, names, nodes in zip(network.elements, ends, numbers, strict=True):
        group = groups[part[island[nodes[0]]]]
        group.elements.append(element)
        _place(group, element, [group.number[name] for name in names])
    return groups


def _place(group: Compiled, element: Element, nodes: Sequence[int]) -> None:
    """Add one element to its group."""
    p, q = nodes[:2]
    match element:
        case Resistor():
            group.always.append(Always(element, p, q, element.ohm, 0.0))
        case Source():
            group.always.append(Always(element, q, p, element.ohm, element.volts))
        case Load():
            if element.siemens:
                group.always.append(Always(element, p, q, 1.0 / element.siemens, 0.0))
            if element.amps or element.watts:
                group.draws.append(Draw(element, p, q))
        case Diode():
            group.valves.append((element, Valve(p, q, -element.drop_v, element.ohm)))
        case Limited():
            group.valves.append((element, Valve(q, p, element.volts, element.ohm, element.max_a)))
        case Converter():
            group.feeds.append(Feed(len(group.draws), len(group.valves), element.efficiency))
            group.draws.append(Draw(element, p, q))
            group.valves.append((element, Valve(nodes[3], nodes[2], element.volts, 0.0, element.max_a)))
