"""Batteries that share a current, and what follows when one of them opens.

Batteries in parallel share by their inner resistances and those of their links; the one that opens leaves its
part to the rest, where the next may then be above its own limit. Batteries are sources in a linear network,
so strings in series, links of any length and centre taps are counted as they are wired.

Left out: that volts fall and constant powers take more current once a battery is gone. The load counts with
the current that it took before, which is a little too kind.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import reduce_to_ports

#: So long until something opens at a current, and what opens; infinite if nothing does. [s]
Opens = Callable[[str, float], tuple[float, str]]


@dataclass(frozen=True, slots=True)
class Opening:
    """One battery of a row that opens: what opens it, at what current, how soon. [A, s]"""

    battery: str
    what: str
    amps: float
    after_s: float


@dataclass(frozen=True, slots=True)
class Cascade:
    """What opens one after the other.

    Attributes
    ----------
    first_a : mapping of str to float
        What each battery gives before anything opens. [A]
    opens : tuple of Opening
        In order; empty if all hold.
    left_a : mapping of str to float
        What the batteries give that hold in the end. [A]
    dark : bool
        True if no load is fed in the end.
    """

    first_a: Mapping[str, float]
    opens: tuple[Opening, ...]
    left_a: Mapping[str, float]
    dark: bool


def opens_in_turn(
    resistors: Sequence[Resistor],
    batteries: Sequence[Source],
    loads: Sequence[tuple[str, str, float]],
    opens: Opens,
) -> Cascade:
    """Return which batteries open one after the other under a load, the soonest first.

    Parameters
    ----------
    resistors : sequence of Resistor
        Links and leads.
    batteries : sequence of Source
        All at one state; with resistance.
    loads : sequence of tuple
        Plus node, minus node and current of each load. [A]
    opens : callable
        How long until something opens a battery at a current, and what; infinite if nothing does. [s]

    Returns
    -------
    Cascade
        See there.

    Examples
    --------
    >>> pair = [Source("a", "p", "m", 13.0, 0.004), Source("b", "q", "m", 13.0, 0.004)]
    >>> limit = lambda battery, amps: (0.0, "management") if amps > 100.0 else (math.inf, "")
    >>> found = opens_in_turn([Resistor("link", "p", "q", 0.002)], pair, [("p", "m", 180.0)], limit)
    >>> [(one.battery, round(one.amps)) for one in found.opens], found.dark
    ([('a', 108), ('b', 180)], True)
    """
    left = list(batteries)
    row: list[Opening] = []
    first: dict[str, float] | None = None
    while True:
        gives = _gives(resistors, left, loads)
        first = gives if first is None else first
        found = [Opening(id, what, amps, s) for id, amps in gives.items() for s, what in [opens(id, amps)]]
        soonest = min(found, key=lambda one: (one.after_s, -one.amps), default=None)
        if soonest is None or math.isinf(soonest.after_s):
            fed = any(amps > 0.0 for amps in gives.values())
            return Cascade(first, tuple(row), gives, not fed)
        row.append(soonest)
        left = [one for one in left if one.id != soonest.battery]


def _gives(
    resistors: Sequence[Resistor], batteries: Sequence[Source], loads: Sequence[tuple[str, str, float]]
) -> dict[str, float]:
    """Return what each battery gives; loads that nothing feeds take nothing. [A]"""
    if not batteries:
        return {}
    reduced = reduce_to_ports(resistors, batteries, [(plus, minus) for plus, minus, _ in loads])
    taken = np.where(reduced.live, [amps for _, _, amps in loads], 0.0)
    given = np.nan_to_num(reduced.source_b0) + np.nan_to_num(reduced.source_share) @ taken
    return {source.id: float(amps) for source, amps in zip(batteries, given, strict=True)}


def equalising_a(high_v: float, low_v: float, ohm: float) -> float:
    """Return the first current between two batteries that are joined at different charge. [A]

    Parameters
    ----------
    high_v, low_v : float
        Their volts before. [V]
    ohm : float
        Both inner resistances and all that joins them. [Ω]

    Examples
    --------
    >>> round(equalising_a(14.4, 11.7, 0.020))
    135
    """
    return math.inf if ohm <= 0.0 else max(high_v - low_v, 0.0) / ohm


__all__ = ["Cascade", "Opening", "Opens", "equalising_a", "opens_in_turn"]
