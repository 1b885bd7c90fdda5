"""How currents part where they have several ways: at the corners, and tried between the ends of all ohms.

Parallel returns, wires in parallel, batteries in parallel: there the parting hangs on the ohms of the ways.
A current is a quotient of sums in which each resistance stands to the first power, so its ends lie where
every resistance is at one of its ends. Which ones is told by the slopes at the middle; these corners are
tried, and beside them a Latin hypercube over all resistances, half of its points pushed to the nearest ends.

Sources: that network functions are bilinear in each resistance, as any textbook of network theory has it
(from memory); the hypercube: McKay, Beckman and Conover, A comparison of three methods for selecting values
of input variables, Technometrics 21, 1979 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from loomwright.circuit.chains import Chains, join_chains
from loomwright.circuit.linear import Bools, Floats, Ints
from loomwright.circuit.network import Resistor
from loomwright.circuit.ports import Ports, reduce_to_ports

from .flow import Flow
from .solve import Solved

#: So many points of the hypercube are tried, the same ones each time.
TRIED, SEED = 60, 20
#: With more ways than this their slopes are left out: their number would be felt.
MOST_WAYS = 40
#: A share within this of 0 or 1 is no parting. [-]
WHOLE = 1e-6
#: Less is dust. [A]
DUST_A = 1e-9


class Say(Protocol):
    """What is told after each step, and of `more` steps to come before they begin."""

    def __call__(self, more: int = 0) -> None: ...


@dataclass(frozen=True, slots=True)
class Parted:
    """One parting: by branch and port, by source and port, with nothing drawn, and the ohms between ports."""

    share: Floats
    b0: Floats
    source_share: Floats
    source_b0: Floats
    z: Floats


@dataclass(frozen=True, slots=True)
class Partings:
    """All partings found, and the branches and sources whose current has several ways."""

    ways: tuple[Parted, ...]
    meshed: frozenset[str]


def partings(solved: Sequence[Solved], say: Say) -> Partings:
    """Return how currents part at some corners of one network, the middle last, and between them.

    Parameters
    ----------
    solved : sequence of Solved
        The network at each corner.
    say : callable
        Called with how many trials are to come, and after each.
    """
    nets = [one.flow for one in solved]
    ways = [_parted(net.reduced) for net in nets]
    meshed = _meshed(ways)
    if meshed.any():
        trials = _Trials(nets, meshed)
        tried = [*trials.places()]
        if tried:
            say(len(tried))
        for place in tried:
            ways.append(trials.at(place))
            say()
    ids = [one.id for one in nets[-1].branches] + [one.id for one in nets[-1].sources]
    return Partings(tuple(ways), frozenset(ids[k] for k in np.flatnonzero(meshed)))


def _parted(reduced: Ports) -> Parted:
    return Parted(
        np.nan_to_num(reduced.share),
        np.nan_to_num(reduced.b0),
        np.nan_to_num(reduced.source_share),
        np.nan_to_num(reduced.source_b0),
        reduced.z,
    )


def _meshed(ways: Sequence[Parted]) -> Bools:
    """Tell which branches, and after them which sources, carry part of something."""
    found = np.zeros(len(ways[0].b0) + len(ways[0].source_b0), dtype=bool)
    for one in ways:
        share = np.abs(np.concatenate([one.share, one.source_share]))
        rest = np.abs(np.concatenate([one.b0, one.source_b0]))
        found |= ((share > WHOLE) & (np.abs(share - 1.0) > WHOLE)).any(axis=1) | (rest > DUST_A)
    return found


class _Trials:
    """Solves one network again with other ohms: each chain of resistors is one, free between its ends."""

    def __init__(self, nets: Sequence[Flow], meshed: Bools) -> None:
        self.net = net = nets[-1]
        self.ports = [(port.plus, port.minus) for port in net.ports]
        keep = {node for port in self.ports for node in port}
        keep |= {node for one in net.sources for node in (one.plus, one.minus)}
        self.chains = join_chains([branch.resistor() for branch in net.branches], keep)
        ohms = np.array([self._ohms(one) for one in nets])
        self.low, self.middle, self.high = ohms.min(axis=0), ohms[-1], ohms.max(axis=0)
        m = len(net.branches)
        in_mesh = np.zeros(len(self.middle), dtype=bool)
        chained = meshed[:m] & (self.chains.chain >= 0)
        in_mesh[self.chains.chain[chained]] = True
        in_mesh[len(self.chains.joined) :] = meshed[m:]
        self.free: Ints = np.flatnonzero(in_mesh & (self.high > self.low))

    def _ohms(self, net: Flow) -> Floats:
        """Return the ohms of each chain, and after them of each source."""
        chains: Chains = self.chains
        found = np.zeros(len(chains.joined))
        on = chains.chain >= 0
        np.add.at(found, chains.chain[on], np.array([branch.ohm for branch in net.branches])[on])
        return np.concatenate([found, [source.ohm for source in net.sources]])

    def places(self) -> Iterator[Floats]:
        """Give where to try: the corners that the slopes point to, then a hypercube."""
        if len(self.free):
            if len(self.free) <= MOST_WAYS:
                yield from self._corners()
            yield from hypercube(TRIED, len(self.free))

    def _corners(self) -> Floats:
        """Return where each way would carry least and most if its slopes keep their signs."""
        n = len(self.free)
        amps, there = self._drawn(), self._place_of_middle()
        here = self._flows(self.at(there), amps)
        slopes = np.zeros((n, n))  # of the current in each way, by the place of each resistance
        for k in range(n):
            step = there.copy()
            step[k] += 0.02 if step[k] < 0.5 else -0.02
            slopes[:, k] = (self._flows(self.at(step), amps) - here) / (step[k] - there[k])
        found: Floats = np.unique(np.concatenate([slopes > 0.0, slopes < 0.0]), axis=0).astype(float)
        return found

    def _drawn(self) -> Floats:
        """Return about what each port takes with everything on. [A]"""
        return np.array([port.amps + port.watts / 12.0 + port.siemens * 12.0 for port in self.net.ports])

    def _place_of_middle(self) -> Floats:
        place: Floats = (self.middle - self.low)[self.free] / (self.high - self.low)[self.free]
        return place

    def _flows(self, parted: Parted, amps: Floats) -> Floats:
        """Return the current in each free way. [A]"""
        m, joined = len(self.net.branches), len(self.chains.joined)
        first = {int(chain): k for k, chain in reversed(list(enumerate(self.chains.chain)))}
        rows = [first[k] if k < joined else m + k - joined for k in self.free.tolist()]
        share = np.concatenate([parted.share, parted.source_share])[rows]
        rest = np.concatenate([parted.b0, parted.source_b0])[rows]
        flows: Floats = np.abs(rest + share @ amps)
        return flows

    def at(self, place: Floats) -> Parted:
        """Return the parting with each free way so far between its ends, all else in the middle."""
        ohms = self.middle.copy()
        ohms[self.free] += (place - self._place_of_middle()) * (self.high - self.low)[self.free]
        joined = [Resistor(one.id, one.a, one.b, float(ohms[k])) for k, one in enumerate(self.chains.joined)]
        after = ohms[len(joined) :].tolist()
        sources = [replace(one, ohm=ohm) for one, ohm in zip(self.net.sources, after, strict=True)]
        short = reduce_to_ports(joined, sources, self.ports)
        chain, sign = self.chains.chain, self.chains.sign
        share = sign[:, None] * short.share[chain]
        return _parted(replace(short, share=share, b0=sign * short.b0[chain]))


def hypercube(points: int, sides: int) -> Floats:
    """Return a Latin hypercube, shape (points, sides), between 0 and 1; every second point at a corner.

    Parameters
    ----------
    points, sides : int
        How many points, and in how many directions. Each side is cut into as many slices as there are
        points, and each slice holds one of them.

    Returns
    -------
    ndarray, shape (points, sides)
        The same one each time.
    """
    random = np.random.default_rng(SEED)
    slices = random.permuted(np.tile(np.arange(points), (sides, 1)), axis=1).T
    found: Floats = (slices + random.random((points, sides))) / points
    found[1::2] = np.round(found[1::2])
    return found
