"""Vans with something open, against ngspice: the network without that branch, loads as resistances."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.breaks_network import PROBE_S
from loomwright.circuit.network import Load, Network

from ..plans import random_plan
from .spice import spice_batch


@pytest.mark.parametrize("seed", [2, 5, 9])
def test_volts_of_loads_with_each_fourth_place_open(seed: int):
    network = assess(read_text(random_plan(seed, 30))).breaks.network
    siemens = dict(enumerate(network.net.siemens.tolist()))
    loads = {
        k: Load(f"load{k}", port.plus, port.minus, siemens=siemens[k])
        for k, port in enumerate(network.ports)
        if siemens[k] > PROBE_S
    }
    places = range(0, len(network.net.bridge), 4)
    nets = []
    for place in places:
        kept = [r for r, at in zip(network.resistors, network.net.place, strict=True) if at != place]
        nets.append(Network([*kept, *network.sources, *loads.values()]))
    compared = 0
    for place, volts in zip(places, spice_batch(nets, from_zero=True), strict=True):
        found = network.net.opened([place]).volts
        for k, load in loads.items():
            if volts is not None and load.plus in volts and load.minus in volts:
                assert found[k] == pytest.approx(volts[load.plus] - volts[load.minus], abs=1e-3)
                compared += 1
    assert compared > len(loads)
