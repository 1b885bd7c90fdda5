"""The answer to one network: records only."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

#: A diode conducts or blocks; what delivers holds its voltage, its largest current, or is off.
ElementState = Literal["conducts", "blocks", "voltage", "current", "off"]


@dataclass(frozen=True, slots=True)
class Collapse:
    """Loads that ask for more than there is."""

    loads: tuple[str, ...]  #: loads, and converters by their input, whose volts fall away
    source: str  #: id of the source that can't hold them
    share: (
        float  #: largest part of the demand that it could hold; without the loads, if converters do it alone
    )


@dataclass(frozen=True, slots=True)
class Solution:
    """What a network does. Figures of a part without a working point are NaN."""

    volts: dict[str, float] = field(
        default_factory=dict
    )  #: each node, against the reference of its island [V]
    amps: dict[str, float] = field(
        default_factory=dict
    )  #: each element; what delivers counts out of its plus [A]
    input_amps: dict[str, float] = field(default_factory=dict)  #: each converter, into its input [A]
    state: dict[str, ElementState] = field(default_factory=dict)  #: each diode, limited source and converter
    reference: dict[str, str] = field(default_factory=dict)  #: the reference node of each node's island
    unfed_nodes: list[str] = field(default_factory=list)  #: nodes that no source reaches
    unfed_loads: list[str] = field(
        default_factory=list
    )  #: loads that no source reaches, or the wrong way round
    reversed_loads: list[str] = field(default_factory=list)  #: those of them that are the wrong way round
    collapsed: list[Collapse] = field(default_factory=list)
    clash: list[tuple[str, ...]] = field(
        default_factory=list
    )  #: ideal sources joined against each other, by ring
    undecided: list[str] = field(
        default_factory=list
    )  #: all but resistors of parts that could not be settled

    def across(self, plus: str, minus: str) -> float:
        """Return the volts between two nodes of one island; NaN between two islands. [V]"""
        if self.reference[plus] != self.reference[minus]:
            return math.nan
        return self.volts[plus] - self.volts[minus]

    @property
    def works(self) -> bool:
        """Whether every part of the network has a working point."""
        return not (self.collapsed or self.clash or self.undecided)
