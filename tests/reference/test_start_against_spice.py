"""A pump's start in time, in ngspice, against the steady sums that the program makes of it.

The program counts a start as its stated current, as if it lasted: copper, joints and battery are resistances.
ngspice runs the same van for a fifth of a second, with the inductance of the cable and, in the second test, a
motor that speeds up; the lowest volts that it finds are those that the steady sum has to foresee.
"""

from __future__ import annotations

import re
import subprocess

import numpy as np
import pytest

from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import PortLoads, alone, pairs, reduce_to_ports

#: Battery, feed that pump and lamps share, the pump's own wire, and the lamps. [Ω]
INNER, SHARED, OWN, LAMPS = 5e-3, 0.060, 0.040, 12.0 / 2.2
#: Inductance of some metres of cable beside its return. [H]
CABLE_H = 6e-6


def spice_least(pump: str, *more: str) -> dict[str, float]:
    """Return the lowest volts of lamps and pump and the highest current of the pump. [V, A]"""
    lines = [
        "start",
        "Vb posts0 0 12.0",
        f"Rb posts0 posts {INNER}",
        f"Rs posts s0 {SHARED}",
        f"Ls s0 shared {CABLE_H}",
        f"Ro shared o0 {OWN}",
        f"Lo o0 sense {CABLE_H}",
        "Vi sense pump 0",
        f"Rl shared 0 {LAMPS}",
        pump,
        *more,
        ".control",
        "tran 20u 200m uic" if more else "tran 20u 200m",
        "meas tran least_lamps MIN v(shared) from=1m to=200m",
        "meas tran least_pump MIN v(pump) from=1m to=200m",
        "meas tran most_amps MAX i(Vi) from=0 to=200m",
        "quit 0",
        ".endc",
        ".end",
    ]
    ran = subprocess.run(
        ["ngspice", "-b"], input="\n".join(lines), text=True, capture_output=True, check=False, timeout=60
    )
    found = dict(re.findall(r"^(least_\w+|most_amps)\s+=\s+(\S+)", ran.stdout, re.MULTILINE))
    assert len(found) == 3, ran.stdout + ran.stderr
    return {name: float(value) for name, value in found.items()}


def steady(start_a: float) -> tuple[float, float, float]:
    """Return the volts of the lamps before and in a start, and those of the pump in it, by the program."""
    wires = [
        Resistor("shared", "p", "s", SHARED),
        Resistor("own", "s", "pump", OWN),
    ]
    net = reduce_to_ports(wires, [Source("b", "p", "m", 12.0, INNER)], [("s", "m"), ("pump", "m")])
    zero = np.zeros(2)
    loads = PortLoads(zero, zero, np.array([1.0 / LAMPS, 0.0]))
    both = pairs(net, loads, np.array([0.0, start_a]))
    return float(alone(net, loads).volts[0]), float(both.volts[1, 0]), float(both.volts[1, 1])


def test_a_start_of_14_a_for_80_ms():
    """The current jumps in 2 ms to 14 A, stays for 80 ms and falls to 6 A: Mossgrove's pump."""
    pulse = "Ip pump 0 PULSE(6 14 20m 2m 2m 80m 1)"
    found = spice_least(pulse)
    before, lamps, pump = steady(14.0)
    assert found["most_amps"] == pytest.approx(14.0, abs=1e-3)
    assert lamps == pytest.approx(found["least_lamps"], abs=0.025)  # 24 mV: L dI/dt of the jump
    assert found["least_lamps"] <= lamps + 1e-6
    lamp_share = 1.0 / (1.0 + (INNER + SHARED) / LAMPS)
    assert before == pytest.approx(12.0 * lamp_share)
    assert pump == pytest.approx(12.0 - 14.0 * (INNER + SHARED + OWN))  # alone, as a start drop is judged
    assert 0.0 <= pump - found["least_pump"] < 0.2  # the lamps take a little more, and the jump


@pytest.mark.parametrize(("winding", "constant"), [(0.85, 0.08), (0.60, 0.06), (1.5, 0.10)])
def test_a_motor_that_speeds_up_dips_no_deeper_than_its_stalled_current(winding: float, constant: float):
    """A brushed motor: winding and inductance, volts that grow with its speed, a flywheel (as a capacitor).

    Its stalled current at 12 V is what a data sheet states. Wires and battery keep the real peak below that,
    so the steady dip lies on the safe side, and close to it.
    """
    inertia = 4e-6 / constant**2  # J / k², the capacitor that the back volts charge. [F]
    motor = f"Rm pump m0 {winding}"
    rest = (f"Lm m0 emf {0.2e-3}", f"Cj emf 0 {inertia * 1e1} ic=0", f"Rload emf 0 {12.0 / 5.0}")
    found = spice_least(motor, *rest)
    stalled = 12.0 / winding
    _, lamps, _ = steady(stalled)
    assert found["most_amps"] < stalled
    assert lamps <= found["least_lamps"] + 1e-3
    _, at_peak, _ = steady(found["most_amps"])
    assert at_peak == pytest.approx(found["least_lamps"], abs=0.12)
