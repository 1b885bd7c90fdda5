"""Whether a cable outlasts a short until its fuse has opened: one point, the far end, the fuse cold.

A cable that survives longer than its fuse takes is unharmed, and so is one that may carry the current for
good. Beyond 5 s the adiabatic sum errs on the safe side: heat goes into the air meanwhile. Beyond the last
gate of a fuse its I²t is that of the gate, so the two heats are compared there. A fuse that need not open at
all never protects.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.errors import OutOfTableError
from loomwright.protection.adiabatic import survives_s
from loomwright.protection.opening import opening_time
from loomwright.tables.fuses import fuse_type
from loomwright.tables.insulation import insulation_class

from .record import FuseFigure, WireFigure


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
