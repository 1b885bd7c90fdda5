"""Taking the length out of a network: chains of resistors become one, what leads nowhere drops out.

Most of a van's wiring is resistors one after the other: wire, fuse, contact, wire. Joined into one each, the
network to solve is several times smaller, and nothing is lost: all members of a chain carry its current.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import Ports, reduce_to_ports

Ints = NDArray[np.intp]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Chains:
    """Chains of m resistors.

    Attributes
    ----------
    joined : tuple of Resistor
        One for each chain.
    chain : ndarray, shape (m,)
        The chain of each resistor, -1 for one that leads nowhere.
    sign : ndarray, shape (m,)
        1 if it lies the way of its chain, -1 if against, 0 if it leads nowhere.
    """

    joined: tuple[Resistor, ...]
    chain: Ints
    sign: Floats


def join_chains(resistors: Sequence[Resistor], keep: Collection[str]) -> Chains:
    """Join resistors in series between nodes that matter.

    Parameters
    ----------
    resistors : Sequence[Resistor]
        The network.
    keep : Collection[str]
        Nodes where something else hangs: these stay nodes.

    Returns
    -------
    Chains
        See there.

    Examples
    --------
    >>> line = [Resistor("r", "a", "b", 1.0), Resistor("s", "c", "b", 2.0), Resistor("stub", "b2", "c", 9.0)]
    >>> chains = join_chains(line, {"a", "c"})
    >>> [(r.a, r.b, r.ohm) for r in chains.joined], chains.sign.tolist()
    ([('a', 'c', 3.0)], [1.0, -1.0, 0.0])
    """
    kept = set(keep)
    at: dict[str, set[int]] = {}
    for k, resistor in enumerate(resistors):
        if resistor.a != resistor.b:
            at.setdefault(resistor.a, set()).add(k)
            at.setdefault(resistor.b, set()).add(k)
    _drop_stubs(resistors, at, kept)
    chain = np.full(len(resistors), -1, dtype=np.intp)
    sign = np.zeros(len(resistors))
    joined: list[Resistor] = []
    for node, touching in at.items():
        if node not in kept and len(touching) == 2:
            continue
        for first in sorted(touching):
            if chain[first] < 0:
                end, ohm = _walk(resistors, at, kept, node, first, chain, sign, len(joined))
                joined.append(Resistor(resistors[first].id, node, end, ohm))
    return Chains(tuple(joined), chain, sign)


def _drop_stubs(resistors: Sequence[Resistor], at: dict[str, set[int]], kept: set[str]) -> None:
    """Take away resistors that end at a node where nothing else is, again and again."""
    ends = [node for node, touching in at.items() if len(touching) == 1 and node not in kept]
    while ends:
        node = ends.pop()
        for k in at[node]:
            other = resistors[k].b if resistors[k].a == node else resistors[k].a
            at[other].discard(k)
            if len(at[other]) == 1 and other not in kept:
                ends.append(other)
        at[node] = set()


def _walk(
    resistors: Sequence[Resistor],
    at: dict[str, set[int]],
    kept: set[str],
    node: str,
    k: int,
    chain: Ints,
    sign: Floats,
    number: int,
) -> tuple[str, float]:
    """Follow a chain from `node` along resistor `k`; return its far end and its ohms."""
    ohm = 0.0
    while True:
        forward = resistors[k].a == node
        chain[k], sign[k] = number, 1.0 if forward else -1.0
        ohm += resistors[k].ohm
        node = resistors[k].b if forward else resistors[k].a
        onward = [other for other in at[node] if chain[other] < 0]
        if node in kept or len(at[node]) != 2 or not onward:
            return node, ohm
        k = onward[0]


def reduce_long_network(
    resistors: Sequence[Resistor], sources: Sequence[Source], ports: Sequence[tuple[str, str]]
) -> Ports:
    """Reduce a network to its ports as `reduce_to_ports` does, its chains joined first.

    Parameters
    ----------
    resistors, sources, ports
        As for `reduce_to_ports`.

    Returns
    -------
    Ports
        With a line for each of the resistors given.
    """
    keep = {node for port in ports for node in port}
    for source in sources:
        keep.update((source.plus, source.minus))
    chains = join_chains(resistors, keep)
    short = reduce_to_ports(chains.joined, sources, ports)
    if not chains.joined:
        share, b0 = np.zeros((len(resistors), len(ports))), np.zeros(len(resistors))
    else:
        share, b0 = chains.sign[:, None] * short.share[chains.chain], chains.sign * short.b0[chains.chain]
    return replace(short, share=np.where(short.reached, share, np.nan), b0=b0)
