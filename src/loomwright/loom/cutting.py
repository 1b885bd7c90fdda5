"""Wires cut from reels: which piece comes off which reel, and what is to be bought.

Pieces are taken longest first and each goes onto the first reel that still holds it (first-fit decreasing),
what is left of opened reels before new ones. That needs at most 11/9 of the least number of reels, and 6/9 of
one (Dósa, ESCAPE 2007). A reel that holds little is then taken as short as it is sold.

Lengths of reels as they are sold and the reserve are common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwright.source import Source

REEL_SOURCE = Source(
    work="common practice", place="cable below 6 mm² in reels, above by the metre", checked="common practice"
)
FIT_SOURCE = Source(
    work="Dósa, ESCAPE 2007", place="first-fit decreasing: 11/9 of the least and 6/9", checked="from memory"
)
#: Reels as they are sold. [m]
REELS_M = (10.0, 25.0, 50.0, 100.0)
#: From this area on cable is sold by the metre. [mm²]
BY_THE_METRE_MM2 = 6.0
#: Lengths nearer than this are one: a thousandth of what a knife does. [m]
_DUST_M = 1e-6


@dataclass(frozen=True, slots=True)
class Reel:
    """One reel: how long, what is cut from it in this order, and whether it had been opened before. [m]"""

    long_m: float
    cuts: tuple[tuple[str, float], ...]
    opened: bool = False

    @property
    def cut_m(self) -> float:
        """What is cut from it. [m]"""
        return math.fsum(metres for _, metres in self.cuts)

    @property
    def left_m(self) -> float:
        """What is left on it. [m]"""
        return self.long_m - self.cut_m


def nested(
    pieces: Mapping[str, float], sold_m: Sequence[float] = REELS_M, opened_m: Sequence[float] = ()
) -> tuple[Reel, ...]:
    """Return the reels that pieces are cut from: opened ones first, then new ones with least left over.

    Parameters
    ----------
    pieces : mapping of str to float
        Length of each piece. [m]
    sold_m : sequence of float
        Lengths of reels that can be had; empty: by the metre, all in one. [m]
    opened_m : sequence of float
        What is left of opened reels. [m]

    Returns
    -------
    tuple of Reel
        Those that something is cut from. A piece that no reel holds is bought by the metre.

    Examples
    --------
    >>> [(reel.long_m, reel.cuts) for reel in nested({"W1": 4.0, "W2": 7.0, "W3": 3.0}, opened_m=[4.5])]
    [(4.5, (('W1', 4.0),)), (10.0, (('W2', 7.0), ('W3', 3.0)))]
    """
    longest_first = sorted(pieces.items(), key=lambda item: (-item[1], item[0]))
    kept, rest = _fitted(longest_first, [Reel(m, (), opened=True) for m in sorted(opened_m)])
    if not sold_m:
        new = [Reel(math.fsum(m for _, m in rest), tuple(rest))] if rest else []
        return (*(reel for reel in kept if reel.cuts), *new)
    plans = [_from_new(rest, [m for m in sold_m if m <= most]) for most in sold_m]
    best = min(plans, key=lambda reels: (sum(reel.long_m for reel in reels), len(reels)))
    return (*(reel for reel in kept if reel.cuts), *best)


def to_buy_m(reels: Sequence[Reel], reserve: float, sold_m: Sequence[float] = REELS_M) -> tuple[float, ...]:
    """Return the lengths to buy so that besides all pieces the reserve is there: of the new reels, and more.

    Parameters
    ----------
    reels : sequence of Reel
        As `nested` gives them.
    reserve : float
        Share of what is cut. [1]
    sold_m : sequence of float
        As for `nested`; by the metre it is rounded up to the next one. [m]
    """
    needed = (1.0 + reserve) * math.fsum(reel.cut_m for reel in reels)
    needed -= math.fsum(reel.long_m for reel in reels if reel.opened)
    bought = [reel.long_m for reel in reels if not reel.opened]
    if not sold_m:
        return (float(math.ceil(needed - _DUST_M)),) if needed > _DUST_M else ()
    while math.fsum(bought) < needed - _DUST_M:
        short = needed - math.fsum(bought)
        longer = [m for m in sold_m if bought and m >= bought[-1] + short]
        if longer:
            bought[-1] = longer[0]
        else:
            bought.append(next((m for m in sold_m if m >= short), sold_m[-1]))
    return tuple(bought)


def _fitted(
    pieces: Sequence[tuple[str, float]], reels: list[Reel]
) -> tuple[list[Reel], list[tuple[str, float]]]:
    """Put each piece onto the first reel that holds it; return the reels, and what none of them holds."""
    left, cuts = [reel.long_m for reel in reels], [list(reel.cuts) for reel in reels]
    rest = []
    for piece in pieces:
        k = next((k for k, metres in enumerate(left) if metres >= piece[1] - _DUST_M), None)
        if k is None:
            rest.append(piece)
        else:
            left[k] -= piece[1]
            cuts[k].append(piece)
    filled = (Reel(reel.long_m, tuple(own), reel.opened) for reel, own in zip(reels, cuts, strict=True))
    return list(filled), rest


def _from_new(pieces: Sequence[tuple[str, float]], sold_m: Sequence[float]) -> list[Reel]:
    """Cut all from new reels of the longest length, then take each reel as short as it is sold."""
    reels: list[list[tuple[str, float]]] = []
    left: list[float] = []
    for piece in pieces:
        k = next((k for k, metres in enumerate(left) if metres >= piece[1] - _DUST_M), None)
        if k is None:
            reels.append([])
            left.append(max(sold_m[-1], piece[1]))
            k = len(reels) - 1
        reels[k].append(piece)
        left[k] -= piece[1]
    made = []
    for own in reels:
        cut = math.fsum(metres for _, metres in own)
        long_m = next((m for m in sold_m if m >= cut - _DUST_M), float(math.ceil(cut - _DUST_M)))
        made.append(Reel(max(long_m, cut), tuple(own)))
    return made


__all__ = ["BY_THE_METRE_MM2", "FIT_SOURCE", "REELS_M", "REEL_SOURCE", "Reel", "nested", "to_buy_m"]
