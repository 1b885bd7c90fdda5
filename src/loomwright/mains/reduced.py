"""One net in one state of its contacts, factorised once and asked for many faults.

Unknown are the volts of the nodes and the currents of joints and feeds (modified nodal analysis). A fault
or a person comes to the net as a further link: its current follows from the volts and the resistances
that the net shows between its ends, and takes the rest of the volts along (Thévenin, for several links at
once). Parts that share no metal are held apart, so that a part that floats costs no digits: each has a
node of reference, and a further link between two parts only shifts one against the other.

Sources: Thévenin's theorem and modified nodal analysis, any textbook of circuit theory (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from loomwright.mains.records import Feed, Link, Net, Node, State

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

#: How much a feed at its limit still gives way, as a share of its limit over its volts.
_GIVES_WAY = 1e-6
#: Two nodes with less between them are joined already: a further joint there carries nothing. [Ω]
_JOINED_OHM = 1e-9
#: A limit counts as passed only beyond this share.
_DUST = 1e-9


class Groups:
    """Things that belong together."""

    def __init__(self) -> None:
        self._next: dict[Node, Node] = {}

    def of(self, thing: Node) -> Node:
        """Return the one that stands for all that belong with `thing`."""
        while (ahead := self._next.setdefault(thing, thing)) != thing:
            thing = ahead
        return thing

    def join(self, one: Node, other: Node) -> bool:
        """Put two together; tell whether they were apart."""
        a, b = self.of(one), self.of(other)
        self._next[a] = b
        return a != b


class Reduced:
    """The factorised net: answers for any further links.

    Parameters
    ----------
    net : Net
        The installation.
    opened : frozenset of str
        Links that are open.
    limited : frozenset of str
        Feeds that give their limit.
    """

    def __init__(self, net: Net, opened: frozenset[str], limited: frozenset[str]) -> None:
        self.feeds, self.limited = net.feeds, limited
        self.links = tuple(link for link in net.links if link.id not in opened)
        self.nodes, self._names = net.nodes, frozenset(branch.id for branch in net.branches)
        self.row = {node: k for k, node in enumerate(self.nodes)}
        self.part = self._parts()
        self._references = self._chosen()
        joints, ring = Groups(), []
        for link in self.links:
            if link.ohm == 0.0 and not joints.join(link.a, link.b):
                ring.append(link.id)
        self._ring = frozenset(ring)
        self._joints = tuple(link for link in self.links if link.ohm == 0.0 and link.id not in self._ring)
        self._branches: tuple[Link | Feed, ...] = (*self._joints, *self.feeds)
        matrix, drive = self._equations()
        self._inverse = np.linalg.inv(matrix)
        self._unloaded = self._inverse @ drive
        self._unloaded += self._inverse @ (drive - matrix @ self._unloaded)

    def _parts(self) -> Ints:
        """Return to which part without metal to the others each node belongs; 0 is the ground's."""
        groups = Groups()
        closed: tuple[Link | Feed, ...] = (*self.links, *self.feeds)
        for branch in closed:
            groups.join(*branch.ends)
        number: dict[Node, int] = {}
        return np.array([number.setdefault(groups.of(node), len(number)) for node in self.nodes])

    def _chosen(self) -> tuple[int, ...]:
        """Return a node of reference for each part: beside a feed sums keep their digits."""
        first = {int(part): k for k, part in reversed(list(enumerate(self.part)))}
        return tuple((first | {int(self.part[k]): k for k in (self.row[f.low] for f in self.feeds)}).values())

    def _equations(self) -> tuple[Floats, Floats]:
        """Return the matrix and the right-hand side; a reference's own row says that it has 0 V."""
        count = len(self.nodes)
        size = count + len(self._branches)
        matrix, drive = np.zeros((size, size)), np.zeros(size)
        for link in self.links:
            if link.ohm > 0.0 and link.a != link.b:
                a, b, siemens = self.row[link.a], self.row[link.b], 1.0 / link.ohm
                matrix[[a, b, a, b], [a, b, b, a]] += (siemens, siemens, -siemens, -siemens)
        for k, branch in enumerate(self._branches, count):
            a, b = (self.row[node] for node in branch.ends)
            leaves = 1.0 if isinstance(branch, Link) else -1.0
            matrix[[a, b], [k, k]] += (leaves, -leaves)
            matrix[[k, k], [a, b]] += (1.0, -1.0)
            if isinstance(branch, Feed):
                ohm, volts = _source(branch, branch.id in self.limited)
                matrix[k, k], drive[k] = ohm, volts
        for k in self._references:
            matrix[k], drive[k] = 0.0, 0.0
            matrix[k, k] = 1.0
        return matrix, drive

    def state(self, extra: Sequence[Link]) -> State:
        """Return the state with further links, fault or person, in the net.

        Parameters
        ----------
        extra : sequence of Link
            What comes to the net.

        Returns
        -------
        State
            Volts and currents.

        Raises
        ------
        ValueError
            One of them is at no node of the net, or bears the name of a link of it.
        """
        for link in extra:
            if link.id in self._names:
                raise ValueError(
                    f"{link.id}: a link or feed of the net has this name; give the fault its own"
                )
        ends = [(self._row(link.id, link.a), self._row(link.id, link.b)) for link in extra]
        amps, shift, unknowns = self._extra_amps(extra, ends)
        volts = unknowns[: len(self.nodes)] + shift[self.part]
        volts = volts - self._float(volts, ends)
        found = {link.id: 0.0 for link in self.links if link.id in self._ring}
        for link in self.links:
            if link.ohm > 0.0:
                found[link.id] = float(volts[self.row[link.a]] - volts[self.row[link.b]]) / link.ohm
        for k, branch in enumerate(self._branches, len(self.nodes)):
            found[branch.id] = float(unknowns[k])
        found |= {link.id: float(a) for link, a in zip(extra, amps, strict=True)}
        return State(dict(zip(self.nodes, volts.tolist(), strict=True)), found, self.limited)

    def loop_ohm(self, a: Node, b: Node) -> float:
        """Return the resistance that the net shows between two nodes, its feeds at rest. [Ω]

        Parameters
        ----------
        a, b : Node
            The two; infinite if they share no metal.

        Raises
        ------
        ValueError
            The net has no such node.
        """
        j, k = (self._row("a loop", node) for node in (a, b))
        if self.part[j] != self.part[k]:
            return float("inf")
        column = self._column(j, k)
        return float(column[j] - column[k])

    def _row(self, of: str, node: Node) -> int:
        if node not in self.row:
            raise ValueError(f"{of}: no node {'.'.join(filter(None, node))} in this net")
        return self.row[node]

    def _column(self, a: int, b: int) -> Floats:
        """Return by how much all unknowns rise if 1 A is led in at a and out at b."""
        column: Floats = np.zeros(len(self._unloaded))
        for node, sign in ((a, 1.0), (b, -1.0)):
            if node not in self._references:
                column += sign * self._inverse[:, node]
        return column

    def _extra_amps(
        self, extra: Sequence[Link], ends: Sequence[tuple[int, int]]
    ) -> tuple[Floats, Floats, Floats]:
        """Return the currents of the further links, the shift of each part, and all unknowns with them."""
        parts = int(self.part.max()) + 1
        shift = np.zeros(parts)
        if not extra:
            return np.zeros(0), shift, self._unloaded
        columns = np.stack([self._column(a, b) for a, b in ends])
        ohm = np.array([[column[a] - column[b] for a, b in ends] for column in columns]).T
        ohm[np.diag_indices(len(extra))] += [link.ohm for link in extra]
        volts = np.array([self._unloaded[a] - self._unloaded[b] for a, b in ends])
        crossing = np.zeros((len(extra), parts))
        for k, (a, b) in enumerate(ends):
            crossing[k, self.part[a]] += 1.0
            crossing[k, self.part[b]] -= 1.0
            if ohm[k, k] < _JOINED_OHM and self.part[a] == self.part[b]:  # it lies beside a joint
                ohm[k], ohm[k, k], volts[k] = 0.0, 1.0, 0.0
        floating = [p for p in range(1, parts) if crossing[:, p].any()]
        if not floating and len(extra) == 1 and ohm[0, 0] > 0.0:
            amps = volts / ohm[0, 0]
        else:
            c, rest = crossing[:, floating], np.zeros((len(floating), len(floating)))
            found = np.linalg.lstsq(
                np.block([[ohm, -c], [c.T, rest]]), np.append(volts, np.zeros(len(floating))), rcond=None
            )[0]
            amps, shift[floating] = found[: len(extra)], found[len(extra) :]
        return amps, shift, self._unloaded - amps @ columns

    def _float(self, volts: Floats, ends: Sequence[tuple[int, int]]) -> Floats:
        """Return what to take off each node: the ground has 0 V, what floats leaks nothing on the whole."""
        names = np.arange(int(self.part.max()) + 1)
        for a, b in ends:
            low, high = sorted((names[self.part[a]], names[self.part[b]]))
            names[names == high] = low
        named = names[self.part]
        off = np.zeros(len(volts))
        for name in set(named.tolist()):
            off[named == name] = volts[0] if name == 0 else volts[named == name].mean()
        return off


