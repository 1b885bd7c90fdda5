"""Whether a cable outlasts a short until its fuse has opened: one point, the far end, the fuse cold.

A cable that survives longer than its fuse takes is unharmed, and so is one that may carry the current for
good. Beyond 5 s the adiabatic sum errs on the safe side: heat goes into the air meanwhile. Beyond the last
gate of a fuse its I²t is that of the gate, so the two heats are compared there. A fuse that need not open at
all never protects.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.errors import OutOfTableError
from loomwright.protection.adiabatic import adiabatic_k, survives_s
from loomwright.protection.opening import opening_time
from loomwright.tables.fuses import fuse_type
from loomwright.tables.insulation import insulation_class

from .record import FuseFigure, WireFigure

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Withstand:
    """A short at the far end of a wire: its current, when its fuse has opened at the latest, what it stands.

    [A, s, s]; `rating_a` is what the wire carries for good. [A]
    """

    amps: float
    opens_s: float
    survives_s: float
    rating_a: float | None = None

    @property
    def share(self) -> float:
        """Until the fuse has opened, by what the cable stands; none if it carries the current for good."""
        lasting = self.rating_a is not None and self.amps <= self.rating_a
        return 0.0 if lasting else self.opens_s / self.survives_s

    @property
    def harmed(self) -> bool:
        """True if the cable gives in before the fuse."""
        lasting = self.rating_a is not None and self.amps <= self.rating_a
        return self.opens_s > self.survives_s and not lasting


def withstand(wire: WireFigure, fuse: FuseFigure, amps: float) -> Withstand | None:
    """Return what a short of so many amperes does to a wire behind a fuse; None if it can't be told.

    Parameters
    ----------
    wire, fuse : WireFigure, FuseFigure
        The wire, and the fuse that guards it.
    amps : float
        The smallest current of a short at its far end. [A]
    """
    if wire.area_mm2 is None or fuse.rating_a is None or amps <= 0.0:
        return None
    insulation = insulation_class(wire.insulation)
    try:
        if amps > fuse.rating_a and not fuse_type(fuse.kind).gates:
            return None  # nobody says when such a fuse opens
        opens = opening_time(fuse.kind, fuse.rating_a, amps)
    except OutOfTableError:
        return None
    stands = survives_s(wire.area_mm2, amps, insulation.max_c, insulation.short_circuit_c)
    return Withstand(amps, opens.high, stands, wire.rating_a)


def hardest(wire: WireFigure, amps: Floats, opens_s: Floats) -> tuple[Bools, Withstand | None]:
    """Return in which of many shorts a wire gives in, and the hardest of them; None if nobody knows its size.

    Parameters
    ----------
    wire : WireFigure
        The wire.
    amps, opens_s : ndarray
        Current of each short, and when it is over at the latest. [A, s]
    """
    if wire.area_mm2 is None:
        return np.full(amps.shape, False), None
    insulation = insulation_class(wire.insulation)
    stands_s = (adiabatic_k(insulation.max_c, insulation.short_circuit_c) * wire.area_mm2 / amps) ** 2
    lasting = amps <= (wire.rating_a or 0.0)
    share = np.where(lasting, 0.0, opens_s / stands_s)
    at = int(share.argmax())
    worst = Withstand(float(amps[at]), float(opens_s[at]), float(stands_s[at]), wire.rating_a)
    return (opens_s > stands_s) & ~lasting, worst
