"""Every example van and random vans with all loads on: our volts and currents against ngspice's.

ngspice solves the nodes of the whole network; ours are straight lines between the ports of the loads. They
share the list of resistances and nothing else.
"""

from __future__ import annotations

import pytest

from loomwright.assessment.solve import Solved
from tests.networks import network_of, runs, solved_van
from tests.plans import random_plan
from tests.reference.spice import spice_batch
from tests.scenarios.lines import VANS, text_of

WITHIN_V = 1e-6
#: No load of a van works below this. [V]
FLOOR_V = 6.0
RANDOM = [(seed, size) for seed in range(6) for size in (5, 8, 12, 20, 40)]


def theirs(vans: list[Solved]) -> list[dict[str, float] | None]:
    """Return the volts of every node of each van by ngspice."""
    return spice_batch([network_of(van) for van in vans], floor_v=FLOOR_V, from_zero=True)


def assert_same(solved: Solved, volts: dict[str, float] | None) -> int:
    """Compare the volts at every load and along every branch; return how many were compared."""
    assert volts is not None, "ngspice finds no working point"
    compared = 0
    for k, port in enumerate(solved.flow.ports):
        if runs(solved, k):
            across = volts[port.plus] - volts[port.minus]
            assert solved.together_v[k] == pytest.approx(across, abs=WITHIN_V), port.id
            compared += 1
    for branch, amps in zip(solved.flow.branches, solved.branch_a(), strict=True):
        if branch.ohm > 0.0:
            across = volts[branch.a] - volts[branch.b]
            assert branch.ohm * amps == pytest.approx(across, abs=WITHIN_V), branch.id
            compared += 1
    return compared


def test_example_vans():
    vans = [solved_van(text_of(van, "")) for van in VANS]
    for van, solved, volts in zip(VANS, vans, theirs(vans), strict=True):
        assert not solved.collapsed, van
        assert assert_same(solved, volts) > 5, van


def test_thirty_random_vans():
    vans = [solved_van(random_plan(seed, size)) for seed, size in RANDOM]
    assert len(vans) == 30
    compared = sum(assert_same(solved, volts) for solved, volts in zip(vans, theirs(vans), strict=True))
    assert compared > 1000
