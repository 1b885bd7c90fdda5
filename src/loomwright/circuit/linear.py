"""Reduction of a linear network to its ports: one factorization, every volt and current as a straight line.

A branch carries i amperes from a to b with v_a - v_b = ohm * i - emf: an emf drives current from a to b.
A port is a pair of nodes at which current is drawn: it leaves the network at `plus` and returns at `minus`.
With the drawn currents d, every node is at v0 - drop @ d and every branch carries amps0 + share @ d.

Branches of 0 Ω are joined exactly, not by a small resistance; their currents then follow from the node
sums. Where several of them close a ring the split is open: it is taken as if each had the same resistance.

Pieces that nothing conducting connects float. If a blocked element (an open valve) links two of them, their
potentials are those of equal leaks through all such links, in the limit of no leak at all; a current drawn
across such a gap pulls the volts far away, which is how the caller sees that it can't flow.

Source: nodal analysis as any textbook of circuit theory has it (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.joints import Clash, join_all, pieces

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

#: Below this part of the highest source that reaches it a load is not fed: what is left is stray. [-]
FED_PART = 0.01
#: Conductance of a gap; it decides only how far a current drawn across a gap throws the volts. [S]
LEAK_S = 1e-9
#: A branch below this joins exactly: smaller ones would drown the rest of the sums. [Ω]
LEAST_OHM = 1e-9
#: A branch below this part of the best conductance is open: it would drown in the sums. [-]
FAINT = 1e-14


@dataclass(frozen=True, slots=True)
class Branches:
    """The conducting branches of a network, as columns."""

    a: Sequence[int]
    b: Sequence[int]
    ohm: Sequence[float]
    emf_v: Sequence[float]


@dataclass(frozen=True, slots=True)
class Reduction:
    """The straight lines of `reduce`: n nodes, m branches, p ports."""

    v0: Floats  #: (n,) volts of each node with nothing drawn, against the reference of its piece
    drop: Floats  #: (n, p) fall of each node per ampere drawn at each port [Ω]
    amps0: Floats  #: (m,) current of each branch with nothing drawn
    share: Floats  #: (m, p) current of each branch per ampere drawn at each port
    piece: Ints  #: (n,) which conducting piece the node belongs to


def reduce(
    nodes: int, branches: Branches, ports: Sequence[tuple[int, int]], links: Sequence[tuple[int, int]] = ()
) -> Reduction | list[Clash]:
    """Reduce a network of `nodes` nodes to its ports.

    Parameters
    ----------
    nodes : int
        Nodes are numbered from 0.
    branches : Branches
        All that conducts.
    ports : Sequence[tuple[int, int]]
        (plus, minus) of each port.
    links : Sequence[tuple[int, int]]
        Pairs of nodes that blocked elements link without conducting.

    Returns
    -------
    Reduction | list[Clash]
        The lines; or, where branches without resistance contradict each other, those rings.
    """
    ohm, emf = np.asarray(branches.ohm, dtype=float), np.asarray(branches.emf_v, dtype=float)
    joins = ohm < LEAST_OHM
    siemens = np.divide(1.0, ohm, out=np.zeros_like(ohm), where=~joins)
    bears = siemens > FAINT * siemens.max(initial=0.0)
    ideal, real, conducts = np.flatnonzero(joins), np.flatnonzero(bears), np.flatnonzero(joins | bears)
    joined = join_all(nodes, ideal.tolist(), branches.a, branches.b, branches.emf_v)
    if joined.clashes:
        return joined.clashes
    a, b = np.asarray(branches.a, dtype=np.intp), np.asarray(branches.b, dtype=np.intp)
    metal = zip(a[conducts].tolist(), b[conducts].tolist(), strict=True)
    piece = np.asarray(pieces(nodes, metal), dtype=np.intp)
    plus, minus = (np.array([port[end] for port in ports], dtype=np.intp) for end in (0, 1))
    column = np.arange(1, len(ports) + 1)

    # Columns of `drawn` and of every line below: 0 with nothing drawn, then one per ampere at each port.
    drawn = np.zeros((nodes, len(ports) + 1))
    drawn[plus, column] += 1.0
    drawn[minus, column] -= 1.0
    apart = np.concatenate([[False], piece[plus] != piece[minus]])
    inside = np.where(apart, 0.0, drawn)

    group, lift = np.asarray(joined.group, dtype=np.intp), np.asarray(joined.lift_v)
    volts = _node_volts(group, lift, piece, inside, a[real], b[real], siemens[real], emf[real])
    floats = np.zeros_like(volts)
    gaps = np.array(links, dtype=np.intp).reshape(-1, 2).T
    gaps = gaps[:, piece[gaps[0]] != piece[gaps[1]]]
    if gaps.size:
        floats = _floats(piece, gaps, volts, drawn)
        if apart.any():  # what is drawn across a gap comes back as leaks, through the same pieces
            leaks = LEAK_S * (volts + floats)[:, apart]
            inside[:, apart] = drawn[:, apart] + _leaving(nodes, gaps, leaks[gaps[0]] - leaks[gaps[1]])
            volts = _node_volts(group, lift, piece, inside, a[real], b[real], siemens[real], emf[real])
    amps = np.zeros((len(ohm), len(ports) + 1))
    across = volts[a[real]] - volts[b[real]]
    across[:, 0] += emf[real]
    amps[real] = across * siemens[real, None]
    if len(ideal):
        left = inside + _leaving(nodes, np.array([a[real], b[real]]), amps[real])
        amps[ideal] = _ideal_amps(a[ideal], b[ideal], left)
    volts += floats
    return Reduction(volts[:, 0], -volts[:, 1:], amps[:, 0], amps[:, 1:], piece)


def _leaving(nodes: int, ends: Ints, amps: Floats) -> Floats:
    """Return the sum of what leaves each node through branches between `ends`."""
    sums = np.zeros((nodes, amps.shape[1]))
    np.add.at(sums, ends[0], amps)
    np.add.at(sums, ends[1], -amps)
    return sums


def _node_volts(
    group: Ints, lift: Floats, piece: Ints, drawn: Floats, a: Ints, b: Ints, siemens: Floats, emf: Floats
) -> Floats:
    """Solve the node sums of the groups; the first group of each piece stands at 0 V."""
    kept, row = np.unique(group, return_inverse=True)
    count = len(kept)
    ga, gb = row[a], row[b]
    matrix = np.bincount(
        np.concatenate([ga * count + ga, gb * count + gb, ga * count + gb, gb * count + ga]),
        weights=np.concatenate([siemens, siemens, -siemens, -siemens]),
        minlength=count * count,
    ).reshape(count, count)
    sums = np.zeros((count, drawn.shape[1]))
    np.add.at(sums, row, -drawn)
    driven = siemens * (emf + lift[a] - lift[b])
    sums[:, 0] += np.bincount(gb, driven, count) - np.bincount(ga, driven, count)

    free = np.ones(count, dtype=bool)
    free[_firsts(piece[kept])] = False
    solved = np.zeros_like(sums)
    if free.any():
        solved[free] = np.linalg.solve(matrix[np.ix_(free, free)], sums[free])
    volts: Floats = solved[row]
    volts[:, 0] += lift
    return volts


def _ideal_amps(a: Ints, b: Ints, left: Floats) -> Floats:
    """Return the currents of the branches without resistance, by what is left open in the node sums.

    The least-squares answer of smallest norm is the one in which each had the same resistance, so it is
    found with unit resistances: the matrix holds small whole numbers and solves almost without error.
    """
    nodes = len(left)
    free = np.zeros(nodes, dtype=bool)
    free[a] = free[b] = True
    free[_firsts(np.asarray(pieces(nodes, zip(a.tolist(), b.tolist(), strict=True))))] = False
    index = np.full(nodes, -1)
    index[free] = np.arange(free.sum())
    incidence = np.zeros((int(free.sum()) + 1, len(a)))  # the last row gathers the references
    incidence[index[a], np.arange(len(a))] += 1.0
    incidence[index[b], np.arange(len(a))] -= 1.0
    incidence = incidence[:-1]
    level = np.linalg.solve(incidence @ incidence.T, -left[free])
    found: Floats = incidence.T @ level
    return found


def _floats(piece: Ints, gaps: Ints, volts: Floats, drawn: Floats) -> Floats:
    """Return by how much each node is lifted, with its piece, for the leaks of the piece to balance."""
    one, other = piece[gaps[0]], piece[gaps[1]]
    count = int(piece.max()) + 1
    matrix = np.zeros((count, count))
    for row, col, weight in ((one, one, 1), (other, other, 1), (one, other, -1), (other, one, -1)):
        np.add.at(matrix, (row, col), weight)
    sums = np.zeros((count, volts.shape[1]))
    np.add.at(sums, one, volts[gaps[1]] - volts[gaps[0]])
    np.add.at(sums, other, volts[gaps[0]] - volts[gaps[1]])
    np.add.at(sums, piece, -drawn / LEAK_S)
    free = np.ones(count, dtype=bool)
    free[_firsts(np.asarray(pieces(count, zip(one.tolist(), other.tolist(), strict=True))))] = False
    lifts = np.zeros_like(sums)
    lifts[free] = np.linalg.solve(matrix[np.ix_(free, free)], sums[free])
    return lifts[piece]


def _firsts(number: Ints) -> Ints:
    """Return where each of the numbers 0, 1, 2 ... comes first."""
    first = np.zeros(number.max(initial=-1) + 1, dtype=np.intp)
    first[number[::-1]] = np.arange(len(number) - 1, -1, -1)
    return first
