"""The network solver, against a circuit simulator started for the same network in the same run."""

from __future__ import annotations

import random
import subprocess
import time
from collections.abc import Callable

from loomwright.circuit.network import Diode, Element, Limited, Load, Network, Resistor, Source
from loomwright.circuit.ports import reduce_to_ports
from loomwright.circuit.solve import solve
from tests.reference.spice import netlist


def bench() -> list[tuple[str, float, str]]:
    """Return the rows of this module."""
    plain, valves = van(60, loads=25), van(60, loads=25, valves=True)
    ours, peer = _ms(lambda: solve(plain)), _ms(lambda: _ngspice(plain), times=10)
    wires = [element for element in van(250, loads=60).elements if isinstance(element, Resistor)]
    batteries = [Source("battery", "n1", "n0", 12.7, 0.004), Source("other", "n9", "n0", 12.6, 0.006)]
    ends = [(f"n{k}", "n0") for k in range(190, 250)]
    return [
        ("solve 60 nodes, 25 loads", ours, "ms"),
        ("ngspice, the same as a process", peer, "ms"),
        ("ngspice's process / our solve", peer / ours, "x"),
        ("solve 60 nodes with diodes, charger, panel", _ms(lambda: solve(valves)), "ms"),
        ("reduce 250 nodes to 60 loads", _ms(lambda: reduce_to_ports(wires, batteries, ends)), "ms"),
    ]


def van(nodes: int, loads: int, valves: bool = False) -> Network:
    """Return a network of the size and shape of a van's, the same on every run; n0 is its earth."""
    chance = random.Random(nodes)
    elements: list[Element] = [
        Resistor(f"w{k}", f"n{chance.randrange(max(1, k - 12), k) if k > 1 else 0}", f"n{k}", _ohm(chance))
        for k in range(2, nodes)
    ]
    elements += [Source("battery", "n1", "n0", 12.7, 0.004)]
    for k in range(nodes - loads, nodes):
        elements.append(
            Load(f"load{k}", f"n{k}", "n0", amps=chance.uniform(0, 2), watts=chance.uniform(0, 20))
        )
    if valves:
        elements += [
            Limited("charger", "n5", "n0", 14.2, 25.0, 0.002),
            Limited("panel", "p", "n0", 20.0, 8.0),
            Diode("diode", "p", "n7"),
            Source("vehicle", "v", "n0", 13.0, 0.006),
            Diode("split", "v", "n9", 0.5, 0.002),
        ]
    return Network(elements)


def _ohm(chance: random.Random) -> float:
    return 0.0 if chance.random() < 0.25 else chance.uniform(0.0002, 0.01)


def _ngspice(network: Network) -> None:
    control = ".control\nop\nprint all\nquit 0\n.endc\n.end"
    text = netlist(network).replace(".end", control)
    subprocess.run(["ngspice", "-b"], input=text, text=True, capture_output=True, check=True)


def _ms(work: Callable[[], object], times: int = 50) -> float:
    """Return the shortest time of several runs. [ms]"""
    best = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best * 1e3
