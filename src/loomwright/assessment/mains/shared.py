"""Nets of pitches, each built once: pitches that differ by rating and RCD only have the same conductors."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from loomwright.mains.records import Breaker, Net

from .cases import Reach, pitch_net
from .layout import Layout
from .pitch import Pitch


@dataclass(slots=True)
class PitchNets:
    """The nets of a van behind one inlet.

    Parameters
    ----------
    layout : Layout
        The mains side.
    reach : Reach
        From the inlet.
    """

    layout: Layout
    reach: Reach
    _made: dict[tuple[Pitch, float, float], Net] = field(default_factory=dict, init=False)

    def of(self, pitch: Pitch, temp_c: float, share: float = 1.0) -> Net:
        """Return the net of the van on a pitch.

        Parameters
        ----------
        pitch : Pitch
            The supply.
        temp_c : float
            Of the copper. [°C]
        share : float
            Of the nominal volts.
        """
        key = replace(pitch, id="", rated_a=1.0, residual=None), temp_c, share
        if key not in self._made:
            self._made[key] = pitch_net(self.layout, self.reach, key[0], temp_c, share)
        net = self._made[key]
        post = replace(net.devices[0], breaker=Breaker(pitch.rated_a), residual=pitch.residual)
        return net.guarded((post, *net.devices[1:]))


__all__ = ["PitchNets"]
