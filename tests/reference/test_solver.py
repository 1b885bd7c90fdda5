"""The network solver against two programs that share nothing with it: ngspice and power-grid-model."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import power_grid_model as pgm
import pytest
from power_grid_model.errors import PowerGridError

from loomwright.circuit.answer import Solution
from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.solve import solve
from tests.circuit.networks import random_network
from tests.reference.spice import largest_difference, spice_batch

#: How closely the answers agree. [V]
SAME_V = 1e-6
#: A load of these networks of 12 V that is held has more. [V]
CRUMBS_V = 3.0


@pytest.mark.parametrize("valves", [False, True])
def test_random_networks_agree_with_ngspice(valves):
    """Rings, earths, 0 Ω joints, several sources and every kind of load; then all other elements as well."""
    networks = [random_network(random.Random(seed), valves=valves) for seed in range(500)]
    solutions = [solve(network) for network in networks]
    works = [k for k, solution in enumerate(solutions) if solution.works]
    assert len(works) > 450
    assert all(solutions[k].collapsed for k in set(range(500)) - set(works))
    assert largest_difference([networks[k] for k in works], [solutions[k] for k in works]) < SAME_V


def scaled(network: Network, factor: float) -> Network:
    """Return a network whose loads draw `factor` times their constant current and power."""
    return Network(
        [
            replace(element, amps=factor * element.amps, watts=factor * element.watts)
            if isinstance(element, Load)
            else element
            for element in network.elements
        ]
    )


def power_only(network: Network) -> Network:
    """Return a network whose loads draw constant power, which both programs mean alike near the limit."""
    return Network(
        [replace(e, amps=0.0, watts=e.watts + 5.0) if isinstance(e, Load) else e for e in network.elements]
    )


def at_the_limit(network: Network) -> Network:
    """Return a network scaled to the most that its sources can hold."""
    factor = 1.0
    while not (found := solve(scaled(network, factor)).collapsed):
        factor *= 2.0
    return scaled(network, factor * found[0].share)


def all_held(network: Network, volts: dict[str, float] | None) -> bool:
    """Tell whether every load has its power, and not the crumbs of a collapse."""
    loads = [element for element in network.elements if isinstance(element, Load)]
    return volts is not None and all(volts[load.plus] - volts[load.minus] > CRUMBS_V for load in loads)


def test_near_collapse_ngspice_says_the_same():
    """At 0.98 of the limit ngspice finds the high answer too, at 1.02 it finds none."""
    networks = [power_only(random_network(random.Random(seed), valves=False)) for seed in range(60)]
    limits = [at_the_limit(network) for network in networks]
    below, above = ([scaled(limit, factor) for limit in limits] for factor in (0.98, 1.02))
    held = [solve(network) for network in below]
    assert all(solution.works for solution in held)
    assert largest_difference(below, held) < SAME_V
    assert all(solve(network).collapsed for network in above)
    for network, volts in zip(above, spice_batch(above, held), strict=True):
        assert not all_held(network, volts)


def spread(chance: random.Random) -> Network:
    """Return a net of feeds against one earth, as power-grid-model can hold it."""
    nodes = chance.randint(3, 30)
    wires = [
        Resistor(f"wire{k}", f"n{chance.randrange(k)}", f"n{k}", chance.uniform(0.001, 0.05))
        for k in range(1, nodes)
    ]
    rings = [
        Resistor(f"ring{k}", *(f"n{number}" for number in chance.sample(range(nodes), 2)), 0.02)
        for k in range(chance.randint(0, 3))
    ]
    loads = [
        Load(
            f"load{k}",
            f"n{k}",
            "earth",
            chance.uniform(0, 2),
            chance.uniform(0, 15),
            chance.choice([0.0, 0.3]),
        )
        for k in range(1, nodes)
        if chance.random() < 0.7
    ]
    return Network([Source("battery", "n0", "earth", 12.6), *wires, *rings, *loads])


def pgm_volts(network: Network) -> dict[str, float] | None:
    """Return each node's volts against the earth by power-grid-model, or None if it finds no point."""
    volts = next(element.volts for element in network.elements if isinstance(element, Source))
    names = [node for node in network.nodes if node != "earth"]
    number = {name: k for k, name in enumerate(names)}
    data = {"node": _rows("node", id=list(number.values()), u_rated=[volts] * len(names))}
    wires = [element for element in network.elements if isinstance(element, Resistor)]
    count = len(names)
    data["line"] = _rows(
        "line",
        id=[count + k for k in range(len(wires))],
        from_node=[number[wire.a] for wire in wires],
        to_node=[number[wire.b] for wire in wires],
        r1=[wire.ohm for wire in wires],
        **{name: [1] * len(wires) for name in ("from_status", "to_status")},
        **{name: [0.0] * len(wires) for name in ("x1", "c1", "tan1")},
        i_n=[1e3] * len(wires),
    )
    count += len(wires)
    data["source"] = _rows(
        "source", id=[count], node=[number["n0"]], status=[1], u_ref=[1.0], sk=[1e18], rx_ratio=[1e3]
    )
    draws = [
        (number[load.plus], kind, power)
        for load in network.elements
        if isinstance(load, Load)
        for kind, power in (
            (pgm.LoadGenType.const_current, load.amps * volts),
            (pgm.LoadGenType.const_power, load.watts),
            (pgm.LoadGenType.const_impedance, load.siemens * volts**2),
        )
    ]
    data["sym_load"] = _rows(
        "sym_load",
        id=[count + 1 + k for k in range(len(draws))],
        node=[node for node, _, _ in draws],
        type=[kind for _, kind, _ in draws],
        p_specified=[power for _, _, power in draws],
        q_specified=[0.0] * len(draws),
        status=[1] * len(draws),
    )
    try:
        result = pgm.PowerGridModel(data).calculate_power_flow(error_tolerance=1e-12, max_iterations=50)
    except PowerGridError:
        return None
    return dict(zip(names, (result["node"]["u_pu"] * volts).tolist(), strict=True))


def _rows(component: str, **columns: list[float] | list[int]) -> np.ndarray:
    rows = pgm.initialize_array("input", component, len(next(iter(columns.values()))))
    for name, values in columns.items():
        rows[name] = values
    return rows


def difference(solution: Solution, volts: dict[str, float]) -> float:
    """Return by how much two answers differ at most. [V]"""
    return max(abs(solution.volts[node] - found) for node, found in volts.items())


def test_linear_and_constant_power_networks_agree_with_power_grid_model():
    for seed in range(300):
        network = spread(random.Random(seed))
        solution, volts = solve(network, references=["earth"]), pgm_volts(network)
        assert solution.works
        assert volts is not None
        assert difference(solution, volts) < SAME_V


def test_near_collapse_power_grid_model_says_the_same():
    for seed in range(40):
        network = spread(random.Random(seed))
        limit = at_the_limit(power_only(network))
        below, above = scaled(limit, 0.98), scaled(limit, 1.02)
        volts = pgm_volts(below)
        assert volts is not None
        assert difference(solve(below, references=["earth"]), volts) < SAME_V
        assert pgm_volts(above) is None
        assert solve(above).collapsed
