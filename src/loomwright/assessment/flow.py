"""Who feeds what, through which branches: the network of a standing of contacts, reduced to its ports."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.chains import reduce_long_network
from loomwright.circuit.joints import pieces
from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import PortLoads, Ports
from loomwright.plan.kinds import states
from loomwright.plan.pieces import Wiring

from .loads import Port
from .network import Branch
from .record import Ohm
from .states import Contact, contacts_of, neighbours, reach, shortest, standing

Floats = NDArray[np.float64]

#: No more combinations of positions are tried than this.
COMBINATIONS = 256


@dataclass(frozen=True, slots=True)
class Flow:
    """A network reduced to its ports, with what is needed to tell where the current goes."""

    branches: tuple[Branch, ...]
    sources: tuple[Source, ...]
    ports: tuple[Port, ...]
    reduced: Ports
    index: Mapping[str, int]
    items: tuple[Ohm, ...]  # every single resistance, branch by branch
    item_branch: NDArray[np.intp]  # the branch it belongs to, shape (items,)
    item_ohm: Floats  # [Ω], shape (items,)
    feeders: tuple[int, ...]  # by port: the source that carries most of it, -1 if none does

    def feeder(self, k: int) -> str | None:
        """Return the id of the source that carries most of port `k`, None if it is not fed."""
        at = self.feeders[k]
        return None if at < 0 else self.sources[at].id

    def loads(self) -> PortLoads:
        """Return the loads of all ports; what gives current counts as nothing here."""
        return PortLoads(
            np.array([0.0 if p.gives else p.amps for p in self.ports]),
            np.array([0.0 if p.gives else p.watts for p in self.ports]),
            np.array([0.0 if p.gives else p.siemens for p in self.ports]),
        )


def flow(branches: Sequence[Branch], sources: Sequence[Source], ports: Sequence[Port]) -> Flow:
    """Reduce a network to its ports."""
    resistors: list[Resistor] = [branch.resistor() for branch in branches]
    reduced = reduce_long_network(resistors, sources, [(port.plus, port.minus) for port in ports])
    items = [(k, ohm) for k, branch in enumerate(branches) for ohm in branch.ohms if ohm.ohm > 0]
    return Flow(
        branches=tuple(branches),
        sources=tuple(sources),
        ports=tuple(ports),
        reduced=reduced,
        index={port.id: k for k, port in enumerate(ports)},
        items=tuple(ohm for _, ohm in items),
        item_branch=np.array([k for k, _ in items], dtype=np.intp),
        item_ohm=np.array([ohm.ohm for _, ohm in items]),
        feeders=_feeders(branches, sources, ports, reduced),
    )


def _feeders(
    branches: Sequence[Branch], sources: Sequence[Source], ports: Sequence[Port], reduced: Ports
) -> tuple[int, ...]:
    """Return the source that carries most of each port; of a bank in series that at whose plus it hangs."""
    if not sources or not ports:
        return (-1,) * len(ports)
    metal = metal_of(branches)
    plus = np.array([metal.get(source.plus, -1) for source in sources])
    near = plus[:, None] == np.array([metal.get(port.plus, -2) for port in ports])
    shares = np.abs(np.nan_to_num(reduced.source_share))
    shares = np.where((shares * near).max(axis=0) > 0, shares * near, shares)
    return tuple(np.where(reduced.reached, shares.argmax(axis=0), -1).tolist())


def metal_of(branches: Sequence[Branch]) -> dict[str, int]:
    """Number the pieces of metal that branches join, point by point."""
    number: dict[str, int] = {}
    for branch in branches:
        for point in (branch.a, branch.b):
            number.setdefault(point, len(number))
    named = list(number)
    joined = pieces(len(named), [(number[branch.a], number[branch.b]) for branch in branches])
    return dict(zip(named, joined, strict=True))


def positions_that_feed(wiring: Wiring, port: Port, sources: Sequence[Source]) -> dict[str, str] | None:
    """Return positions of change-overs, selectors and two-ways that feed a port, house batteries first.

    None: no position of the switches feeds it.
    """
    movable = [
        part_id
        for part_id, part in wiring.parts.items()
        if part.kind in ("selector", "change_over", "two_way", "intermediate")
        or (part.kind == "relay" and part.contact == "change_over")
    ]
    everything = [contact for part in movable for contact in _all_contacts(wiring, part)]
    rest = standing(wiring).closed
    union = neighbours(wiring, [*rest, *everything])
    order = sorted(
        sources, key=lambda s: wiring.parts[s.id].kind != "battery" if s.id in wiring.parts else True
    )
    for source in order:
        way = shortest(union, source.plus, port.plus)
        back = shortest(union, port.minus, source.minus)
        if way is None or back is None:
            continue
        touched = {wiring.part_of(point) for point in (*way, *back)}
        moved = [part for part in movable if part in touched]
        for chosen in list(product(*(list(states(wiring.parts[part])) for part in moved)))[:COMBINATIONS]:
            overrides = dict(zip(moved, chosen, strict=True))
            graph = neighbours(wiring, standing(wiring, overrides).closed)
            if port.plus in reach(graph, source.plus) and port.minus in reach(graph, source.minus):
                return overrides
    return None


def _all_contacts(wiring: Wiring, part_id: str) -> list[Contact]:
    part = wiring.parts[part_id]
    return [contact for state in states(part) for contact in contacts_of(part_id, part, state)]


class Potentials:
    """Falls between points, for branch currents of one or many cases at once.

    A spanning tree over the branches is walked once; the fall from `a` to `b` is then the sum along it.
    Sources are no branches, so the plus side and the minus side are trees of their own.
    """

    def __init__(self, branches: Sequence[Branch], amps: Floats) -> None:
        """`amps` has shape (m, ...): currents of the branches from a to b."""
        self.level: dict[str, Floats] = {}
        self.tree: dict[str, int] = {}
        joined: dict[str, list[int]] = {}
        for k, branch in enumerate(branches):
            joined.setdefault(branch.a, []).append(k)
            joined.setdefault(branch.b, []).append(k)
        zero = np.zeros(amps.shape[1:])
        for root in joined:
            if root in self.level:
                continue
            self.level[root], self.tree[root] = zero, len(self.tree)
            queue = [root]
            while queue:
                here = queue.pop()
                for k in joined[here]:
                    branch = branches[k]
                    other, sign = (branch.b, 1.0) if branch.a == here else (branch.a, -1.0)
                    if other not in self.level:
                        self.level[other] = self.level[here] - sign * branch.ohm * amps[k]
                        self.tree[other] = self.tree[root]
                        queue.append(other)

    def fall(self, a: str, b: str) -> Floats | None:
        """Return the volts lost from `a` to `b`, None if no branch joins them. [V]"""
        if a not in self.tree or b not in self.tree or self.tree[a] != self.tree[b]:
            return None
        return self.level[a] - self.level[b]
