"""What an assessment records beside its figures: sums of resistances and feeders, whose current flows."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.record import Assessment
from loomwright.steps import evaluate
from tests.plans import random_plan
from tests.scenarios.lines import EXAMPLES, VANS

PLANS = [(EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8") for van in VANS]
PLANS += [random_plan(seed, 30) for seed in range(4)]


@pytest.fixture(params=PLANS, ids=[*VANS, *(f"random {k}" for k in range(4))])
def job(request: pytest.FixtureRequest) -> Assessment:
    return assess(read_text(request.param))


def test_each_resistance_works_out_again(job):
    ohms = [ohm for wire in job.wires.values() for ohm in wire.ohms]
    ohms += [share.ohm for circuit in job.circuits.values() for share in circuit.shares]
    summed = [ohm for ohm in ohms if ohm.sum is not None]
    assert summed
    for ohm in summed:
        assert evaluate(ohm.sum) == pytest.approx(ohm.ohm, rel=1e-12), ohm


def test_the_drop_of_a_run_works_out_again(job):
    checked = 0
    for wire in job.wires.values():
        if wire.drop_steps and wire.id == wire.run:
            for step in wire.drop_steps:
                assert evaluate(step) == pytest.approx(step.value, rel=1e-9, abs=1e-12), wire.id
            assert wire.drop_steps[-1].value == pytest.approx(wire.drop_v), wire.id
            checked += 1
    assert checked > 1


def test_whose_current_flows_makes_the_current(job):
    """All loads together, and what batteries drive against each other, are what a branch carries."""
    alone = any(abs(amps) > 1e-9 for amps in job.idle_a.values())
    for branch, amps in job.branch_a.items():
        by_load = job.through.by_load(branch)
        if not alone:
            assert sum(by_load.values()) == pytest.approx(amps, rel=1e-9, abs=1e-6), branch
    assert job.through.by_load("no such branch") == {}


def test_what_a_source_gives_is_what_is_taken(job):
    assert set(job.given_a) == set(job.drawn_a)
    for source, taken in job.given_a.items():
        assert sum(taken.values()) == pytest.approx(job.drawn_a[source], rel=1e-9, abs=1e-6), source


def test_a_dip_is_the_fall_of_the_volts_at_the_load(job):
    for circuit in job.circuits.values():
        for dip in circuit.dips:
            assert dip.before_v - dip.while_v == pytest.approx(dip.dip_v)
            for share in dip.shares:
                volts = share.ohm.ohm * share.part_of_current * share.felt * dip.start_a
                assert volts == pytest.approx(share.volts), (circuit.id, share)


def test_rings_of_a_stud_are_its_lugs(job):
    for stud in job.studs.values():
        assert len(stud.rings) == stud.lugs
        if stud.lugs == 1:
            assert stud.rings[0][1] == pytest.approx(stud.current_a, abs=1e-6), stud.id
        if stud.ohm is not None:
            assert stud.ohm.ohm * stud.current_a == pytest.approx(stud.volts_v, rel=1e-9), stud.id
