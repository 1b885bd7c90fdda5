"""Charging paths: every charger's output, every panel, every charger's input, every link that closes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.network import Source
from loomwright.plan.pieces import Wiring
from loomwright.tables.batteries import LOW_CHARGE_PCT

from .charging_least import Supply, hot_a, phases_of
from .circuits import cruising_volts
from .diodes import diode_links, diodes_of
from .flow import Flow, Potentials, flow
from .inputs import Inputs
from .joined import banks
from .loads import Port
from .network import Branch, NetworkBuilder
from .record import CircuitFigure
from .solve import Solved
from .sources import is_battery, posts_volts
from .states import Link, Standing, closed_contacts
from .sums import drop_steps, shares_of, unknown_fields

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Charge:
    """A charging current: its circuit, its amperes in every branch, its potentials; `solar` if by the sun."""

    circuit: CircuitFigure
    amps: Mapping[str, float]
    solar: bool
    drops: Potentials

    def joins_batteries(self, wiring: Wiring) -> bool:
        """True for a link: from one battery's posts to another's."""
        return is_battery(wiring, self.circuit.feeder) and is_battery(wiring, self.circuit.load)


def charges_of(
    wiring: Wiring,
    inputs: Inputs,
    solved: Solved,
    builder: NetworkBuilder,
    stand: Standing,
    circuits: Iterable[CircuitFigure],
) -> list[Charge]:
    """Return every charging current of a van at its own amperes."""
    net = solved.flow
    found = []
    for k, circuit in _outputs(wiring, solved):
        port = net.ports[k]
        solar = wiring.owner(port.part).kind in ("solar_panel", "solar_regulator")
        found.append(_charge(circuit, net, -np.nan_to_num(net.reduced.share[:, k]) * port.amps, solar))
    for circuit in circuits:
        if circuit.path == "charging":
            share = np.nan_to_num(net.reduced.share[:, net.index[circuit.load]])
            found.append(_charge(circuit, net, share * (circuit.running_a or 0.0), False))
    diodes = diode_links(wiring, stand.closed)
    for link in (*(link for link in stand.links if link.charges), *diodes):
        found.extend(_link(wiring, inputs, builder, stand, link))
    return found


def _charge(circuit: CircuitFigure, net: Flow, amps: Floats, solar: bool) -> Charge:
    by_id = {branch.id: float(amps[k]) for k, branch in enumerate(net.branches)}
    return Charge(circuit, by_id, solar, Potentials(net.branches, amps))


def _outputs(wiring: Wiring, solved: Solved) -> Iterator[tuple[int, CircuitFigure]]:
    """Give the circuit of each output and panel: from its terminals to where its current ends."""
    net = solved.flow
    starts = {flat.pieces[0].a: flat for flat in wiring.runs.values() if not flat.mains and flat.pieces}
    for k, port in enumerate(net.ports):
        target = net.feeder(k)
        if not port.gives or target is None or port.plus not in starts:
            continue
        posts = next(source.volts for source in net.sources if source.id == target)
        load = target.removesuffix(".panel") if port.kind == "panel" else target
        yield k, _circuit(net, k, port.amps, starts[port.plus].id, load, port.part, posts)


def _circuit(
    net: Flow, k: int, amps: float, wire: str, target: str, giver: str, posts: float, diode_v: float = 0.0
) -> CircuitFigure:
    """Return the circuit of a charging current that flows through port `k`."""
    loop = float(net.reduced.z[k, k])
    lost = loop * amps + diode_v
    shares = shares_of(net, k, amps)
    system_v = 24.0 if posts > 18.0 else 12.0
    port = replace(net.ports[k], amps=amps, watts=0.0, siemens=0.0)
    return CircuitFigure(
        id=wire,
        wire=wire,
        load=target,
        path="charging",
        feeder=giver,
        system_v=system_v,
        running_a=amps,
        start_a=None,
        start_s=None,
        loop_resistance_ohm=loop,
        drop_v=lost,
        drop_pct=100.0 * lost / system_v,
        drop_together_v=None,
        drop_run_v=None,
        start_drop_v=None,
        start_drop_pct=None,
        load_v=None,
        start_load_v=None,
        shares=shares,
        steps=drop_steps(port, shares, posts - diode_v, posts, system_v, amps, None, None),
        unknown=unknown_fields(port, shares),
    )


def _link(
    wiring: Wiring, inputs: Inputs, builder: NetworkBuilder, stand: Standing, link: Link
) -> Iterator[Charge]:
    """Give the charge through one link: the other links stay open, the house battery takes what it may."""
    net = link_net(wiring, builder, stand, link)
    if net.reduced.reached[0]:
        amps = _link_amps(wiring, inputs, stand, link, float(net.reduced.z[0, 0]))
        volts = net.sources[0].volts
        wire = _link_wire(wiring, link)
        circuit = _circuit(net, 0, amps, wire, link.house, link.vehicle, volts, link.diode_v)
        yield _charge(circuit, net, np.nan_to_num(net.reduced.share[:, 0]) * amps, False)


def _link_amps(wiring: Wiring, inputs: Inputs, stand: Standing, link: Link, loop_ohm: float) -> float:
    """Return what a low battery, with those beside it, takes through a link for good. [A]

    The least of what the network gives at the alternator's highest volts, what the batteries may take, and
    all that the alternator gives when hot.
    """
    bank = next((one for one in banks(wiring, stand.closed) if link.house in one), (link.house,))
    phases, _ = phases_of(wiring, inputs, link.vehicle, worse="high")
    volts = max((phase.volts for phase in phases), default=0.0) - link.diode_v
    supply = Supply(wiring, inputs, bank, loop_ohm, hot_a(wiring, link.vehicle))
    return supply.taken(LOW_CHARGE_PCT, volts).amps


def link_net(wiring: Wiring, builder: NetworkBuilder, stand: Standing, link: Link) -> Flow:
    """Return the network with one link closed and all others open; its one port is the house battery."""
    others = {other.part for other in stand.links} - {link.part}
    closed = [contact for contact in closed_contacts(wiring) if contact.part not in others]
    if link.diode_v:
        closed += [way for way, _ in diodes_of(wiring) if {way.a, way.b} <= set(link.points)]
    return _link_flow(wiring, builder.branches(closed), link)


def _link_wire(wiring: Wiring, link: Link) -> str:
    """Return the run that the link's contact stands in; of a diode's runs that towards the house battery."""
    runs = list(wiring.runs.values())
    for flat in reversed(runs) if link.diode_v else runs:
        points = {point for piece in flat.pieces for point in (piece.a, piece.b)}
        if any(wiring.part_of(point) == link.part for point in points) and points & set(link.points):
            return flat.id
    return link.part


def _link_flow(wiring: Wiring, branches: Sequence[Branch], link: Link) -> Flow:
    """Return the network in which a closed link charges the house battery from the vehicle battery."""
    bottom = bank_minus(wiring, link.house)
    port = Port(link.house, link.house, "output", f"{link.house}.plus", bottom)
    volts = cruising_volts(wiring, link.vehicle) or posts_volts(wiring, link.vehicle)
    source = Source(link.vehicle, f"{link.vehicle}.plus", f"{link.vehicle}.minus", volts)
    return flow(branches, [source], [port])


def bank_minus(wiring: Wiring, battery: str) -> str:
    """Return the lowest minus of a bank in series that `battery` is the top of."""
    seen = {battery}
    while True:
        minus = f"{battery}.minus"
        below = None
        for piece in wiring.by_point.get(minus, ()):
            other = piece.b if piece.a == minus else piece.a
            part = wiring.part_of(other)
            if (
                part is not None
                and is_battery(wiring, part)
                and wiring.terminal_of(other) == "plus"
                and part not in seen
            ):
                below = part
        if below is None:
            return minus
        battery = below
        seen.add(below)


def lasting_charge(charges: Sequence[Charge]) -> dict[str, float]:
    """Return the lasting charging current of each branch: all solar with the largest other charger. [A]"""
    solar: dict[str, float] = {}
    other: dict[str, float] = {}
    for charge in charges:
        for id, amps in charge.amps.items():
            if charge.solar:
                solar[id] = solar.get(id, 0.0) + amps
            elif abs(amps) > abs(other.get(id, 0.0)):
                other[id] = amps
    return {id: abs(solar.get(id, 0.0)) + abs(other.get(id, 0.0)) for id in {*solar, *other}}
