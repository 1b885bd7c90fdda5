"""The conductors of one mains installation as plain records, and the volts and currents of one state of it.

Volts are effective values of one phase, counted to the ground, with a sign for the half-wave: the two
legs of a 120/240 V supply are +120 and -120. Everything is a resistance. A part that no link joins to the
ground floats: it stands where equal leaks of all its nodes to the ground would put it, and no current
flows there or back.

Left out: reactance (under a tenth of the resistance in copper up to 16 mm²), capacitance, harmonics.

Sources: Kirchhoff's and Ohm's laws; Thévenin's theorem, as in any textbook of circuit theory.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, NamedTuple, TypeAlias

from loomwright.tables.iec_60479_1 import PERSON_OHM

#: (point, core); core is one of `CORES`, or "" for the two below.
Node: TypeAlias = tuple[str, str]
#: The soil that the van, and a person, stand on.
GROUND: Node = ("ground", "")
#: The metal of the van.
BODY: Node = ("body", "")
#: Cores that carry the load's current.
LIVE_CORES = ("line", "line_2", "neutral")
CORES = (*LIVE_CORES, "earth")
#: Name of a person among the currents of a state.
PERSON = "person"


class Link(NamedTuple):
    """A core of a cable, a contact, a bond, an electrode, an appliance; 0 Ω is a joint. [Ω]"""

    id: str
    a: Node
    b: Node
    ohm: float

    @property
    def ends(self) -> tuple[Node, Node]:
        """Both nodes."""
        return self.a, self.b


class Feed(NamedTuple):
    """A source of volts behind a resistance; an inverter gives `most_a` and no more. [V, Ω, A]"""

    id: str
    high: Node
    low: Node
    volts: float
    ohm: float
    most_a: float | None = None

    @property
    def ends(self) -> tuple[Node, Node]:
        """Both nodes."""
        return self.high, self.low


class Breaker(NamedTuple):
    """A miniature circuit breaker. [A]"""

    rating_a: float
    curve: Literal["B", "C", "D", "unknown"] = "unknown"


class Residual(NamedTuple):
    """A residual current device; `class_a` is the North American one of 6 mA. [A]"""

    trips_a: float
    kind: Literal["general", "selective", "class_a"] = "general"
    type: Literal["AC", "A", "F", "B", "unknown"] = "unknown"


@dataclass(frozen=True, slots=True)
class Device:
    """What opens by itself.

    Attributes
    ----------
    id : str
        Its name.
    links : tuple of str
        Cores that pass through it; a residual device acts on the sum of their currents, each counted from
        the supply to the load.
    opens : tuple of str
        Links that it opens.
    breaker : Breaker or None
        Acts on the current of each link in `senses`.
    residual : Residual or None
        Acts on the sum.
    senses : tuple of str or None
        Poles with a release; None: every one that it opens.
    """

    id: str
    links: tuple[str, ...]
    opens: tuple[str, ...]
    breaker: Breaker | None = None
    residual: Residual | None = None
    senses: tuple[str, ...] | None = None


class Fault(NamedTuple):
    """Two nodes that touch, by accident. [Ω]"""

    id: str
    a: Node
    b: Node
    ohm: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """One installation with what feeds it.

    Attributes
    ----------
    links : tuple of Link
        Each from the supply side to the load side where a residual device sums it.
    feeds : tuple of Feed
        Sources.
    devices : tuple of Device
        What opens by itself.
    nodes : tuple of Node
        Every node, the ground first.
    names : frozenset of str
        Of links and feeds.
    kept : dict
        What was worked out of links and feeds, for the next question.

    Raises
    ------
    ValueError
        An id stands twice, a resistance is below zero, a feed has none or both ends at one node, or a
        device names an unknown link.
    """

    links: tuple[Link, ...]
    feeds: tuple[Feed, ...]
    devices: tuple[Device, ...] = ()
    nodes: tuple[Node, ...] = field(init=False, repr=False)
    names: frozenset[str] = field(init=False, repr=False)
    kept: dict[Hashable, Any] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "links", tuple(self.links))
        object.__setattr__(self, "feeds", tuple(self.feeds))
        object.__setattr__(self, "devices", tuple(self.devices))
        ids = [branch.id for branch in self.branches]
        nodes = dict.fromkeys((GROUND, *(node for branch in self.branches for node in branch.ends)))
        object.__setattr__(self, "nodes", tuple(nodes))
        object.__setattr__(self, "names", frozenset(ids))
        if len(ids) != len(self.names):
            raise ValueError(f"{next(i for i in ids if ids.count(i) > 1)}: two links or feeds of this name")
        for link in self.links:
            if not 0.0 <= link.ohm < math.inf:
                raise ValueError(
                    f"{link.id}: {link.ohm:g} Ω; a link has 0 Ω or more, and leave out an open one"
                )
        for feed in self.feeds:
            if not 0.0 < feed.ohm < math.inf:
                raise ValueError(f"{feed.id}: {feed.ohm:g} Ω; a feed has some, 0.01 Ω if nothing is known")
            if feed.high == feed.low:
                raise ValueError(f"{feed.id}: both ends are at {'.'.join(feed.high)}")
            if feed.most_a is not None and feed.most_a <= 0.0:
                raise ValueError(f"{feed.id}: gives {feed.most_a:g} A at most; write a positive current")
        known = {link.id for link in self.links}
        for device in self.devices:
            missing = {*device.links, *device.opens, *(device.senses or ())} - known
            if missing:
                raise ValueError(f"{device.id}: no link {', '.join(sorted(missing))} in this net")

    @property
    def branches(self) -> tuple[Link | Feed, ...]:
        """Links, then feeds."""
        return (*self.links, *self.feeds)

    def guarded(self, devices: tuple[Device, ...]) -> Net:
        """Return the same conductors behind other devices; what was worked out of them is shared.

        Parameters
        ----------
        devices : tuple of Device
            What opens by itself there.
        """
        other = replace(self, devices=devices)
        object.__setattr__(other, "kept", self.kept)
        return other


@dataclass(frozen=True, slots=True)
class State:
    """Volts and currents.

    Attributes
    ----------
    volts : Mapping
        Of each node to the ground. [V]
    amps : Mapping
        Of each link, feed, fault and of `PERSON`, from `a` to `b` or out of a feed's `high`. A joint that
        closes a ring of joints counts with none. [A]
    limited : frozenset of str
        Feeds that give their `most_a`.
    """

    volts: Mapping[Node, float]
    amps: Mapping[str, float]
    limited: frozenset[str] = frozenset()


def extra_links(fault: Fault | None, person: tuple[Node, Node] | None) -> tuple[Link, ...]:
    """Return a fault and a person as links that come to a net.

    Parameters
    ----------
    fault : Fault or None
        Two nodes that touch.
    person : pair of Node or None
        Hand and feet, or two hands.

    Returns
    -------
    tuple of Link
        One for each that is there.
    """
    links = [] if fault is None else [Link(*fault)]
    if person is not None:
        links.append(Link(PERSON, *person, PERSON_OHM))
    return tuple(links)
