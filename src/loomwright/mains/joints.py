"""Nodes that joints of 0 Ω make one, and what each joint carries.

A joint has no resistance, so its current follows from Kirchhoff's first law alone: joints that close no ring
form trees, and a joint carries what leaves the tree on its far side. A joint that closes a ring of joints
counts with none.

Sources: Kirchhoff's laws, any textbook of circuit theory (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.mains.records import Link, Node

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Joints:
    """The trees of joints in a net.

    Attributes
    ----------
    ids, ring : tuple of str
        Joints that carry, and those that close a ring.
    group : list of int
        By node, the number of what it is joined with, counted from 0 in the order of the nodes.
    share : ndarray, shape (joints, nodes)
        What each joint carries for 1 A that leaves at each node: 1, -1, or 0.
    """

    ids: tuple[str, ...]
    ring: tuple[str, ...]
    group: list[int]
    share: Floats


def joints_of(row: Mapping[Node, int], links: Sequence[Link]) -> Joints:
    """Return the trees of joints among links.

    Parameters
    ----------
    row : Mapping
        The number of each node.
    links : sequence of Link
        What is closed.
    """
    found = [link for link in links if link.ohm == 0.0]
    groups = Groups(len(row))
    is_tree = [groups.join(row[link.a], row[link.b]) for link in found]
    tree = [link for link, is_one in zip(found, is_tree, strict=True) if is_one]
    return Joints(
        ids=tuple(link.id for link in tree),
        ring=tuple(link.id for link, is_one in zip(found, is_tree, strict=True) if not is_one),
        group=groups.numbers(),
        share=_shares(row, tree),
    )


def _shares(row: Mapping[Node, int], tree: Sequence[Link]) -> Floats:
    """Walk each tree from a root: what lies behind a joint is one stretch of the walk."""
    beside: list[list[tuple[int, int, float]]] = [[] for _ in row]
    for k, link in enumerate(tree):
        a, b = row[link.a], row[link.b]
        beside[a].append((b, k, 1.0))
        beside[b].append((a, k, -1.0))
    share = np.zeros((len(tree), len(row)))
    seen = [False] * len(row)
    for root, ways in enumerate(beside):
        if seen[root] or not ways:
            continue
        walk: list[tuple[int, int, float, int]] = []  # node, joint that leads to it, its sign, from where
        waiting = [(root, -1, 0.0, -1)]
        while waiting:
            node, joint, sign, came = waiting.pop()
            seen[node] = True
            waiting += [(to, k, way, len(walk)) for to, k, way in beside[node] if k != joint]
            walk.append((node, joint, sign, came))
        nodes, sizes = [one[0] for one in walk], [1] * len(walk)
        for k in range(len(walk) - 1, 0, -1):
            _, joint, sign, came = walk[k]
            sizes[came] += sizes[k]
            share[joint, nodes[k : k + sizes[k]]] = sign
    return share


class Groups:
    """Numbers that belong together.

    Parameters
    ----------
    count : int
        So many, counted from 0.
    """

    def __init__(self, count: int) -> None:
        self._next = list(range(count))

    def of(self, one: int) -> int:
        """Return the one that stands for all that belong with a number.

        Parameters
        ----------
        one : int
            The number.
        """
        ahead = self._next
        while ahead[one] != one:
            ahead[one] = one = ahead[ahead[one]]
        return one

    def join(self, one: int, other: int) -> bool:
        """Put two together; tell whether they were apart.

        Parameters
        ----------
        one, other : int
            The two.
        """
        a, b = self.of(one), self.of(other)
        self._next[a] = b
        return a != b

    def numbers(self) -> list[int]:
        """Return for each the number of its group, counted from 0 as they come."""
        known: dict[int, int] = {}
        return [known.setdefault(self.of(one), len(known)) for one in range(len(self._next))]
