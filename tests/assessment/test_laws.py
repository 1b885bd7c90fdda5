"""What holds in any van, whatever is in it: on random plans and on the example vans."""

from __future__ import annotations

import math
import re
from collections import defaultdict

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright import PlanError, assess, check, read_text
from loomwright.assessment.record import Assessment
from loomwright.assessment.solve import Solved
from loomwright.documents.report import is_listed
from loomwright.steps import Step, evaluate
from tests.networks import solved_van
from tests.plans import AREAS, big_plan, random_plan, with_circuit_inserted
from tests.scenarios.lines import VANS, checked, text_of

EXAMPLES = [pytest.param(text_of(van, ""), id=van) for van in VANS]
SEEDS = [
    pytest.param(random_plan(seed, size), id=f"{seed}-{size}")
    for seed, size in enumerate((5, 12, 25, 50) * 5)
]
PLANS = [*EXAMPLES, *SEEDS]
SMALL = """loomwright: 1
title: Small
region: eu
studs: {{E1: {{place: here}}}}
places: {{here: {{}}}}
parts:
  leisure: {{kind: battery, chemistry: agm, capacity: 90 Ah}}
  lamp: {{kind: lamp, running: 1 A}}
wiring:
  {}
"""
#: Sums leave this much behind. [A, V]
DUST = 1e-7

seeds, sizes = st.integers(0, 10**6), st.integers(5, 40)


@given(seeds, sizes)
@settings(max_examples=20)
def test_every_van_is_checked(seed, size):
    report = check(read_text(random_plan(seed, size)))
    assert report.as_text()
    assert len([w for w in report.assessment.wires.values() if is_listed(w)]) >= size


@pytest.mark.parametrize(("seed", "size"), [(0, 100), (1, 100), (0, 200), (4, 200)])
def test_large_vans_are_checked(seed, size):
    report = check(read_text(random_plan(seed, size)))
    assert len([w for w in report.assessment.wires.values() if is_listed(w)]) >= size


@given(seeds, sizes, st.randoms(use_true_random=False))
@settings(max_examples=30)
def test_a_van_with_slips_is_checked_or_refused(seed, size, chance):
    """Half-typed and mistyped plans: runs are missing, and ends of runs are swapped."""
    head, wiring = random_plan(seed, size).split("\nwiring:\n")
    runs = [run for run in wiring.splitlines() if chance.random() < 0.7]
    ends = [found for run in runs for found in re.findall(r"(?:from|to): ([\w.]+)", run)]
    for k in chance.sample(range(len(runs)), min(3, len(runs))):
        word = chance.choice(["from: ", "to: "])
        runs[k] = re.sub(word + r"[\w.]+", word + chance.choice(ends), runs[k], count=1)
    try:
        plan = read_text(f"{head}\nwiring:\n" + "\n".join(runs) + "\n" if runs else f"{head}\n")
    except PlanError:
        return
    assert check(plan).as_text()


def test_a_minus_may_come_from_the_body():
    earth = "earth: {from: body, to: leisure.minus, area: 16 mm², length: 0.4 m}"
    lamp = "C1: {from: leisure.plus, fuse: 5 A, to: lamp, area: 1 mm², length: 2 m, return: {to: E1}}"
    job = check(read_text(SMALL.format(f"{earth}\n  {lamp}")))
    assert job.assessment.loads["lamp"].fed
    assert [(f.rule, f.where) for f in job.findings] == [("stud_not_named", "earth")]


@pytest.mark.parametrize("parts", ["{}", "{a: {kind: lamp}, b: {kind: lamp}}", "{b: {kind: busbar}}"])
def test_a_plan_without_wiring_is_checked(parts):
    plan = read_text(f"loomwright: 1\ntitle: Bare\nregion: eu\nparts: {parts}\n")
    assert {finding.rule for finding in check(plan).findings} <= {"not_wired"}


def test_big_plan_is_as_big_as_it_says():
    job = assess(read_text(big_plan()))
    assert len(job.circuits) >= 60
    assert len([wire for wire in job.wires.values() if is_listed(wire)]) >= 200


# Currents


@pytest.mark.parametrize("text", PLANS)
def test_node_currents_sum_to_zero(text):
    solved = solved_van(text)
    net = solved.flow
    assert_no_current_is_lost(solved, solved.branch_a(), np.nan_to_num(solved.together_a))
    for k in np.flatnonzero(net.reduced.live):
        alone = np.zeros(len(net.ports))
        alone[k] = np.nan_to_num(solved.alone_a[k])
        assert_no_current_is_lost(solved, solved.alone_branch_a()[:, k], alone)


