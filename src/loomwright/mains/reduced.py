"""One net in one state of its contacts, factorised once and asked for many faults.

Nodes that joints make one are one; unknown are their volts and the currents of feeds (modified nodal
analysis), and the currents of joints follow (`joints`). A fault or a person comes to the net as a further
link: its current follows from the volts and the resistances that the net shows between its ends, and takes
the rest of the volts along (Thévenin, for several links at once). Parts that share no metal are held apart,
so that a part that floats costs no digits: each has a node of reference, and a further link between two
parts only shifts one against the other.

Sources: Thévenin's theorem and modified nodal analysis, any textbook of circuit theory (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from loomwright.mains.joints import Floats, Groups, Ints, joints_of
from loomwright.mains.records import Feed, Link, Net, Node, State

#: How much a feed at its limit still gives way, as a share of its limit over its volts.
_GIVES_WAY = 1e-6
#: Two nodes with less between them are joined already: a further joint there carries nothing. [Ω]
_JOINED_OHM = 1e-9
#: Two further links are told apart by their determinant as long as it keeps this share of its digits.
_APART = 1e-6


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
        self.nodes, self._names = net.nodes, net.names
        self.row = {node: k for k, node in enumerate(self.nodes)}
        links = [link for link in net.links if link.id not in opened]
        self._joints = joints_of(self.row, links)
        self._resistors = tuple(link for link in links if link.ohm > 0.0)
        self._of = np.array(self._joints.group)
        self._count = int(self._of.max()) + 1
        self._ends, self._siemens = self._measures()
        self.part = self._parts()
        self._references = self._chosen()
        matrix, drive = self._equations()
        inverse = np.linalg.inv(matrix)
        self._unloaded = inverse @ drive
        self._unloaded += inverse @ (drive - matrix @ self._unloaded)
        self._rises = inverse  # of all unknowns for 1 A into a joined node; a reference stays where it is
        self._rises[:, list(self._references)] = 0.0
        self._carried = self._carries()

    def _measures(self) -> tuple[Ints, Floats]:
        """Return from which node to which each resistor and feed leads, and what the resistors conduct."""
        branches: tuple[Link | Feed, ...] = (*self._resistors, *self.feeds)
        ends = np.array([(self.row[a], self.row[b]) for a, b in (one.ends for one in branches)]).reshape(
            -1, 2
        )
        return ends, np.array([1.0 / link.ohm for link in self._resistors])

    def _parts(self) -> Ints:
        """Return to which part without metal to the others each joined node belongs; 0 is the ground's."""
        groups = Groups(self._count)
        for a, b in self._of[self._ends].tolist():
            groups.join(a, b)
        return np.array(groups.numbers())

    def _chosen(self) -> tuple[int, ...]:
        """Return a joined node of reference for each part: beside a feed sums keep their digits."""
        first = {part: k for k, part in reversed(list(enumerate(self.part.tolist())))}
        beside = (int(self._of[self.row[feed.low]]) for feed in self.feeds)
        return tuple((first | {int(self.part[k]): k for k in beside}).values())

    def _equations(self) -> tuple[Floats, Floats]:
        """Return the matrix and the right-hand side; a reference's own row says that it has 0 V."""
        size = self._count + len(self.feeds)
        matrix, drive = np.zeros((size, size)), np.zeros(size)
        a, b = self._of[self._ends[: len(self._resistors)]].T
        for row, column, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
            np.add.at(matrix, (row, column), sign * self._siemens)
        for k, feed in enumerate(self.feeds, self._count):
            high, low = self._of[[self.row[feed.high], self.row[feed.low]]]
            ohm, volts = _source(feed, feed.id in self.limited)
            if high != low:  # or it is shorted by a joint
                matrix[[high, low], k] = (-1.0, 1.0)
                matrix[k, [high, low]] = (1.0, -1.0)
            matrix[k, k], drive[k] = ohm, volts
        for k in self._references:
            matrix[k], drive[k] = 0.0, 0.0
            matrix[k, k] = 1.0
        return matrix, drive

    def _carries(self) -> Floats:
        """Return what each joint carries for 1 A in each resistor and feed."""
        share, (a, b) = self._joints.share, self._ends.T
        signs = np.repeat(
            (1.0, -1.0), (len(self._resistors), len(self.feeds))
        )  # a feed gives out of its high
        carried: Floats = (share[:, a] - share[:, b]) * signs
        return carried

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
        amps, shift, columns = self._extra_amps(extra)
        unknowns = self._unloaded - columns @ amps
        volts = (unknowns[: self._count] + shift[self.part])[self._of]
        volts = volts - self._float(volts, extra)
        a, b = self._ends[: len(self._resistors)].T
        through = np.append((volts[a] - volts[b]) * self._siemens, unknowns[self._count :])
        joints = self._carried @ through
        for current, link in zip(amps, extra, strict=True):
            share = self._joints.share
            joints += current * (share[:, self.row[link.a]] - share[:, self.row[link.b]])
        found = dict.fromkeys(self._joints.ring, 0.0)
        found |= zip((link.id for link in self._resistors), through.tolist(), strict=False)
        found |= zip(self._joints.ids, joints.tolist(), strict=True)
        found |= zip((feed.id for feed in self.feeds), unknowns[self._count :].tolist(), strict=True)
        found |= zip((link.id for link in extra), amps.tolist(), strict=True)
        return State(dict(zip(self.nodes, volts.tolist(), strict=True)), found, self.limited)

    def extra_amps(self, extra: Sequence[Link]) -> Floats:
        """Return the currents of further links alone.

        Parameters
        ----------
        extra : sequence of Link
            What comes to the net.

        Returns
        -------
        ndarray, shape (links,)
            As `state` has them. [A]

        Raises
        ------
        ValueError
            One of them is at no node of the net.
        """
        return self._extra_amps(extra)[0]

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
        j, k = (int(self._of[self._row("a loop", node)]) for node in (a, b))
        if self.part[j] != self.part[k]:
            return float("inf")
        column = self._rises[:, j] - self._rises[:, k]
        return float(column[j] - column[k])

    def _row(self, of: str, node: Node) -> int:
        if node not in self.row:
            raise ValueError(f"{of}: no node {'.'.join(filter(None, node))} in this net")
        return self.row[node]

    def _joined(self, extra: Sequence[Link]) -> tuple[Ints, Ints]:
        """Return what further links join, at both their ends."""
        ends = [(self._row(link.id, link.a), self._row(link.id, link.b)) for link in extra]
        a, b = self._of[np.array(ends, dtype=int).reshape(-1, 2)].T
        return a, b

    def _extra_amps(self, extra: Sequence[Link]) -> tuple[Floats, Floats, Floats]:
        """Return the currents of the further links, the shift of each part, and what 1 A of each changes."""
        shift = np.zeros(len(self._references))
        if not extra:
            return np.zeros(0), shift, np.zeros((len(self._unloaded), 0))
        a, b = self._joined(extra)
        columns = self._rises[:, a] - self._rises[:, b]  # of all unknowns, for 1 A from b to a
        ohm = columns[a] - columns[b]
        ohm[np.diag_indices(len(extra))] += [link.ohm for link in extra]
        volts = self._unloaded[a] - self._unloaded[b]
        crossing = np.zeros((len(extra), len(shift)))
        for k, (one, other) in enumerate(zip(self.part[a].tolist(), self.part[b].tolist(), strict=True)):
            crossing[k, one] += 1.0
            crossing[k, other] -= 1.0
            if one == other and ohm[k, k] < _JOINED_OHM:  # it lies beside a joint
                ohm[k], ohm[k, k], volts[k] = 0.0, 1.0, 0.0
        floating = [p for p in range(1, len(shift)) if crossing[:, p].any()]
        if floating:
            amps, shift[floating] = _between_parts(ohm, crossing[:, floating], volts)
        else:
            amps = _solved(ohm, volts)
        return amps, shift, columns

    def _float(self, volts: Floats, extra: Sequence[Link]) -> Floats:
        """Return what to take off each node: the ground has 0 V, what floats leaks nothing on the whole."""
        names = np.arange(len(self._references))
        for one, other in zip(*(self.part[end].tolist() for end in self._joined(extra)), strict=True):
            low, high = sorted((int(names[one]), int(names[other])))
            names[names == high] = low
        named = names[self.part[self._of]]
        means = np.bincount(named, volts) / np.maximum(np.bincount(named), 1)
        means[0] = volts[0]
        off: Floats = means[named]
        return off


