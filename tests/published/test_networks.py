"""Network examples of textbooks and trade courses: figures as printed, to half the last digit."""

from __future__ import annotations

import pytest

from loomwright.circuit.network import Load, Network, Resistor, Source
from loomwright.circuit.solve import solve


def test_two_sources_two_loops():
    """OpenStax, College Physics 2e, section 21.3, Example 21.5 (eq. 21.54 to 21.67).

    The printed circuit has three branches between points a and e: 6.0 Ω; 3.0 Ω with 18 V; 2.0 Ω with 45 V
    (each source's own resistance in its branch). Printed: I1 = 4.75 A, I2 = -3.50 A, I3 = 8.25 A.
    """
    network = Network(
        [
            Resistor("R1", "e", "a", 6.0),
            Source("18 V", plus="e", minus="a", volts=18.0, ohm=3.0),
            Source("45 V", plus="e", minus="a", volts=45.0, ohm=2.0),
        ]
    )
    printed_a = {"R1": 4.75, "18 V": -3.50, "45 V": 8.25}
    assert solve(network).amps == pytest.approx(printed_a, abs=0.005)


@pytest.mark.parametrize(("joint_ohm", "printed_v"), [(0.01, 2.0), (0.02, 4.0)])
def test_starter_current_through_a_poor_joint(joint_ohm, printed_v):
    """A trade course's handout on starting circuits: 200 A through 0.01 Ω, then 0.02 Ω (one source)."""
    battery = Source("battery", "post", "minus", volts=12.6)
    starter = Load("starter", "lug", "minus", amps=200.0)
    solution = solve(Network([battery, Resistor("joint", "post", "lug", joint_ohm), starter]))
    assert solution.across("post", "lug") == pytest.approx(printed_v, abs=0.05)


def bridge(fourth_ohm: float, middle_ohm: float) -> float:
    """Return the volts across the middle of a bridge on 12 V. [V]"""
    arms = [("top", "left", 100.0), ("left", "bottom", 200.0), ("top", "right", 200.0)]
    wires = [Resistor(f"R{k}", a, b, ohm) for k, (a, b, ohm) in enumerate(arms, start=1)]
    wires += [Resistor("R4", "right", "bottom", fourth_ohm), Resistor("middle", "right", "left", middle_ohm)]
    return solve(Network([Source("battery", "top", "bottom", 12.0), *wires])).across("right", "left")


def test_wheatstone_bridge():
    """The bridge of every textbook (from memory): balanced when R1 / R2 = R3 / R4; its middle is then idle.

    Out of balance, seen from the middle, it is 12 (500 / 700 - 200 / 300) = 4/7 V behind 200/3 + 1000/7 Ω
    (the two halves in parallel), so that a middle of as many ohms takes half of it.
    """
    assert bridge(400.0, 50.0) == pytest.approx(0.0, abs=1e-12)
    assert bridge(500.0, 1e6) == pytest.approx(4 / 7, rel=1e-3)
    assert bridge(500.0, 200 / 3 + 1000 / 7) == pytest.approx(2 / 7)


def test_largest_power_of_a_source():
    """Matching (any textbook, from memory): at most V² / 4R, at half the volts and R as load.

    A source of 12 V and 0.5 Ω gives 72 W at 6 V and 12 A.
    """
    source = Source("battery", "plus", "minus", 12.0, 0.5)
    matched = solve(Network([source, Load("matched", "plus", "minus", siemens=2.0)]))
    assert (matched.across("plus", "minus"), matched.amps["matched"]) == pytest.approx((6.0, 12.0))
    assert solve(Network([source, Load("less", "plus", "minus", watts=71.99)])).works
    assert not solve(Network([source, Load("more", "plus", "minus", watts=72.01)])).works


def test_voltage_divider_loaded():
    """A divider of 1 kΩ and 1 kΩ on 10 V, loaded by 1 kΩ: 3.33 V (any textbook, from memory)."""
    divider = [
        Source("supply", "in", "0", 10.0),
        Resistor("upper", "in", "out", 1000.0),
        Resistor("lower", "out", "0", 1000.0),
        Resistor("load", "out", "0", 1000.0),
    ]
    assert solve(Network(divider)).across("out", "0") == pytest.approx(3.33, abs=0.005)
