"""Bolted shorts between two points of a network: volts before, ohms of the loop, amperes, who brings them.

Most points of a van's wiring hang on the rest by one way only. They are taken off leaf by leaf; what is left,
the core, holds all sources and all rings and is solved at once. A short at a point that was taken off is one
at the place where it hung, with the ohms of its way added.

    amps = v0 / (z + r_plus + r_minus)

Sources are batteries behind their inner resistance; what limits its own current is not counted here.

Source: Thévenin's theorem, as any textbook of circuit theory has it (from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import Ports, reduce_to_ports

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Hung:
    """A point that hangs on the core by one way only.

    `root` is where, `ohm` what the way resists, `parent` the next point on it, `by` the resistor to that.
    """

    root: str
    ohm: float
    parent: str
    by: str


@dataclass(frozen=True, slots=True)
class Shorts:
    """The answers for n pairs of points; NaN where no source stands between the two.

    Attributes
    ----------
    pairs : tuple of (str, str)
        As asked, (plus, minus).
    volts, ohm, amps : ndarray, shape (n,)
        Before the short; of the loop, sources included; in the short. [V, Ω, A]
    """

    pairs: tuple[tuple[str, str], ...]
    volts: Floats
    ohm: Floats
    amps: Floats
    hung: Mapping[str, Hung]
    core: Ports
    column: tuple[int, ...]
    row: Mapping[str, int]
    resistors: Mapping[str, Resistor]

    def into(self, k: int, resistor: str) -> float:
        """Return the current that a resistor brings to the plus of pair `k`; it touches that point. [A]"""
        plus, amps = self.pairs[k][0], float(self.amps[k])
        if np.isnan(amps):
            return 0.0
        here = self.hung.get(plus)
        if here is not None:
            return amps if here.by == resistor else 0.0
        if resistor not in self.row:
            return 0.0
        at, branch = self.row[resistor], self.resistors[resistor]
        flows = float(self.core.b0[at] + self.core.share[at, self.column[k]] * amps)
        return flows if branch.b == plus else -flows


def shorts(
    resistors: Sequence[Resistor], sources: Sequence[Source], pairs: Sequence[tuple[str, str]]
) -> Shorts:
    """Short each of some pairs of points, one at a time.

    Parameters
    ----------
    resistors : Sequence[Resistor]
        Everything that conducts, each with an id of its own.
    sources : Sequence[Source]
        Batteries with their inner resistance.
    pairs : Sequence[tuple[str, str]]
        (plus, minus) of each short. Points that nothing else names are reached by nothing.

    Returns
    -------
    Shorts
        One answer for each pair.

    Examples
    --------
    >>> line = [Resistor("feed", "plus", "far", 0.008), Resistor("earth", "body", "minus", 0.002)]
    >>> found = shorts(line, [Source("battery", "plus", "minus", 12.8, 0.006)], [("far", "body")])
    >>> round(float(found.amps[0])), round(found.into(0, "feed"))
    (800, 800)
    """
    posts = {point for source in sources for point in (source.plus, source.minus)}
    core, hung = taken_off(resistors, posts)
    roots = {point: one.root for point, one in hung.items()}
    ends = [(roots.get(plus, plus), roots.get(minus, minus)) for plus, minus in pairs]
    number: dict[tuple[str, str], int] = {}
    column = tuple(number.setdefault(pair, len(number)) for pair in ends)
    ports = reduce_to_ports(core, sources, list(number))
    at = np.array(column, dtype=np.intp)
    extra = np.array([sum(hung[point].ohm for point in pair if point in hung) for pair in pairs])
    volts, ohm = ports.v0[at], np.diag(ports.z)[at] + extra
    with np.errstate(divide="ignore", invalid="ignore"):
        amps = np.where(volts != 0.0, volts / ohm, 0.0)
    return Shorts(
        tuple(pairs),
        volts,
        ohm,
        amps,
        hung,
        ports,
        column,
        {resistor.id: k for k, resistor in enumerate(core)},
        {resistor.id: resistor for resistor in core},
    )


def taken_off(resistors: Sequence[Resistor], keep: Collection[str]) -> tuple[list[Resistor], dict[str, Hung]]:
    """Take the points off that hang on the rest by one way only.

    Parameters
    ----------
    resistors : Sequence[Resistor]
        Everything that conducts.
    keep : Collection[str]
        Points that stay.

    Returns
    -------
    list of Resistor, dict of str to Hung
        The resistors of the core, and how each other point hangs on it.
    """
    at: dict[str, set[int]] = {}
    for k, resistor in enumerate(resistors):
        if resistor.a != resistor.b:
            at.setdefault(resistor.a, set()).add(k)
            at.setdefault(resistor.b, set()).add(k)
    leaves = [point for point, touching in at.items() if len(touching) == 1 and point not in keep]
    off: list[tuple[str, str, int]] = []
    while leaves:
        point = leaves.pop()
        if not at[point]:
            continue  # the last of a piece of metal that no source touches
        (k,) = at[point]
        other = resistors[k].b if resistors[k].a == point else resistors[k].a
        off.append((point, other, k))
        at[point] = set()
        at[other].discard(k)
        if len(at[other]) == 1 and other not in keep:
            leaves.append(other)
    hung: dict[str, Hung] = {}
    for point, parent, k in reversed(off):
        above = hung.get(parent)
        root, ohm = (parent, 0.0) if above is None else (above.root, above.ohm)
        hung[point] = Hung(root, ohm + resistors[k].ohm, parent, resistors[k].id)
    taken = {k for _, _, k in off}
    return [resistor for k, resistor in enumerate(resistors) if k not in taken], hung
