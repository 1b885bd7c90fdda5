"""Shorts at any place along conductors: one reduction of the network, then a closed form of the place.

A short from a place x of the conductor a-b (0 at a, 1 at b, r its ohms) is seen by the rest of the network as
one at a for the part 1 - x and one at b for the part x. With z between the ends, and v0 at them, before:

    v(x) = (1 - x) v0_a + x v0_b
    z(x) = (1 - x)² z_aa + 2 x (1 - x) z_ab + x² z_bb + x (1 - x) r

The same holds for what it touches, a place y of the conductor c-d, or one point:

    i(x) = (v(x) - v(y)) / (z(x) + z(y) - 2 z(x, y)),   z(x, y) = Σ weight · weight · z of the ends

The current of any other branch follows from the same weights. Points that hang on the rest by one way only
are taken off first, as for shorts at points.

Sources: Thévenin's theorem and nodal analysis, as any textbook of circuit theory has them (from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.joints import pieces
from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import Ports, reduce_to_ports
from loomwright.circuit.shorts import taken_off

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Given:
    """A current that something holds whatever happens: out of its plus, back into its minus. [A]"""

    plus: str
    minus: str
    amps: float


@dataclass(frozen=True, slots=True)
class Places:
    """Many places at once: on a conductor from `a` to `b` of `ohm`, the part `at` of the way along it.

    All are arrays of one length; a and b are the numbers that `Grid.number` gives. [Ω, -]
    """

    a: Ints
    b: Ints
    ohm: Floats
    at: Floats


class Grid:
    """One network, reduced to all the points that are asked about.

    Parameters
    ----------
    resistors : Sequence[Resistor]
        Everything that conducts, each with an id of its own.
    sources : Sequence[Source]
        Batteries with their inner resistance.
    points : Collection[str]
        The ends of conductors, and what they may touch.
    given : Sequence[Given]
        What holds its current.
    """

    def __init__(
        self,
        resistors: Sequence[Resistor],
        sources: Sequence[Source],
        points: Collection[str],
        given: Sequence[Given] = (),
    ) -> None:
        posts = {point for source in sources for point in (source.plus, source.minus)}
        posts |= {point for one in given for point in (one.plus, one.minus)}
        self.core, self.hung = taken_off(resistors, posts)
        self.number = {point: k for k, point in enumerate(dict.fromkeys(points))}
        self._points = list(self.number)
        roots: dict[str, int] = {}
        self._root = np.array([roots.setdefault(self._of(p), len(roots)) for p in self.number], dtype=np.intp)
        self._hang = np.array([self.hung[p].ohm if p in self.hung else 0.0 for p in self.number])
        ends = [roots.setdefault(p, len(roots)) for one in given for p in (one.plus, one.minus)]
        self._piece, reference = _pieces(self.core, sources, list(roots))
        self._ports: Ports = reduce_to_ports(
            self.core, sources, [(p, reference.get(k, p)) for p, k in zip(roots, self._piece, strict=True)]
        )
        self._row = {resistor.id: k for k, resistor in enumerate(self.core)}
        plus, minus = ends[::2], ends[1::2]
        amps = np.array([one.amps for one in given])
        z, share = self._ports.z, np.nan_to_num(self._ports.share)
        lifts = (z[:, plus] - z[:, minus]) @ amps if len(amps) else 0.0
        self._v0: Floats = self._ports.v0 + lifts
        moves = (share[:, plus] - share[:, minus]) @ amps if len(amps) else 0.0
        self._b0: Floats = np.nan_to_num(self._ports.b0) - moves
        self._share: Floats = share

    def _of(self, point: str) -> str:
        return self.hung[point].root if point in self.hung else point

    def across(self, plus: Places, minus: Places) -> tuple[Floats, Floats]:
        """Return volts before a short and ohms of its loop at each place; NaN where nothing drives any."""
        a, b, c, d = (self._root[ends] for ends in (plus.a, plus.b, minus.a, minus.b))
        wa, wb, wc, wd = 1.0 - plus.at, plus.at, 1.0 - minus.at, minus.at
        z, v0 = self._ports.z, self._v0
        volts = wa * v0[a] + wb * v0[b] - wc * v0[c] - wd * v0[d]
        ohm = self._own(plus) + self._own(minus)
        ohm -= 2.0 * (wa * wc * z[a, c] + wa * wd * z[a, d] + wb * wc * z[b, c] + wb * wd * z[b, d])
        piece = np.asarray(self._piece, dtype=np.intp)
        return np.where(piece[a] == piece[c], volts, np.nan), ohm

    def _own(self, places: Places) -> Floats:
        """Return z of each place against the reference. [Ω]"""
        a, b, z, at = self._root[places.a], self._root[places.b], self._ports.z, places.at
        hang_a, hang_b = self._hang[places.a], self._hang[places.b]
        near, far, both = z[a, a] + hang_a, z[b, b] + hang_b, z[a, b] + np.minimum(hang_a, hang_b)
        own: Floats = (1.0 - at) ** 2 * near + at**2 * far + 2.0 * at * (1.0 - at) * both
        return own + at * (1.0 - at) * places.ohm

    def through(self, resistor: str, amps: Floats, plus: Places, minus: Places) -> Floats:
        """Return the current of a resistor in shorts of so many amperes, whichever way round. [A]"""
        row = self._row.get(resistor)
        if row is None:
            return amps if self._before(resistor, int(plus.a[0])) else np.zeros_like(amps)
        share = self._share[row]
        drawn = (1.0 - plus.at) * share[self._root[plus.a]] + plus.at * share[self._root[plus.b]]
        back = (1.0 - minus.at) * share[self._root[minus.a]] + minus.at * share[self._root[minus.b]]
        found: Floats = np.abs(self._b0[row] + amps * (drawn - back))
        return found

    def _before(self, resistor: str, number: int) -> bool:
        """Say whether a resistor that was taken off lies on the way to a point."""
        point = self._points[number]
        while (here := self.hung.get(point)) is not None:
            if here.by == resistor:
                return True
            point = here.parent
        return False


def _pieces(
    core: Sequence[Resistor], sources: Sequence[Source], points: Sequence[str]
) -> tuple[list[int], dict[int, str]]:
    """Return the piece of metal and sources that each point is in, and a point to refer to in each."""
    number: dict[str, int] = {}
    pairs = [(number.setdefault(r.a, len(number)), number.setdefault(r.b, len(number))) for r in core]
    pairs += [
        (number.setdefault(s.minus, len(number)), number.setdefault(s.plus, len(number))) for s in sources
    ]
    at = [number.setdefault(point, len(number)) for point in points]
    piece = pieces(len(number), pairs)
    reference = {piece[number[source.minus]]: source.minus for source in reversed(sources)}
    return [piece[k] for k in at], reference


__all__ = ["Given", "Grid", "Places"]
