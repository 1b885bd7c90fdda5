"""What is known of shorts along a piece of wire: currents, when a short is over, what it harms."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.units import Band

from .short_network import Device
from .withstand import Withstand

#: When a short is over, from the gravest.
NEVER, NOT_KNOWN, FOLDS, SLOW, SOON, FAST = (
    "never", "not known", "folds back", "slow", "under 5 s", "under 0.1 s",
)  # fmt: skip
WORDS = (NEVER, NOT_KNOWN, FOLDS, SLOW, SOON, FAST)
#: As the verdict of a whole wire is called.
VERDICTS = {
    NEVER: "never",
    NOT_KNOWN: "not_computed",
    FOLDS: "folds_back",
    SLOW: "slow",
    SOON: "fast",
    FAST: "fast",
}
#: Up to here a short is over fast, and soon. The sum without losses of heat is good for as long. [s]
FAST_S, SOON_S = 0.1, 5.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of wire along which a short is over equally soon.

    Attributes
    ----------
    from_m, to_m : float
        From the end where the wire begins. [m]
    least_a, most_a : (float, float)
        Smallest and largest current of a short at its two ends. [A]
    opens_s : Band
        The soonest and the latest that it is over; infinite if never. [s]
    word : str
        One of `WORDS`.
    harmed : bool
        True if the cable gives in before.
    """

    from_m: float
    to_m: float
    least_a: tuple[float, float]
    most_a: tuple[float, float]
    opens_s: Band
    word: str
    harmed: bool

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON."""
        return {
            "from_m": self.from_m,
            "to_m": self.to_m,
            "least_a": list(self.least_a),
            "most_a": list(self.most_a),
            "opens_s": [self.opens_s.low, self.opens_s.high],
            "word": self.word,
            "harmed": self.harmed,
        }


@dataclass(frozen=True, slots=True)
class Along:
    """Shorts along one piece of wire, with contacts as for the consumers and in the modes that differ.

    Attributes
    ----------
    piece, run : str
    stretches : tuple of Stretch
        Along the whole piece, without gaps.
    at_m : tuple of float
        Every metre of it, from 0 to its length. [m]
    least_each_a, most_each_a : tuple of float
        Smallest and largest current of a short at each of these. [A]
    sources : tuple of str
        What can feed a short.
    order : tuple of Device
        The fuses on its ways in that mode, in the order in which a short at its far end is likely to open
        them.
    mode : str
        The mode that is worst, "" for contacts as for the consumers.
    alone : bool
        True if only what limits itself feeds it.
    hardest : Withstand or None
        The short along it that is hardest on the cable; None if its size is not known.
    """

    piece: str
    run: str
    stretches: tuple[Stretch, ...]
    at_m: tuple[float, ...]
    least_each_a: tuple[float, ...]
    most_each_a: tuple[float, ...]
    sources: tuple[str, ...]
    order: tuple[Device, ...]
    mode: str
    alone: bool
    hardest: Withstand | None

    @property
    def harmed(self) -> bool:
        """True if a short somewhere along it outlasts the cable."""
        return any(one.harmed for one in self.stretches)

    @property
    def word(self) -> str:
        """When a short is over at the worst place."""
        return min((one.word for one in self.stretches), key=WORDS.index)

    @property
    def verdict(self) -> str:
        """The same as in JSON: fast (within 5 s), slow, never, folds_back or not_computed."""
        return VERDICTS[self.word]

    @property
    def at_most_s(self) -> float:
        """When it is over at the latest, infinite if never. [s]"""
        return max(one.opens_s.high for one in self.stretches)

    @property
    def most_a(self) -> float:
        """The largest current of a short anywhere along it. [A]"""
        return max(self.most_each_a)

    @property
    def least_a(self) -> float:
        """The smallest. [A]"""
        return min(self.least_each_a)

    def as_dict(self) -> dict[str, object]:
        """Return it as it stands in JSON; what never ends is null there."""
        return {
            "wire": self.piece,
            "mode": self.mode,
            "sources": list(self.sources),
            "opens_in_turn": [{"at": one.at, "rating_a": one.rating_a} for one in self.order],
            "stretches": [one.as_dict() for one in self.stretches],
        }

    def at(self, metres: float) -> tuple[float, float]:
        """Return the smallest and the largest current of a short so far from where the wire begins. [A]"""
        at_m = np.array(self.at_m)
        return amps_at(metres, at_m, np.array(self.least_each_a)), amps_at(
            metres, at_m, np.array(self.most_each_a)
        )


def amps_at(metres: float, at_m: NDArray[np.float64], amps: NDArray[np.float64]) -> float:
    """Return the current between two metres: there the ohms of its loop grow evenly. [A]"""
    return float(1.0 / np.interp(metres, at_m, 1.0 / amps))


__all__ = ["FAST_S", "SOON_S", "VERDICTS", "WORDS", "Along", "Stretch", "amps_at"]
