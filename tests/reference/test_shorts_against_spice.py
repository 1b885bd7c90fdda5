"""Shorts along wires of a van in all its modes: our closed form against ngspice, which has the bolt itself.

ngspice gets the wire in two halves with an ideal bolt between, and what limits itself as a source of current.
"""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.assessment.along_layout import laid_out
from loomwright.assessment.faults import state_of
from loomwright.assessment.short_network import ShortBuilder, ShortNetwork, State
from loomwright.circuit.along import Grid
from loomwright.circuit.network import Element, Limited, Network, Resistor, Source
from tests.reference.spice import spice_batch
from tests.scenarios.lines import checked

VAN = "alderford"
#: What gives a held current in ngspice needs volts to give it at. [V]
PLENTY_V = 100.0


def split(net: ShortNetwork, wire: str, at: float, minus: str) -> Network:
    """Return the network with a wire bolted to a point, so far along it."""
    elements: list[Element] = [*net.sources]
    for one in net.resistors:
        if one.id == f"{wire}:":
            elements.append(Resistor("near", one.a, "chafe", at * one.ohm))
            elements.append(Resistor("rest", "chafe", one.b, (1.0 - at) * one.ohm))
        else:
            elements.append(one)
    elements += [
        Limited(f"given {k}", one.plus, one.minus, PLENTY_V, one.amps) for k, one in enumerate(net.given)
    ]
    return Network([*elements, Source("bolt", "chafe", minus, 0.0)])


def into_the_bolt(network: Network, volts: dict[str, float]) -> float:
    """Return what flows from the wire into the bolt. [A]"""
    halves = [e for e in network.elements if isinstance(e, Resistor) and e.id in ("near", "rest")]
    return sum((volts[e.a if e.id == "near" else e.b] - volts["chafe"]) / e.ohm for e in halves)


def ours(
    net: ShortNetwork, wires: list[str], length_m: dict[str, float]
) -> dict[str, list[tuple[float, float]]]:
    """Return by wire (part of the way, current to the body) at every metre of it."""
    layout = laid_out(checked(VAN).assessment.wiring, length_m, set(wires))
    ohm = {one.id: one.ohm for one in net.resistors}
    grid = Grid(net.resistors, net.sources, layout.points, net.given)
    body = next(iter(layout.touches(ohm)))
    volts, loop = grid.across(layout.plus(ohm), body.places)
    amps = volts / loop
    found = {}
    for piece in layout.pieces:
        span = layout.spans[piece.id]
        found[piece.id] = list(zip(layout.at[span].tolist(), amps[span].tolist(), strict=True))
    return found


def states() -> list[State]:
    """Return contacts as for the consumers, and every mode."""
    job = checked(VAN).assessment
    figures = job.modes.figures.values()
    return [State("", job.standing.closed), *(state_of(job.wiring, figure) for figure in figures)]


@pytest.mark.parametrize("most", [True, False], ids=["largest", "smallest"])
def test_every_mode(most: bool):
    """T1 and C4 in each state: over twenty places each time, to a millionth."""
    job = checked(VAN).assessment
    length_m = {wire.id: wire.length_m or 0.0 for wire in job.wires.values()}
    builder = ShortBuilder(*job.faults.of, most=most)
    networks, expected = [], []
    for state in states():
        net = builder.network(state)
        for wire, places in ours(net, ["T1", "C4"], length_m).items():
            for at, amps in places:
                if 0.0 < at < 1.0 and np.isfinite(amps):
                    networks.append(split(net, wire, at, "body"))
                    expected.append(amps)
    assert len(networks) > 20
    for network, amps, volts in zip(networks, expected, spice_batch(networks, from_zero=True), strict=True):
        assert volts is not None
        assert into_the_bolt(network, volts) == pytest.approx(amps, rel=1e-6)
