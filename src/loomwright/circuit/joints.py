"""Nodes held together: by branches without resistance (exactly), or by anything that conducts at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

#: Ideal volts around a closed ring may miss zero by this much before they count as a clash. [V]
RING_TOLERANCE_V = 1e-9


def pieces(nodes: int, pairs: Iterable[tuple[int, int]]) -> list[int]:
    """Return for each node the number of its connected piece; pieces count from 0 in order of first node."""
    parent = list(range(nodes))
    for one, other in pairs:
        while parent[one] != one:
            parent[one] = one = parent[parent[one]]
        while parent[other] != other:
            parent[other] = other = parent[parent[other]]
        if one < other:
            parent[other] = one
        else:
            parent[one] = other
    number: list[int] = []
    count = 0
    for node, above in enumerate(parent):  # no node is above a lower one, so each finds its root's number
        number.append(count if above == node else number[above])
        count += above == node
    return number


@dataclass(slots=True)
class Clash:
    """A ring of branches without resistance whose volts don't sum to zero: no current satisfies it."""

    ring: list[tuple[int, int]]  #: (branch, +1 or -1): the direction in which the ring drives it


@dataclass(slots=True)
class Joined:
    """Groups of nodes with fixed volts between them, made by joining one branch after another."""

    nodes: int
    group: list[int] = field(init=False)  #: number of each node's group: one of its nodes
    lift_v: list[float] = field(init=False)  #: volts of each node above that node
    clashes: list[Clash] = field(init=False, default_factory=list)
    _members: list[list[int]] = field(init=False)
    _tree: dict[int, list[tuple[int, int, int]]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.group = list(range(self.nodes))
        self.lift_v = [0.0] * self.nodes
        self._members = [[node] for node in range(self.nodes)]

    def join(self, branch: int, a: int, b: int, emf_v: float) -> None:
        """Hold node `b` at `emf_v` above node `a`; a ring that can't hold is kept in `clashes`."""
        keep, gone = self.group[a], self.group[b]
        shift = self.lift_v[a] + emf_v - self.lift_v[b]
        if keep == gone:
            if abs(shift) > RING_TOLERANCE_V:
                self.clashes.append(self._clash(branch, a, b, 1 if shift > 0 else -1))
            return
        if len(self._members[keep]) < len(self._members[gone]):
            keep, gone, shift = gone, keep, -shift
        for node in self._members[gone]:
            self.group[node] = keep
            self.lift_v[node] += shift
        self._members[keep] += self._members[gone]
        self._members[gone] = []
        self._tree.setdefault(a, []).append((b, branch, 1))
        self._tree.setdefault(b, []).append((a, branch, -1))

    def _clash(self, branch: int, a: int, b: int, sense: int) -> Clash:
        """Return the ring that `branch` closes, from `b` back to `a` through the branches joined before."""
        came: dict[int, tuple[int, int, int]] = {b: (b, branch, 0)}
        queue = [b]
        for node in queue:
            for far, through, direction in self._tree.get(node, ()):
                if far not in came:
                    came[far] = (node, through, direction)
                    queue.append(far)
        ring, node = [(branch, sense)], a
        while node != b:
            node, through, direction = came[node]
            ring.append((through, sense * direction))
        return Clash(ring)


def join_all(
    nodes: int, branches: Sequence[int], a: Sequence[int], b: Sequence[int], emf_v: Sequence[float]
) -> Joined:
    """Join the named branches in the order given."""
    joined = Joined(nodes)
    for branch in branches:
        joined.join(branch, a[branch], b[branch], emf_v[branch])
    return joined
