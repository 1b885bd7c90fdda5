"""The mains side against two programs that share nothing with it: ngspice at 50 Hz, and power-grid-model.

ngspice sweeps to the one frequency with resistors alone; then once more with the reactance of the cables, to
see what leaving it out costs.
"""

from __future__ import annotations

import math
import random
import re
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

import pytest

from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.mains.lead import Leg, cable_ohm, volts_along
from loomwright.mains.net import Fault, Link, Net, Node, solve
from tests.mains.nets import EARTH, LINE, NEUTRAL, inverter, random_net, two_legs, van
from tests.reference.test_solver import pgm_volts

#: Reactance of a core of flexible cable over its length, a generous figure. [Ω/m]
REACTANCE_OHM_PER_M = 0.1e-3
HERTZ = 50.0


def netlist(net: Net, extra: Sequence[Link], henry: float) -> tuple[str, dict[Node, str]]:
    """Write a net with its fault; each link that is no joint has `henry` in series."""
    number = {node: str(k) for k, node in enumerate(net.nodes)}  # the ground comes first and is ngspice's 0
    lines = ["net"]
    for k, link in enumerate((*net.links, *extra)):
        a, b = number[link.a], number[link.b]
        if link.ohm == 0.0:
            lines.append(f"V{k}j {a} {b} DC 0")
        elif henry:
            lines += [f"R{k} {a} m{k} {link.ohm!r}", f"L{k} m{k} {b} {henry!r}"]
        else:
            lines.append(f"R{k} {a} {b} {link.ohm!r}")
    for k, feed in enumerate(net.feeds):
        high, low = number[feed.high], number[feed.low]
        lines += [f"V{k}f f{k} {low} DC 0 AC {feed.volts!r}", f"R{k}f f{k} {high} {feed.ohm!r}"]
    return "\n".join([*lines, ".end", ""]), number


def at_50_hz(nets: Sequence[tuple[Net, Sequence[Link]]], henry: float = 0.0) -> list[dict[Node, complex]]:
    """Return the volts of every node by ngspice, all nets in one process."""
    with tempfile.TemporaryDirectory() as folder:
        control, numbers = ["batch", ".control", "set numdgt=13"], []
        for k, (net, extra) in enumerate(nets):
            text, number = netlist(net, extra, henry)
            numbers.append(number)
            path = Path(folder, f"{k}.cir")
            path.write_text(text, encoding="ascii")
            ask = [f"source {path}", f"ac lin 1 {HERTZ} {HERTZ}", f"echo circuit {k}", "print all"]
            control += [*ask, "destroy all", "remcirc"]
        control += ["echo circuit end", "quit 0", ".endc", ".end"]
        ran = subprocess.run(
            ["ngspice", "-b"],
            input="\n".join(control),
            text=True,
            capture_output=True,
            check=True,
            timeout=60,
        )
    parts = re.split(r"^circuit (?:\d+|end)$", ran.stdout, flags=re.MULTILINE)[1:-1]
    assert len(parts) == len(nets), ran.stdout + ran.stderr
    return [_read(part, number) for part, number in zip(parts, numbers, strict=True)]


def _read(printed: str, number: dict[Node, str]) -> dict[Node, complex]:
    found = {
        name: complex(float(real), float(imaginary))
        for name, real, imaginary in re.findall(r"^v\((\d+)\) = (\S+?),\s*(\S+)$", printed, re.MULTILINE)
    }
    return {node: found[name] for node, name in number.items() if name != "0"}


def with_fault(net: Net, chance: random.Random) -> tuple[Net, Fault]:
    return net, Fault("fault", *chance.sample(net.nodes, 2), chance.choice((0.01, 1.0, 50.0)))


FAULTS = [
    (van(), Fault("fault", LINE, EARTH, 0.01)),
    (van(reversed_supply=True), Fault("fault", NEUTRAL, EARTH, 0.5)),
    (van(electrode_ohm=120.0), Fault("fault", LINE, EARTH, 0.01)),
    (van(lost=("lead.earth",)), Fault("fault", LINE, EARTH, 0.01)),
    (inverter(bonded=True, most_a=None), Fault("fault", LINE, EARTH, 0.01)),
    (two_legs(lost_neutral=True), Fault("fault", ("board", "line"), ("board", "neutral"), 1.0)),
]


def test_faults_agree_with_ngspice():
    """60 random nets and those of the other tests; where tyres of 10 MΩ hold a body, ngspice loses digits."""
    chance = random.Random(7)
    cases = [*FAULTS, *(with_fault(random_net(chance), chance) for _ in range(60))]
    for (net, fault), theirs in zip(cases, at_50_hz([(n, [Link(*f)]) for n, f in cases]), strict=True):
        ours = solve(net, fault)
        for node, volts in theirs.items():
            assert volts.imag == pytest.approx(0.0, abs=1e-9)
            assert ours.volts[node] == pytest.approx(volts.real, abs=1e-5)
        assert ours.amps["fault"] * fault.ohm == pytest.approx(
            ours.volts[fault.a] - ours.volts[fault.b], abs=1e-9
        )


def test_reactance_of_the_cables_changes_a_loop_by_little():
    """25 m of lead with 0.1 mΩ/m a core: the current of a dead short at the socket falls by under 1 %."""
    henry = REACTANCE_OHM_PER_M * 25.0 / (2.0 * math.pi * HERTZ)
    net, fault = FAULTS[0]
    (theirs,) = at_50_hz([(net, [Link(*fault)])], henry)
    amps = abs(theirs[LINE] - theirs[EARTH]) / abs(complex(fault.ohm, REACTANCE_OHM_PER_M * 25.0))
    assert 0.99 < amps / solve(net, fault).amps["fault"] < 1.0


def test_drops_with_constant_watts_agree_with_power_grid_model():
    """Lead, the van's cable and the last one to each socket; some lines can't bring what is asked of them."""
    chance = random.Random(11)
    collapsed = 0
    for _ in range(60):
        legs = [
            Leg(
                cable_ohm(chance.choice((1.0, 1.5, 2.5)), chance.uniform(2.0, 50.0)),
                chance.uniform(0.0, 3000.0),
            )
            for _ in range(chance.randint(1, 5))
        ]
        line = [Resistor(f"leg{k}", f"n{k}", f"n{k + 1}", leg.ohm) for k, leg in enumerate(legs)]
        loads = [Load(f"load{k}", f"n{k + 1}", "earth", watts=leg.watts) for k, leg in enumerate(legs)]
        theirs = pgm_volts(Network([Source("grid", "n0", "earth", 230.0), *line, *loads]))
        ours = volts_along(230.0, legs)
        assert (theirs is None) == (ours is None)
        collapsed += ours is None
        if theirs is not None and ours is not None:
            assert ours == pytest.approx([theirs[f"n{k + 1}"] for k in range(len(legs))], abs=1e-6)
    assert 0 < collapsed < 30


def test_more_watts_than_a_line_can_bring():
    """U²/4R is the most; both programs find no volts above it."""
    ohm = cable_ohm(1.5, 50.0)
    most = 230.0**2 / (4.0 * ohm)
    at_most = volts_along(230.0, [Leg(ohm, 0.98 * most)])
    assert at_most is not None
    assert at_most[0] == pytest.approx(115.0 * (1.0 + math.sqrt(0.02)), rel=1e-6)
    assert volts_along(230.0, [Leg(ohm, 1.02 * most)]) is None
