"""Every example van in every mode, by night and in the sun: volts and currents against ngspice's.

Relays, switches and selectors stand as ours have settled; ngspice gets what they leave: resistances,
batteries, diodes, chargers with their limits and converters.
"""

from __future__ import annotations

import math

import pytest

from loomwright import assess, read_text
from loomwright.assessment.mode_network import Asked
from loomwright.circuit.answer import Solution
from loomwright.circuit.network import Converter, Load, Network, Resistor
from tests.reference.spice import largest_difference, spice_batch
from tests.scenarios.lines import VANS, text_of

WITHIN_V = 1e-6
Case = tuple[str, Network, Solution]


def cases() -> list[Case]:
    """Return each van's modes, without sun and with it."""
    found = []
    for van in VANS:
        job = assess(read_text(text_of(van, "")))
        for id, figure in job.modes.figures.items():
            for sun in (False, True):
                network, solution = job.flows.settled(job.flows.elements(figure, Asked(sun=sun)))
                if solution.works:
                    name = f"{van} {id}{' in the sun' if sun else ''}"
                    found.append((name, _without_dead_converters(network, solution), solution))
    return found


def _without_dead_converters(network: Network, solution: Solution) -> Network:
    """Return a network without converters that nothing feeds: ngspice's element would give all the same."""
    dead = {e.id for e in network.elements if isinstance(e, Converter) and solution.state[e.id] == "off"}
    return Network([e for e in network.elements if e.id not in dead])


@pytest.fixture(scope="module")
def all_cases() -> list[Case]:
    return cases()


def test_there_are_many_states(all_cases):
    assert len(all_cases) >= 50
    assert len({tuple(sorted(e.id for e in network.elements)) for _, network, _ in all_cases}) >= 20


def test_volts_are_alike(all_cases):
    networks = [network for _, network, _ in all_cases]
    assert largest_difference(networks, [solution for _, _, solution in all_cases]) < WITHIN_V


def test_currents_are_alike(all_cases):
    networks = [network for _, network, _ in all_cases]
    theirs = spice_batch(networks, [solution for _, _, solution in all_cases])
    compared = 0
    for (name, network, solution), volts in zip(all_cases, theirs, strict=True):
        assert volts is not None, name
        for element in network.elements:
            if isinstance(element, Resistor) and element.ohm > 1e-4:
                across = volts[element.a] - volts[element.b]
                assert solution.amps[element.id] == pytest.approx(across / element.ohm, abs=0.01), (
                    name,
                    element.id,
                )
                compared += 1
            if isinstance(element, Load) and element.watts and solution.amps[element.id]:
                across = volts[element.plus] - volts[element.minus]
                assert math.isclose(solution.amps[element.id] * across, element.watts, rel_tol=1e-6)
    assert compared > 1000
