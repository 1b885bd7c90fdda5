"""Random networks of a van's shape and harder: rings, earths, joints without resistance, every element."""

from __future__ import annotations

import random

from loomwright.circuit.network import (
    Converter,
    Diode,
    Element,
    Limited,
    Load,
    Network,
    Resistor,
    Source,
)


def random_network(chance: random.Random, valves: bool = True, demand: float = 1.0) -> Network:
    """Return a network with feeds n0, n1 ... and earths e0, e1 ...

    Parameters
    ----------
    chance : random.Random
        Where the choices come from.
    valves : bool
        With diodes, limited sources and converters.
    demand : float
        Scale of what the loads draw; about one network in ten collapses at 1. [-]
    """
    feeds = [f"n{k}" for k in range(chance.randint(4, 25))]
    earths = [f"e{k}" for k in range(max(2, len(feeds) // 3))]
    elements: list[Element] = []
    for name, nodes in (("feed", feeds), ("earth", earths)):
        elements += [
            Resistor(f"{name}{k}", nodes[chance.randrange(k)], nodes[k], _ohm(chance))
            for k in range(1, len(nodes))
        ]
    for k in range(chance.randint(0, 4)):
        elements.append(Resistor(f"ring{k}", chance.choice(feeds), chance.choice(feeds), _few_ohm(chance)))
    for k in range(chance.randint(1, 3)):
        ends = chance.choice(feeds), chance.choice(earths)
        elements.append(Source(f"battery{k}", *ends, chance.uniform(12.0, 13.5), _few_ohm(chance)))
    if chance.random() < 0.3:
        elements.append(Source("ideal", "post", earths[-1], 12.0))
        elements.append(Resistor("apart", "post", "far", 0.01))
        elements.append(Load("far", "far", earths[0], watts=10.0 * demand))
    for k in range(chance.randint(1, 12)):
        elements.append(_load(chance, f"load{k}", chance.choice(feeds), chance.choice(earths), demand))
    if valves:
        elements += _diodes(chance, feeds, earths, demand)
        elements += _limited(chance, feeds, earths)
        elements += _converters(chance, feeds, earths)
    chance.shuffle(elements)
    return Network(elements)


def _few_ohm(chance: random.Random) -> float:
    return float(10.0 ** chance.uniform(-3.0, -0.8))


def _ohm(chance: random.Random) -> float:
    return 0.0 if chance.random() < 0.25 else _few_ohm(chance)


def _load(chance: random.Random, name: str, plus: str, minus: str, demand: float) -> Load:
    kind = chance.random()
    amps = chance.uniform(0.0, 6.0) * demand if kind < 0.5 else 0.0
    watts = chance.uniform(0.0, 60.0) * demand if kind > 0.3 else 0.0
    return Load(name, plus, minus, amps, watts, chance.choice([0.0, 0.0, 0.0, chance.uniform(0.0, 0.5)]))


def _diodes(chance: random.Random, feeds: list[str], earths: list[str], demand: float) -> list[Element]:
    elements: list[Element] = []
    for k in range(chance.randint(0, 4)):
        bar = chance.choice([f"bar{k}", chance.choice(feeds)])
        for name in ("diode", "other")[: chance.randint(1, 2)]:
            drop = chance.uniform(0.2, 0.8)
            elements.append(Diode(f"{name}{k}", chance.choice(feeds), bar, drop, _few_ohm(chance)))
        elements.append(_load(chance, f"behind{k}", bar, chance.choice(earths), demand / 2.0))
    return elements


def _limited(chance: random.Random, feeds: list[str], earths: list[str]) -> list[Element]:
    return [
        Limited(
            f"charger{k}",
            chance.choice(feeds),
            chance.choice(earths),
            chance.uniform(11.5, 14.8),
            chance.uniform(1.0, 40.0),
            chance.choice([0.0, _few_ohm(chance)]),
        )
        for k in range(chance.randint(0, 3))
    ]


def _converters(chance: random.Random, feeds: list[str], earths: list[str]) -> list[Element]:
    elements: list[Element] = []
    for k in range(chance.randint(0, 3)):
        into = chance.choice(feeds), chance.choice(earths)
        efficiency, idle = chance.uniform(0.8, 0.97), chance.choice([0.0, chance.uniform(0.0, 0.5)])
        if chance.random() < 0.5:
            out = chance.choice(feeds), chance.choice(earths)
            volts = chance.uniform(11.5, 14.8)
        else:
            out = f"out{k}", chance.choice([earths[0], f"return{k}"])
            volts = chance.choice([5.0, 24.0, 230.0])
            elements.append(Load(f"fed{k}", *out, chance.uniform(0.0, 0.4), chance.uniform(0.0, 8.0)))
            if chance.random() < 0.3:
                elements.append(Source(f"second{k}", *out, volts * chance.uniform(0.9, 1.05), 0.2))
        elements.append(
            Converter(f"converter{k}", *into, *out, volts, chance.uniform(2.0, 12.0), efficiency, idle)
        )
    return elements