def _source(feed: Feed, limited: bool) -> tuple[float, float]:
    """Return the resistance and the volts behind which a feed stands; at its limit both are huge."""
    if not limited or feed.most_a is None:
        return feed.ohm, feed.volts
    ohm = feed.volts / (feed.most_a * _GIVES_WAY)
    return ohm, feed.volts + ohm * feed.most_a


@lru_cache(maxsize=64)
def reduced(net: Net, opened: frozenset[str] = frozenset(), limited: frozenset[str] = frozenset()) -> Reduced:
    """Return the factorised net, kept for the next question.

    Parameters
    ----------
    net : Net
        The installation.
    opened, limited : frozenset of str
        Links that are open, feeds that give their limit.

    Returns
    -------
    Reduced
        To be asked for states.
    """
    return Reduced(net, opened, limited)


def state_with(net: Net, opened: frozenset[str], extra: Sequence[Link]) -> State:
    """Return the state with further links, feeds at their limits where they would give more.

    Parameters
    ----------
    net : Net
        The installation.
    opened : frozenset of str
        Links that are open.
    extra : sequence of Link
        A fault, a person.

    Returns
    -------
    State
        Volts and currents.
    """
    limited: frozenset[str] = frozenset()
    for _ in range(2 * len(net.feeds) + 1):
        state = reduced(net, opened, limited).state(extra)
        now = frozenset(feed.id for feed in net.feeds if _at_limit(feed, state, feed.id in limited))
        if now == limited:
            break
        limited = now
    return state


def _at_limit(feed: Feed, state: State, limited: bool) -> bool:
    if feed.most_a is None:
        return False
    if not limited:
        return state.amps[feed.id] > feed.most_a * (1.0 + _DUST)
    across = state.volts[feed.high] - state.volts[feed.low]
    return across < (feed.volts - feed.ohm * feed.most_a) * (1.0 + _DUST)
