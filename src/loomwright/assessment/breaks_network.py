"""The van as a network whose wires, joints and contacts may open, each load a conductance.

Contacts stand as for the consumers. A load counts with what it resists at the volts that it has with
everything on; what charges is only asked whether it still has its battery. What does not hang on any ohm
follows from the volts: a coil without volts lets its contact go, a converter without an input gives nothing.
What gives has a place of its own that may open, so that it can be switched off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from loomwright.circuit.breaks import LEAST_OHM, Opened, Openings, openings
from loomwright.circuit.linear import Bools, Floats
from loomwright.circuit.network import Resistor, Source
from loomwright.plan.pieces import Wiring

from .flow import Flow
from .loads import Port
from .network import Branch
from .states import Link, asked_state

#: What a charger's output and a panel count with: enough to see volts, too little to draw; and what sees the
#: second side of a link, so little that two of them never share volts alike. [S]
PROBE_S, FAINT_PROBE_S = 1e-6, 1e-9
#: Below this part of its volts nothing glows, turns or holds. [-]
DEAD_PART = 0.2
#: Below this part of its volts a coil may let go; most let go between a tenth and a third. [-]
LETS_GO_PART = 0.3
#: Above this part of what it is made for a load counts as fed at all. [-]
FED_PART = 0.4
#: From this part of its volts to that a load works; above it burns. [-]
WORKS_PART, BURNS_PART = 0.8, 1.2
#: Kinds that conduct the wrong way round as well: wire, winding, filament. A diode is in most others.
BOTH_WAYS = ("lamp", "water_pump", "fan", "heat_mat", "absorption_fridge", "valve", "load", "relay")
#: What a hand switches on and off, and what turns.
_SWITCHED = (
    "switch",
    "master_switch",
    "control_panel",
    "two_way",
    "intermediate",
    "relay",
    "low_voltage_cut",
)
_GIVES = "gives "
#: So often the conductances are set anew by the volts that they bring about.
_TURNS = 2


@dataclass(frozen=True)
class BreaksNetwork:
    """The network of a van whose places may open.

    Attributes
    ----------
    net : Openings
        Reduced.
    ports : tuple of Port
        Its loads.
    branches : tuple of Branch
        In the order of its resistors; what gives comes behind them.
    lasting_a : mapping of str to float
        The most that lasts in each branch, charging or with everything on. [A]
    links : tuple of Link
        Contacts that join batteries for charging.
    """

    wiring: Wiring
    net: Openings
    ports: tuple[Port, ...]
    branches: tuple[Branch, ...]
    resistors: tuple[Resistor, ...]
    sources: tuple[Source, ...]
    lasting_a: Mapping[str, float]
    links: tuple[Link, ...]

    @cached_property
    def row(self) -> Mapping[str, int]:
        """The resistor of each branch and of each source that may be switched off, by id."""
        return {one.id: k for k, one in enumerate(self.resistors)}

    def place(self, id: str) -> int:
        """Return the place of a branch, -1 if no current of a source can come there."""
        return int(self.net.place[self.row[id]]) if id in self.row else -1

    @cached_property
    def column(self) -> Mapping[str, int]:
        """The number of each load that takes current, by id."""
        return {port.id: k for k, port in enumerate(self.ports) if not port.gives}

    def load(self, id: str) -> Port | None:
        """Return a load that takes current, None if there is none of that name."""
        return self.ports[self.column[id]] if id in self.column else None

    def columns_of(self, load: str, feeder: str, path: str) -> Iterator[int]:
        """Give the numbers of the loads that stand for a circuit: its own, or what gives on its path."""
        if load in self.column:
            yield self.column[load]
        elif path == "charging":
            between = {one.part for one in self.links if (one.house, one.vehicle) == (load, feeder)}
            for k, port in enumerate(self.ports):
                if port.gives and port.part in ({feeder} | between):
                    yield k

    @cached_property
    def usual_v(self) -> Floats:
        """Volts that each load is made for, shape (n,). [V]"""
        return np.array([port.nominal_v for port in self.ports])

    @cached_property
    def fed(self) -> Bools:
        """The loads that have volts with nothing open."""
        return np.nan_to_num(self.net.whole_v) > FED_PART * self.usual_v

    @cached_property
    def own_v(self) -> Floats:
        """Volts of each load with nothing open; where it has none, what it is made for. [V]"""
        return np.where(self.fed, np.nan_to_num(self.net.whole_v), self.usual_v)

    @cached_property
    def _follows(self) -> list[tuple[int, int, float]]:
        """What opens with a load: (load, place, the part of its volts below which it does)."""
        found = []
        for k, port in enumerate(self.ports):
            if port.kind == "coil" and self.fed[k] and self._is_held(port.part):
                contacts = (b for b in self.branches if b.kind == "contact" and b.owner == port.part)
                found += [(k, self.place(one.id), LETS_GO_PART) for one in contacts]
            elif port.kind == "converter_input" and self.fed[k]:
                found.append((k, self.place(f"{_GIVES}{port.part}"), LETS_GO_PART))
        return [one for one in found if one[1] >= 0]

    def _is_held(self, relay: str) -> bool:
        """Say whether the coil of a relay holds its contact: not one that rests, not one that latches."""
        part = self.wiring.parts[relay]
        return asked_state(part) == "on" and part.latching is not True

    def with_followers(self, places: Sequence[int], net: Openings | None = None) -> tuple[Opened, list[int]]:
        """Return the network with some places open, and what then opens by itself; and all that is open."""
        net, open_ = net or self.net, list(places)
        while True:
            found = net.opened(open_)
            volts = np.abs(np.nan_to_num(found.volts))
            more = {
                place
                for k, place, part in self._follows
                if place not in open_ and volts[k] < part * self.own_v[k]
            }
            if not more:
                return found, open_
            open_ += sorted(more)

    def at(self, volts: Floats, net: Openings | None = None) -> Openings:
        """Return the network with each load as it is at some volts; one that is off stays off."""
        net = net or self.net
        known = [_siemens(port, v) for port, v in zip(self.ports, volts.tolist(), strict=True)]
        return replace(net, siemens=np.where(net.siemens > 0.0, known, 0.0))

    def lets_go(self, volts: Floats) -> bool:
        """Say whether anything opens by itself at these volts of the loads."""
        return any(abs(volts[k]) < part * self.own_v[k] for k, _, part in self._follows)

    @cached_property
    def switches(self) -> tuple[tuple[str, tuple[int, ...]], ...]:
        """What may be off, by name, with the places of all its contacts; of those in a row the first."""
        found: dict[str, dict[int, None]] = {}
        for branch in self.branches:
            part = self.wiring.parts.get(branch.owner)
            if branch.kind == "contact" and part is not None and part.kind in _SWITCHED:
                name = branch.b if part.kind == "control_panel" else branch.owner
                found.setdefault(name, {})[self.place(branch.id)] = None
        for id, part in self.wiring.parts.items():
            if part.kind == "vehicle_feed" and part.live != "always":
                found.setdefault(id, {})[self.place(f"{_GIVES}{id}")] = None
        first: dict[tuple[int, ...], str] = {}
        for name, places in found.items():
            known = tuple(place for place in places if place >= 0)
            if known:
                first.setdefault(known, name)
        return tuple((name, places) for places, name in first.items())

    def conducts_backwards(self, k: int) -> bool:
        """Say whether a load may conduct the wrong way round."""
        kind = self.wiring.parts[self.ports[k].part].kind
        return kind in BOTH_WAYS


def breaks_network(
    wiring: Wiring,
    flow: Flow,
    drawn_w: Mapping[str, float],
    lasting_a: Mapping[str, float],
    links: Sequence[Link],
) -> BreaksNetwork:
    """Reduce a van to its loads and to the places that may open.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    flow : Flow
        Its network with the inner resistances of the batteries.
    drawn_w : mapping of str to float
        What each converter takes with everything on. [W]
    lasting_a : mapping of str to float
        The most that lasts in each branch. [A]
    links : sequence of Link
        Contacts that join batteries for charging; they stand open, and are asked whether both are there.
    """
    ports = (
        *(
            replace(port, watts=drawn_w.get(port.part, port.watts))
            if port.kind == "converter_input"
            else port
            for port in flow.ports
        ),
        *_both_sides(wiring, links),
    )
    resistors = [branch.resistor() for branch in flow.branches]
    sources: list[Source] = []
    for source in flow.sources:
        if source.ohm > 0.0 or source.volts <= 0.0:  # a battery, or a diode that conducts
            sources.append(source)
            continue
        post = f"{source.id}@{_GIVES}"
        resistors.append(Resistor(f"{_GIVES}{source.id}", post, source.plus, LEAST_OHM))
        sources.append(replace(source, plus=post))
    pairs = [(port.plus, port.minus) for port in ports]
    net = openings(resistors, sources, pairs, [_siemens(port, port.nominal_v) for port in ports])
    charging = tuple(link for link in links if link.charges)
    found = BreaksNetwork(
        wiring, net, ports, flow.branches, tuple(resistors), tuple(sources), lasting_a, charging
    )
    for _ in range(_TURNS):
        found = replace(found, net=found.at(np.nan_to_num(found.net.whole_v)))
    return found


def _both_sides(wiring: Wiring, links: Sequence[Link]) -> Iterator[Port]:
    """Give what sees, across an open link, whether the battery on either side of it is there."""
    for link in (one for one in links if one.charges):
        ends = [point for point in link.points if wiring.part_of(point) == link.part]
        if len(ends) > 1:
            sides = ((ends[0], link.house, PROBE_S), (ends[-1], link.vehicle, FAINT_PROBE_S))
            for end, battery, siemens in sides:
                minus = f"{battery}.minus"
                yield Port(f"{link.part}@{end}", link.part, "link", end, minus, siemens=siemens, gives=True)


def _siemens(port: Port, volts: float) -> float:
    """Return the conductance that takes what a load takes at some volts; at its own if those are none. [S]"""
    if port.gives:
        return port.siemens or PROBE_S
    if volts < FED_PART * port.nominal_v:
        volts = port.nominal_v
    return (port.amps + port.watts / volts) / volts + port.siemens if volts else 0.0


__all__ = ["BURNS_PART", "DEAD_PART", "LETS_GO_PART", "WORKS_PART", "BreaksNetwork", "breaks_network"]