def _solved(ohm: Floats, volts: Floats) -> Floats:
    """Return the currents of further links within parts; where they lie beside each other, the smallest."""
    if len(volts) == 1 and ohm[0, 0] > 0.0:
        found: Floats = volts / ohm[0]
        return found
    if len(volts) == 2:
        (a, b), (c, d) = ohm.tolist()
        whole, (u, v) = a * d - b * c, volts.tolist()
        if abs(whole) > _APART * abs(a * d):
            return np.array([(d * u - b * v) / whole, (a * v - c * u) / whole])
    return np.asarray(np.linalg.lstsq(ohm, volts, rcond=None)[0], dtype=np.float64)


def _between_parts(ohm: Floats, crossing: Floats, volts: Floats) -> tuple[Floats, Floats]:
    """Return the currents of further links, and by how much they shift the parts that they lead to."""
    links, parts = crossing.shape
    if links == parts == 1 and crossing[0, 0]:  # what leads to a part alone carries nothing
        return np.zeros(1), -volts / crossing[0]
    matrix, drive = np.zeros((links + parts, links + parts)), np.zeros(links + parts)
    matrix[:links, :links], matrix[:links, links:], matrix[links:, :links] = ohm, -crossing, crossing.T
    drive[:links] = volts
    found = np.asarray(np.linalg.lstsq(matrix, drive, rcond=None)[0], dtype=np.float64)
    return found[:links], found[links:]


def _source(feed: Feed, limited: bool) -> tuple[float, float]:
    """Return the resistance and the volts behind which a feed stands; at its limit both are huge."""
    if not limited or feed.most_a is None:
        return feed.ohm, feed.volts
    ohm = feed.volts / (feed.most_a * _GIVES_WAY)
    return ohm, feed.volts + ohm * feed.most_a
