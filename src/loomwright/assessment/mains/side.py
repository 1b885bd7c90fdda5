"""The mains side of one van, worked out when a rule, a list or a page asks for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from loomwright.assessment.record import WireFigure
from loomwright.plan.pieces import Wiring

from .cases import Reach, reach_of, sources_of
from .faulted import CaseFault, case_faults
from .layout import Layout, layout_of
from .pitch import Pitch, pitches_of
from .shared import PitchNets
from .taken import Taken, Taker, taken_on, takers_of
from .trying import CaseNets


@dataclass
class MainsSide:
    """Sources, what they reach, what a fault does on each pitch, what runs there.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    wires : Mapping
        Its wires, with sizes and lengths.
    """

    wiring: Wiring
    wires: Mapping[str, WireFigure]
    _nets: dict[str, PitchNets] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def layout(self) -> Layout:
        """Cables, what opens, sockets and appliances."""
        return layout_of(self.wiring, self.wires)

    @cached_property
    def reaches(self) -> dict[str, Reach]:
        """By inlet and by maker of mains, what it reaches."""
        return dict(sources_of(self.wiring, self.layout))

    @cached_property
    def pitches(self) -> tuple[Pitch, ...]:
        """The supplies of the plan."""
        return tuple(pitches_of(self.wiring.plan))

    @cached_property
    def unjudged(self) -> tuple[str, ...]:
        """The parts of the mains side that no source reaches, and what changes its volts or parts it."""
        came = {point for reach in self.reaches.values() for point in reach.came}
        lost = [id for id, point in self.layout.outlets.items() if point not in came]
        made = [id for id, part in self.wiring.parts.items() if part.kind == "transformer"]
        wired = [id for id in made if any(self.wiring.part_of(point) == id for point in self.wiring.by_point)]
        return (*lost, *wired)

    @property
    def inlet(self) -> str | None:
        """The inlet that pitches are judged at: the first."""
        return next(iter(self.layout.inlets), None)

    @cached_property
    def takers(self) -> Mapping[str, Taker]:
        """What can take mains on hook-up."""
        inlet = self.inlet
        return takers_of(self.wiring, self.layout, self.reaches[inlet]) if inlet is not None else {}

    @cached_property
    def faults(self) -> tuple[CaseFault, ...]:
        """A fault to the case at each socket and appliance, on each pitch."""
        inlet = self.inlet
        if inlet is None:
            return ()
        return tuple(one for pitch in self.pitches for one in case_faults(self.nets(inlet), pitch))

    @cached_property
    def case_nets(self) -> CaseNets:
        """Nets of the cases that a person tries."""
        return CaseNets(self)

    def nets(self, inlet: str) -> PitchNets:
        """Return the nets behind an inlet, kept for the next question."""
        if inlet not in self._nets:
            self._nets[inlet] = PitchNets(self.layout, self.reaches[inlet])
        return self._nets[inlet]

    @cached_property
    def taken(self) -> tuple[tuple[Pitch, Taken], ...]:
        """What each mode takes on each pitch."""
        seen: dict[str, Pitch] = {pitch.id: pitch for pitch in reversed(self.pitches)}
        return tuple(
            (pitch, taken)
            for pitch in reversed(seen.values())
            for taken in taken_on(self.wiring.plan, self.takers, pitch)
            if taken.running
        )

    def served(self, source: str) -> dict[str, str]:
        """Return the sockets and wired things that a source reaches, with their points."""
        came = self.reaches[source].came
        return {id: point for id, point in self.layout.outlets.items() if point in came}


__all__ = ["MainsSide", "reach_of"]
