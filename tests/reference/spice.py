"""The same networks in ngspice, a circuit simulator that shares nothing with ours but the records.

Each node sum, diode, limit and constant-power load is written as ngspice's own elements and behavioural
sources; `.op` finds the working point. Many circuits go through one process.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Sequence
from math import inf
from pathlib import Path

from loomwright.circuit.answer import Solution
from loomwright.circuit.network import (
    Converter,
    Diode,
    Element,
    Limited,
    Load,
    Network,
    Resistor,
    Source,
    terminals,
)

#: Below these volts a constant-power load draws no more current, so that ngspice can start from nothing. [V]
FLOOR_V = 1.0
#: ngspice is not made for thousands of circuits in a row. [-]
PER_PROCESS = 50
#: Answers that differ by more are asked for again. [V]
LOST_DIGITS_V = 1e-7
OPTIONS = ".options reltol=1e-9 vntol=1e-12 abstol=1e-12 itl1=1000"


def spice_volts(network: Network, guess: Solution | None = None) -> dict[str, float] | None:
    """Return each node's volts against the reference that ngspice was given, or None if it found no point.

    Parameters
    ----------
    network : Network
        References are the minus of the first source of each island, as `solve` chooses them.
    guess : Solution | None
        Where ngspice starts; by default from the volts of the highest source everywhere.
    """
    return spice_batch([network], [guess])[0]


def spice_batch(
    networks: Sequence[Network],
    guesses: Sequence[Solution | None] | None = None,
    *,
    pivot: float = 0.5,
    floor_v: float = FLOOR_V,
    from_zero: bool = False,
) -> list[dict[str, float] | None]:
    """Solve many networks, many in one process; as `spice_volts`.

    `pivot` is how large a pivot has to be against the largest it could be. `from_zero` gives ngspice no start
    values: it orders its matrix by them, and with several ideal sources that order costs it millivolts.
    `floor_v` is then to lie well under the volts of any load that works.
    """
    starts = guesses or [None] * len(networks)
    texts = [
        netlist(network, start, pivot=pivot, floor_v=floor_v, from_zero=from_zero)
        for network, start in zip(networks, starts, strict=True)
    ]
    printed = [
        part for k in range(0, len(texts), PER_PROCESS) for part in _one_process(texts[k : k + PER_PROCESS])
    ]
    return [_read(part, network) for part, network in zip(printed, networks, strict=True)]


def largest_difference(networks: Sequence[Network], solutions: Sequence[Solution]) -> float:
    """Return by how much a node's volts in `solutions` differ from ngspice's at most. [V]

    ngspice settles the order of its pivots while it still holds the nodes at their first guess. Now and then
    an order is unlucky later and digits are lost; then it is asked again with other pivots. Nodes that no
    source reaches are left out: their volts are nobody's.
    """
    left = list(range(len(networks)))
    for pivot in (0.5, 0.9, 0.001):
        found = spice_batch([networks[k] for k in left], [solutions[k] for k in left], pivot=pivot)
        differs = dict(zip(left, map(_difference, found, [solutions[k] for k in left]), strict=True))
        left = [k for k in left if differs[k] > LOST_DIGITS_V]
        if not left:
            return max(differs.values())
    return max(differs.values())


def _difference(found: dict[str, float] | None, solution: Solution) -> float:
    if found is None:
        return inf
    reached = found.keys() - set(solution.unfed_nodes)
    return max((abs(found[node] - solution.volts[node]) for node in reached), default=0.0)


def _one_process(texts: Sequence[str]) -> list[str]:
    """Return what ngspice prints for each netlist; nothing for one that makes it fall over."""
    with tempfile.TemporaryDirectory() as folder:
        control = ["batch", ".control", "set numdgt=13"]
        for k, text in enumerate(texts):
            path = Path(folder, f"{k}.cir")
            path.write_text(text, encoding="ascii")
            control += [f"source {path}", "op", f"echo circuit {k}", "print all", "destroy all", "remcirc"]
        control += ["echo circuit end", "quit 0", ".endc", ".end"]
        ran = subprocess.run(
            ["ngspice", "-b"],
            input="\n".join(control),
            text=True,
            capture_output=True,
            check=False,
            timeout=60,
        )
    if ran.returncode:
        return [""] if len(texts) == 1 else [part for text in texts for part in _one_process([text])]
    parts = re.split(r"^circuit (?:\d+|end)$", ran.stdout, flags=re.MULTILINE)[1:-1]
    assert len(parts) == len(texts), ran.stdout + ran.stderr
    return parts


def netlist(
    network: Network,
    guess: Solution | None = None,
    *,
    pivot: float = 0.5,
    floor_v: float = FLOOR_V,
    from_zero: bool = False,
) -> str:
    """Write a network as a netlist; nodes are numbered, references are ngspice's node 0."""
    node = _nodes(network)
    lines = ["network"]
    for k, element in enumerate(network.elements):
        lines += _lines(k, element, [node[name] for name in terminals(element)], floor_v)
    held = {node[name] for e in network.elements if _holds(e, guess) for name in terminals(e)}
    lines += [f"Rleak{name} {name} 0 1e11" for name in sorted(set(node.values()) - held - {"0"})]
    for name, volts in ({} if from_zero else _start(network, node, guess)).items():
        lines.append(f".nodeset v({name})={_figure(volts)}")
    return "\n".join([*lines, f"{OPTIONS} pivrel={pivot}", ".end", ""])


