"""Which of two fuses, one before the other, opens first in a short behind both.

Both carry the same short. The one nearer to it should open first: else all that hangs on the other goes dark
with it. Between its shortest and its longest time a fuse is likely to take their geometric mean.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomwright.protection.opening import opening_time
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.units import Band

from .breaking import Before, Breaks
from .shorts import Shorts


@dataclass(frozen=True, slots=True)
class Pair:
    """A fuse and one before it that also feeds others, in the short that parts them least.

    Attributes
    ----------
    own : Breaks
        The fuse nearer to the short.
    before : Before
        The one before it.
    amps : float
        Current of that short. [A]
    own_s, before_s : Band
        When each opens. [s]
    """

    own: Breaks
    before: Before
    amps: float
    own_s: Band
    before_s: Band

    @property
    def margin(self) -> float:
        """How many times longer the one before it takes at the least than its own at the most."""
        return self.before_s.low / self.own_s.high if self.own_s.high > 0.0 else math.inf

    @property
    def lead(self) -> float:
        """How many times longer the one before it is likely to take; below 1 it is likely to open first."""
        return _likely(self.before_s) / _likely(self.own_s)


def pairs_of(breaking: Sequence[Breaks], largest: Shorts, runs: Mapping[str, str]) -> tuple[Pair, ...]:
    """Return every pair of fuses whose times are known, where the one before also feeds others.

    Parameters
    ----------
    breaking : sequence of Breaks
        Every fuse of the van with those before it.
    largest : Shorts
        The largest shorts.
    runs : mapping of str to str
        The run of each piece of wire.
    """
    far: dict[str, float] = {}
    for (piece, _), short in largest.ends.items():
        run = runs[piece]
        far[run] = min(short.amps, far.get(run, math.inf))
    shared: dict[str, set[str]] = {}
    for one in breaking:
        for before in one.before:
            shared.setdefault(before.at, set()).add(one.owner)
    return tuple(
        pair
        for own in breaking
        for before in own.before
        if len(shared[before.at]) > 1 and before.owner != own.owner
        if (pair := _pair(own, before, far.get(own.owner, own.asked_a))) is not None
    )


def _pair(own: Breaks, before: Before, far_a: float) -> Pair | None:
    """Compare two fuses in the short just behind the nearer one and in the one at the end of its wire."""
    kind = own.kind_or_usual
    if own.rating_a is None or before.rating_a is None or not (_timed(kind) and _timed(before.kind)):
        return None
    found = []
    for amps in dict.fromkeys((own.asked_a, min(far_a, own.asked_a))):
        if amps > own.rating_a:
            bands = opening_time(kind, own.rating_a, amps), opening_time(before.kind, before.rating_a, amps)
            found.append(Pair(own, before, amps, *bands))
    return min(found, key=lambda pair: pair.lead, default=None)


def _timed(kind: str) -> bool:
    known = FUSE_TYPES.get(kind)
    return known is not None and bool(known.gates)


def _likely(times: Band) -> float:
    if math.isinf(times.high):
        return math.inf
    return math.sqrt(times.low * times.high) if times.low > 0.0 else times.high


def overtaking(pairs: Sequence[Pair]) -> Iterator[Pair]:
    """Give the pairs in which the fuse before is likely to open first."""
    for pair in pairs:
        if pair.lead < 1.0 - 1e-9:
            yield pair


__all__ = ["Pair", "overtaking", "pairs_of"]