def assert_no_current_is_lost(solved: Solved, branch_a: np.ndarray, port_a: np.ndarray) -> None:
    """Add up what flows into each node by branches, sources and loads."""
    net, into = solved.flow, defaultdict(float)
    for branch, amps in zip(net.branches, branch_a, strict=True):
        into[branch.a] -= amps
        into[branch.b] += amps
    for port, amps in zip(net.ports, port_a, strict=True):
        into[port.plus] -= amps
        into[port.minus] += amps
    given_a = np.nan_to_num(net.reduced.source_share) @ port_a + np.nan_to_num(net.reduced.source_b0)
    for source, amps in zip(net.sources, given_a, strict=True):
        into[source.plus] += amps
        into[source.minus] -= amps
    assert max(abs(amps) for amps in into.values()) < DUST


@given(seeds, sizes, st.integers(0, 99))
@settings(max_examples=30)
def test_more_copper_never_drops_more(seed, size, pick):
    text = random_plan(seed, size, autos=False, pinned=True)
    typed = list(re.finditer(r"area: (\d+(?:\.\d+)?) mm²", text))
    places = [found for found in typed if found[1] in AREAS[:-1]]
    assume(places)
    place = places[pick % len(places)]
    larger = AREAS[AREAS.index(place[1]) + 1]
    thicker = text[: place.start(1)] + larger + text[place.end(1) :]
    before, after = assess(read_text(text)), assess(read_text(thicker))
    assert set(before.circuits) == set(after.circuits)
    for id, circuit in before.circuits.items():
        if circuit.load != "converter":  # a heater behind it gets more volts, and takes more through it
            assert after.circuits[id].drop_v <= circuit.drop_v + DUST, id


# Names and neighbours


@given(seeds, sizes, st.integers(0, 10**3))
@settings(max_examples=30)
def test_an_inserted_circuit_renames_and_moves_nothing(seed, size, at):
    text = random_plan(seed, size, autos=False, pinned=True)
    before, after = assess(read_text(text)), assess(read_text(with_circuit_inserted(text, at)))
    assert set(after.wires) - set(before.wires) == {"new_1", "new_1.return"}
    assert set(before.wires) <= set(after.wires)
    for id, circuit in before.circuits.items():
        if circuit.load == "converter":  # its own input carries the new lamp too
            continue
        same = after.circuits[id]
        for name in ("running_a", "drop_v", "start_drop_v", "loop_resistance_ohm"):
            assert getattr(same, name) == pytest.approx(getattr(circuit, name), abs=1e-9), f"{id} {name}"


# Chains of sums


def steps_of(job: Assessment) -> list[Step]:
    steps = [step for circuit in job.circuits.values() for step in circuit.steps]
    return steps + [step for wire in job.wires.values() for step in wire.rating_steps]


@pytest.mark.parametrize("text", PLANS)
def test_every_step_gives_its_printed_value_again(text):
    steps = steps_of(assess(read_text(text)))
    assert len(steps) > 5
    for step in steps:
        assert evaluate(step) == pytest.approx(step.value, rel=1e-9, abs=1e-12), step


@pytest.mark.parametrize("text", PLANS)
def test_a_chain_ends_on_the_figure_it_is_for(text):
    job = assess(read_text(text))
    for circuit in job.circuits.values():
        chain = {step.symbol: step.value for step in circuit.steps}
        assert chain["U"] == pytest.approx(circuit.drop_v, abs=1e-9), circuit.id
        if circuit.start_drop_v is not None:
            assert chain["U_s"] == pytest.approx(circuit.start_drop_v, abs=1e-9), circuit.id
    for wire in job.wires.values():
        if wire.rating_a is not None:
            assert wire.rating_steps[-1].value == pytest.approx(wire.rating_a), wire.id


@pytest.mark.parametrize("text", PLANS)
def test_shares_add_up_to_the_drop(text):
    job = assess(read_text(text))
    for circuit in job.circuits.values():
        total = sum(share.volts for share in circuit.shares)
        chain = {given.name: given.value for step in circuit.steps for given in step.inputs}
        against_each_other_v = chain["U_d"]  # of sources that are joined
        assert total + against_each_other_v == pytest.approx(circuit.drop_v, rel=1e-6, abs=1e-6), circuit.id


def test_shares_of_a_dip_add_up_to_it():
    """What Mossgrove's USB feels of its pump is 14 A in shared wire and earth, and in the battery's 5 mΩ."""
    usb = checked("mossgrove").assessment.circuits["W4.usb"]
    dip = next(dip for dip in usb.dips if dip.by_start_of == "pump")
    assert sum(share.volts for share in dip.shares) == pytest.approx(dip.dip_v, abs=0.002)


@pytest.mark.parametrize("text", PLANS)
def test_figures_are_numbers_or_none(text):
    job = assess(read_text(text))
    for record in [*job.wires.values(), *job.circuits.values(), *job.studs.values()]:
        for name in record.__dataclass_fields__:
            value = getattr(record, name)
            assert not isinstance(value, float) or math.isfinite(value), f"{record.id} {name}"