def _holds(element: Element, guess: Solution | None) -> bool:
    """Tell whether an element settles the volts of its nodes; a node with none of them needs a leak."""
    if isinstance(element, Resistor | Source):
        return True
    return guess is not None and abs(guess.amps[element.id]) > 0.0


def _start(network: Network, node: dict[str, str], guess: Solution | None) -> dict[str, float]:
    """Return where each unknown of ngspice starts."""
    if guess is None:
        highest = max(
            (abs(e.volts) for e in network.elements if isinstance(e, Source | Limited)), default=0.0
        )
        return dict.fromkeys((name for name in node.values() if name != "0"), highest)
    start = {node[name]: volts for name, volts in guess.volts.items() if node[name] != "0"}
    for k, element in enumerate(network.elements):
        if isinstance(element, Diode):
            a, b, emf, most = element.a, element.k, -element.drop_v, inf
        elif isinstance(element, Limited | Converter):
            *_, b, a = terminals(element)
            emf, most = element.volts, element.max_a
        else:
            continue
        amps, drive = guess.amps[element.id], guess.volts[a] - guess.volts[b] + emf
        beyond = drive - getattr(element, "ohm", 0.0) * amps
        start[f"u{k}"] = amps + (beyond if amps == 0.0 or amps > most - 1e-9 else 0.0)
    return start


def _lines(k: int, element: Element, nodes: Sequence[str], floor_v: float) -> list[str]:
    """Write one element."""
    p, q = nodes[:2]
    across = f"V({p},{q})"
    match element:
        case Resistor(ohm=0.0):
            return []
        case Resistor(ohm=ohm):
            return [f"R{k} {p} {q} {_figure(ohm)}"]
        case Source(volts=volts, ohm=0.0):
            return [f"V{k} {p} {q} {_figure(volts)}"]
        case Source(volts=volts, ohm=ohm):
            return [f"V{k} m{k} {q} {_figure(volts)}", f"R{k} m{k} {p} {_figure(ohm)}"]
        case Load(amps=amps, watts=watts, siemens=siemens):
            demand = f"{_figure(amps)}*min(1,max(0,{across}/{floor_v}))"
            demand += f"+{_figure(watts)}*({across}>{floor_v} ? 1/{across} : max(0,{across})/{floor_v**2})"
            return [f"B{k} {p} {q} I={demand}"] + (
                [f"R{k} {p} {q} {_figure(1 / siemens)}"] if siemens else []
            )
        case Diode(drop_v=drop, ohm=ohm):
            return _valve(k, p, q, -drop, ohm, "1e9")
        case Limited(volts=volts, ohm=ohm, max_a=most):
            return _valve(k, q, p, volts, ohm, _figure(most))
        case Converter(volts=volts, efficiency=efficiency, idle_a=idle, max_a=most):
            power = f"V({nodes[2]},{nodes[3]})*min({_figure(most)},max(0,V(u{k})))/{_figure(efficiency)}"
            draws = f"{power}/max({across},{floor_v})+{_figure(idle)}*min(1,max(0,{across}))"
            return [*_valve(k, nodes[3], nodes[2], volts, 0.0, _figure(most)), f"B{k}i {p} {q} I={draws}"]


def _valve(k: int, a: str, b: str, emf: float, ohm: float, most: str) -> list[str]:
    """Write what drives a current from a to b by an emf, one way and up to a limit.

    An extra unknown u runs along its characteristic: inside the limits it is the current, outside it is how
    far the volts are from allowing more or less. So nothing in it is steep.
    """
    amps = f"min({most},max(0,V(u{k})))"
    return [
        f"B{k} {a} {b} I={amps}",
        f"B{k}u 0 u{k} I=V({a},{b})+{_figure(emf)}-{_figure(ohm)}*{amps}-(V(u{k})-{amps})",
    ]


def _figure(value: float) -> str:
    return repr(float(value))


def _nodes(network: Network) -> dict[str, str]:
    """Give every node its number: joined by 0 Ω means the same, and one node of each island is 0."""
    same, island = _Groups(), _Groups()
    for element in network.elements:
        nodes = terminals(element)
        for k in range(0, len(nodes), 2):
            island.join(nodes[k], nodes[k + 1])
            same.join(
                nodes[k], nodes[k + 1] if isinstance(element, Resistor) and element.ohm == 0.0 else nodes[k]
            )
    reference: dict[str, str] = {}
    sources = [e.minus for e in network.elements if isinstance(e, Source)]
    sources += [terminals(e)[-1] for e in network.elements if isinstance(e, Limited | Converter)]
    for node in (*sources, *network.nodes):
        reference.setdefault(island.of(node), same.of(node))
    numbers: dict[str, str] = dict.fromkeys(reference.values(), "0")
    return {node: numbers.setdefault(same.of(node), f"n{len(numbers)}") for node in network.nodes}


class _Groups:
    """Names that belong together."""

    def __init__(self) -> None:
        self._next: dict[str, str] = {}

    def of(self, name: str) -> str:
        while (ahead := self._next.setdefault(name, name)) != name:
            name = ahead
        return name

    def join(self, one: str, other: str) -> None:
        self._next[self.of(one)] = self.of(other)


def _read(printed: str, network: Network) -> dict[str, float] | None:
    """Read what `print all` wrote."""
    found = {name: float(value) for name, value in re.findall(r"^(n\d+) = (\S+)$", printed, re.MULTILINE)}
    node = _nodes(network)
    if any(name != "0" and name not in found for name in node.values()):
        return None
    return {name: found.get(number, 0.0) for name, number in node.items()}
