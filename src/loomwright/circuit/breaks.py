"""A network with something open: each wire, joint or contact in turn, or several, from one reduction.

Loads are conductances here, so that current may also find its way through one into another: two lamps in
series share their volts. Of n loads and k places that may open

    v = W (v0 + U g)                  W = (1 + Z G)^-1
    (D + U^T H U) g = i               H = G W

Z are the transfer resistances of the network without its loads, G their conductances, `i` the currents of
the places while they are whole, `g` the volts across the gaps. U holds what a gap lifts: `z / R` of a place.
Where nothing leads around a place (a bridge of the graph) it is a whole number, by which all behind the gap
floats, and D is exactly zero: no difference of large figures has to be trusted. Elsewhere
D = (R - z) / R².

Sources: substitution and superposition theorem, as any textbook of circuit theory has them (from memory);
bridges of a graph by their low points, Tarjan, A note on finding the bridges of a graph, 1974 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from loomwright.circuit.chains import join_chains
from loomwright.circuit.linear import Bools, Floats, Ints
from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import reduce_to_ports

#: No place resists less: volts across a gap are counted per ohm of what was there. [Ω]
LEAST_OHM = 1e-6
#: Less conductance than this behind a gap is nothing that could draw. [S]
NOTHING_S = 1e-12


@dataclass(frozen=True, slots=True)
class Opened:
    """A network with some places open.

    Attributes
    ----------
    volts : ndarray, shape (n,)
        Across each load; below zero the wrong way round, NaN where no source ever reaches it. [V]
    gap_v : ndarray, shape (places opened,)
        Across each gap, from the place's first point to its second. [V]
    amps : ndarray, shape (m,)
        Of each resistor; 0 where nothing can flow. [A]
    """

    volts: Floats
    gap_v: Floats
    amps: Floats


@dataclass(frozen=True)
class Openings:
    """A network of m resistors whose k places may open.

    Resistors one after the other are one place: it is the same wherever such a chain comes open.

    Attributes
    ----------
    place : ndarray, shape (m,)
        The place of each resistor, -1 for one through which no current of a source can come.
    sign : ndarray, shape (m,)
        1 if it lies the way of its place, -1 if against.
    ends : tuple of (str, str)
        The two points of each place.
    bridge : ndarray, shape (k,)
        Nothing leads around the place.
    siemens : ndarray, shape (n,)
        Of each load that a source reaches at both ends, else 0. [S]
    """

    place: Ints
    sign: Floats
    ends: tuple[tuple[str, str], ...]
    bridge: Bools
    siemens: Floats
    reached: Bools
    v0: Floats  #: (n,) volts at the loads with nothing drawn
    z: Floats  #: (n, n) transfer resistances [Ω]
    lift: Floats  #: (n, k) volts at each load per volt across each gap
    around_s: Floats  #: (k, k) conductance of the ways around [S]
    own_a: Floats  #: (k,) current of each place with nothing drawn [A]
    share: Floats  #: (k, n) current of each place per ampere of each load
    spread_s: Floats  #: (k, k) current of each place per volt across each gap [S]

    @cached_property
    def _w(self) -> Floats:
        return np.asarray(np.linalg.inv(np.eye(len(self.v0)) + self.z * self.siemens))

    @cached_property
    def _lifted(self) -> Floats:
        """Volts at the loads per volt across each gap, what they draw counted in; shape (n, k)."""
        return self._w @ self.lift

    @cached_property
    def whole_v(self) -> Floats:
        """Volts at the loads with nothing open, shape (n,). [V]"""
        return np.where(self.reached, self._w @ self.v0, np.nan)

    @cached_property
    def _taken(self) -> Floats:
        """Conductance between the two sides of each gap, and from gap to gap; shape (k, k). [S]"""
        return self.around_s + self.lift.T @ (self.siemens[:, None] * self._lifted)

    @cached_property
    def place_a(self) -> Floats:
        """Current of each place with nothing open, shape (k,). [A]"""
        return self.own_a - self.lift.T @ (self.siemens * np.nan_to_num(self.whole_v))

    def each(self, beside: int | None = None) -> Floats:
        """Return the volts at the loads with each place open, `beside` one that is open already.

        Returns
        -------
        ndarray, shape (k, n)
            [V]
        """
        own: Floats = np.diag(self._taken)
        if beside is None:
            gap_v = _over(self.place_a, own)
            return np.where(self.reached, self.whole_v + gap_v[:, None] * self._lifted.T, np.nan)
        first, both = own[beside], self._taken[:, beside]
        base_v = float(_over(self.place_a[beside : beside + 1], own[beside : beside + 1])[0])
        left = own - _over(both, np.full_like(both, first)) * both
        left[beside] = 0.0
        gap_v = _over(self.place_a - both * base_v, np.where(left > NOTHING_S, left, 0.0))
        beside_v = base_v - _over(both * gap_v, np.full_like(both, first))
        volts = self.whole_v + gap_v[:, None] * self._lifted.T + beside_v[:, None] * self._lifted[:, beside]
        return np.where(self.reached, volts, np.nan)

    def opened(self, places: Sequence[int]) -> Opened:
        """Return the network with some places open."""
        at = np.array(places, dtype=np.intp)
        taken = self._taken[np.ix_(at, at)]
        held = np.diag(taken) > NOTHING_S
        gap_v: Floats = np.zeros(len(at))
        if held.any():
            solved = np.linalg.lstsq(taken[np.ix_(held, held)], self.place_a[at][held], rcond=NOTHING_S)
            gap_v[held] = solved[0]
        volts = self._w @ self.v0 + self._lifted[:, at] @ gap_v
        drawn = self.siemens * volts
        place_a = self.own_a + self.share @ drawn - self.spread_s[:, at] @ gap_v
        place_a[at] = 0.0
        amps = np.where(self.place >= 0, self.sign * np.append(place_a, 0.0)[self.place], 0.0)
        return Opened(np.where(self.reached, volts, np.nan), gap_v, amps)

    def without(self, loads: Sequence[int]) -> Openings:
        """Return the same network with some loads drawing nothing."""
        siemens = self.siemens.copy()
        siemens[np.array(loads, dtype=np.intp)] = 0.0
        return replace(self, siemens=siemens)


def openings(
    resistors: Sequence[Resistor],
    sources: Sequence[Source],
    loads: Sequence[tuple[str, str]],
    siemens: Sequence[float],
) -> Openings:
    """Reduce a network to its loads and to the places that may open.

    Parameters
    ----------
    resistors : sequence of Resistor
        Everything that may open.
    sources : sequence of Source
        Batteries behind their inner resistance; two ideal ones against each other have no answer.
    loads : sequence of (str, str)
        (plus, minus) of each load.
    siemens : sequence of float
        Their conductances. [S]

    Returns
    -------
    Openings
        See there.

    Examples
    --------
    Two lamps of 12 Ω share an earth that comes open; one is switched off, and a third hangs beside it on the
    same switch with an earth of its own. The three glow in series and share 12 V.

    >>> wires = [Resistor("on", "plus", "a", 1e-3), Resistor("switch", "plus", "b", 1e-3),
    ...     Resistor("earth", "shared", "minus", 1e-3)]
    >>> lamps = [("a", "shared"), ("b", "shared"), ("b", "minus")]
    >>> net = openings(wires, [Source("battery", "plus", "minus", 12.0, 1e-3)], lamps, [1 / 12] * 3)
    >>> net.opened([net.place[1], net.place[2]]).volts.round(2).tolist()
    [4.0, -4.0, 4.0]
    """
    keep = {point for pair in loads for point in pair}
    for source in sources:
        keep.update((source.plus, source.minus))
    raised = [Resistor(r.id, r.a, r.b, max(r.ohm, LEAST_OHM)) for r in resistors]
    chains = join_chains(raised, keep)
    ends = [(chain.a, chain.b) for chain in chains.joined]
    ports, n = reduce_to_ports(chains.joined, sources, [*loads, *ends]), len(loads)
    reached = ports.reached[:n]
    live = np.flatnonzero(ports.reached[n:])
    number = np.full(len(ends) + 1, -1)
    number[live] = np.arange(len(live))
    bridge = np.array(bridges([*ends, *((s.minus, s.plus) for s in sources)])[: len(ends)], dtype=bool)[live]
    ohm = np.array([chain.ohm for chain in chains.joined])[live]
    z = np.nan_to_num(ports.z)
    lift, among = z[:n, n + live] / ohm, z[np.ix_(n + live, n + live)]
    lift[:, bridge] = np.round(lift[:, bridge])
    among[bridge] = among[:, bridge] = 0.0
    around = np.where(np.diag(bridge), 0.0, np.diag(ohm)) - among
    share = np.nan_to_num(ports.share)[live]
    spread = share[:, n + live] / ohm
    spread[:, bridge] = 0.0
    return Openings(
        place=number[chains.chain],
        sign=chains.sign,
        ends=tuple(ends[k] for k in live.tolist()),
        bridge=bridge,
        siemens=np.where(reached, np.asarray(siemens, dtype=float), 0.0),
        reached=reached,
        v0=np.nan_to_num(ports.v0[:n]),
        z=z[:n, :n],
        lift=lift,
        around_s=around / ohm[:, None] / ohm,
        own_a=np.where(bridge, 0.0, ports.b0[live]),
        share=share[:, :n],
        spread_s=spread,
    )


def _over(above: Floats, below: Floats) -> Floats:
    """Divide where anything is below that conducts, else return 0."""
    return np.divide(above, below, out=np.zeros_like(above), where=below > NOTHING_S)


def bridges(edges: Sequence[tuple[str, str]]) -> list[bool]:
    """Say of each edge whether the graph falls apart without it.

    Parameters
    ----------
    edges : sequence of (str, str)
        Two nodes each; several edges may join the same two.

    Examples
    --------
    >>> bridges([("a", "b"), ("b", "c"), ("c", "b"), ("c", "d")])
    [True, False, False, True]
    """
    at: dict[str, list[tuple[int, str]]] = {}
    for k, (a, b) in enumerate(edges):
        at.setdefault(a, []).append((k, b))
        at.setdefault(b, []).append((k, a))
    found, order, low = [False] * len(edges), dict[str, int](), dict[str, int]()
    for root in at:
        if root in order:
            continue
        order[root] = low[root] = len(order)
        stack: list[tuple[str, int, Iterator[tuple[int, str]]]] = [(root, -1, iter(at[root]))]
        while stack:
            node, by, onward = stack[-1]
            for k, other in onward:
                if other not in order:
                    order[other] = low[other] = len(order)
                    stack.append((other, k, iter(at[other])))
                    break
                if k != by:
                    low[node] = min(low[node], order[other])
            else:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    low[above] = min(low[above], low[node])
                    found[by] = low[node] > order[above]
    return found


__all__ = ["Opened", "Openings", "bridges", "openings"]
