"""All joints worn at once: against the van assessed with such joints, and rings against their network."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.weak_joints import weak_joints
from loomwright.assessment.worn_together import worn_together
from loomwright.circuit.aging import seen_of_all
from loomwright.circuit.breaks import openings
from loomwright.circuit.network import Resistor, Source
from loomwright.rules.check import check_plan
from loomwright.tables.contacts import CONTACTS

from ..plans import random_plan
from .test_weak_joints import van

AGED_MOHM = {kind: 1e3 * row.aged_ohm.high for kind, row in CONTACTS.items()}


def _anew() -> str:
    """The van with every joint as it is after years, typed; clips are counted with their fuses."""
    joints = ", ".join(f"{kind}: {AGED_MOHM[kind]} mΩ" for kind in ("crimp", "lug", "switch"))
    clips = AGED_MOHM["clip"] - 1e3 * CONTACTS["clip"].fresh_ohm.high
    text = van(stud=f"{AGED_MOHM['stud']} mΩ", switch=f"{AGED_MOHM['switch']} mΩ")
    text = text.replace(
        "E1: {place: seat, resistance: 0.3 mΩ", f"E1: {{place: seat, resistance: {AGED_MOHM['stud']} mΩ"
    )
    text = text.replace("crimp: 0.5 mΩ, lug: 0.2 mΩ, body: 1 mΩ, switch: 5 mΩ", f"{joints}, body: 1 mΩ")
    return text.replace("10 A: 7.5", f"10 A: {7.5 + clips}").replace("15 A: 4.8", f"15 A: {4.8 + clips}")


def test_against_the_van_assessed_with_all_joints_worn():
    plan = van().replace("area: 2.5 mm²", "area: 1.5 mm²").replace("length: 4 m", "length: 6.5 m")
    anew = _anew().replace("area: 2.5 mm²", "area: 1.5 mm²").replace("length: 4 m", "length: 6.5 m")
    found = {one.load: one for one in worn_together(assess(read_text(plan)))}
    circuits = {one.load: one for one in assess(read_text(anew)).circuits.values()}
    assert found
    for load, one in found.items():
        assert one.worn_v == pytest.approx(circuits[load].load_v, abs=1e-4)
        assert one.worn_v < one.limit_v < one.fresh_v
        assert one.new_v < one.due_v < one.amps_a * one.joint.worn_ohm
        assert 0.0 < one.aged < 1.0
    faults = {f.also[0] for f in check_plan(read_text(anew)).findings if f.severity == "fault"}
    assert faults == set(found)


@pytest.mark.parametrize("seed", range(4))
def test_worn_together_is_no_better_than_the_worst_joint_alone(seed: int):
    """What one worn joint breaks alone, all of them break together."""
    job = assess(read_text(random_plan(seed, 30)))
    alone = {one.load for one in weak_joints(job) if one.wear >= 1.0 and one.first != "joint"}
    assert alone <= {one.load for one in worn_together(job)}


@pytest.mark.parametrize("seed", range(5))
def test_rings_against_the_network_with_these_ohms(seed: int):
    """A net of rings with every resistor raised: the ohms seen are those of that net (Thévenin)."""
    rng = np.random.default_rng(seed)
    points = ["plus", "a", "b", "c", "d", "minus"]
    pairs = [(points[i], points[j]) for i in range(6) for j in range(i) if rng.random() < 0.7]
    pairs += list(pairwise(points[:-1]))
    ohm, more = rng.uniform(0.01, 1.0, len(pairs)), rng.uniform(0.0, 2.0, len(pairs))
    battery, loads = Source("battery", "plus", "minus", 12.0, 0.01), [("b", "minus"), ("d", "a")]

    def net(ohms: np.ndarray):
        wires = [
            Resistor(str(k), a, b, float(r)) for k, ((a, b), r) in enumerate(zip(pairs, ohms, strict=True))
        ]
        return openings(wires, [battery], loads, [1.0, 1.0])

    before = net(ohm)
    raised = np.bincount(before.place, weights=more)
    seen = seen_of_all(before.share, raised, before.around_s).sum(axis=0)
    assert seen == pytest.approx(np.diag(net(ohm + more).z) - np.diag(before.z), abs=1e-9)
