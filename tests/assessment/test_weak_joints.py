"""Worn joints of whole vans: against the van assessed anew with that joint, and by hand."""

from __future__ import annotations

import pytest

import loomwright
from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.weak_joints import WeakJoint, check_first, weak_joints
from loomwright.tables.contacts import CONTACTS

from ..plans import random_plan

WIRE = "area: 2.5 mm², length: 4 m, return: {to: E2, length: 0.3 m}"
VAN = """loomwright: 1
title: Two winters later
region: eu
basis: {{copper: 20 °C, fuses: {{blade: {{10 A: 7.5 mΩ, 15 A: 4.8 mΩ}}}},
  contacts: {{crimp: 0.5 mΩ, lug: 0.2 mΩ, body: 1 mΩ, switch: 5 mΩ}}}}
places:
  seat: [-0.4, -0.4, 0.1]
  rear: [2.8, -0.7, 0.5]
studs:
  E1: {{place: seat, resistance: 0.3 mΩ}}
  E2: {{place: rear, resistance: {stud}}}
parts:
  leisure: {{kind: battery, place: seat, chemistry: agm, capacity: 95 Ah, resistance: 5 mΩ}}
  fridge: {{kind: fridge, place: rear, running: 5 A, cut_out: 11.4 V}}
  pump: {{kind: water_pump, place: rear, running: 60 W}}
  S1: {{kind: switch, place: seat, resistance: {switch}}}
wiring:
  earth: {{from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}}
  C1: {{from: leisure, fuse: 15 A blade, to: fridge, {WIRE}}}
  C2: {{from: leisure, fuse: 10 A blade, through: S1, to: pump, {WIRE}}}
"""


def van(stud: str = "0.3 mΩ", switch: str = "5 mΩ") -> str:
    return VAN.format(stud=stud, switch=switch, WIRE=WIRE)


def joint(text: str, of: str, what: str) -> WeakJoint:
    return next(one for one in weak_joints(assess(read_text(text))) if (one.of, one.what) == (of, what))


def test_a_worn_stud_against_the_van_assessed_with_it():
    worn = joint(van(), "E2", "stud")
    assert worn.worn_ohm == pytest.approx(CONTACTS["stud"].aged_ohm.high)
    anew = assess(read_text(van(stud="3 mΩ")))
    for one in worn.suffers:
        (circuit,) = [c for c in anew.circuits.values() if c.load == one.load]
        assert one.then_v == pytest.approx(circuit.load_v, abs=1e-6)
    assert {one.load for one in worn.suffers} == {"fridge", "pump"}
    # 5 A of the fridge, about 5.1 A of the pump, both on: some 0.31 W in 3 mΩ
    assert worn.watts_w == pytest.approx(worn.amps_a**2 * 3e-3)
    assert worn.amps_a == pytest.approx(10.1, abs=0.2)


@pytest.mark.parametrize(("of", "what"), [("E2", "stud"), ("S1", "contact")])
def test_the_verdict_breaks_at_the_ohms_that_are_told(of: str, what: str):
    """At 1 % less than the ohms told the van has no fault of that name, at 1 % more it has."""
    told = joint(van(), of, what)
    rules = {"joint": "joint_loses_too_much", "drop": "drop_too_large", "cut_out": "load_near_cut_out"}
    assert told.breaks_at_ohm is not None
    for factor, trips in ((0.99, False), (1.01, True)):
        ohms = f"{1e3 * told.breaks_at_ohm * factor:.6f} mΩ"
        plan = van(stud=ohms) if of == "E2" else van(switch=ohms)
        findings = loomwright.check(read_text(plan)).findings
        found = [one for one in findings if one.severity == "fault" and one.rule == rules[told.first]]
        assert bool(found) == trips, (told.first, factor)


def test_the_plan_may_say_what_its_joints_come_to():
    plan = van().replace("basis: {", "basis: {aged: {stud: 20 mΩ}, ", 1)
    worn = joint(plan, "E2", "stud")
    assert worn.worn_ohm == pytest.approx(0.02)
    assert worn.volts_v == pytest.approx(0.2, abs=0.01)
    assert worn.first == "joint"
    assert worn.wear >= 1.0
    assert weak_joints(assess(read_text(plan)))[0].of in ("E1", "E2")


@pytest.mark.parametrize("seed", range(6))
def test_random_vans(seed: int):
    """Worn is never better: no load gains; heat is I²R; the list is sorted; the first ten differ."""
    joints = weak_joints(assess(read_text(random_plan(seed, 30))))
    assert joints
    for one in joints:
        assert one.worn_ohm >= one.fresh_ohm >= 0.0
        assert one.watts_w == pytest.approx(one.amps_a * one.volts_v)
        assert all(loses.then_v <= loses.before_v for loses in one.suffers)
        assert one.breaks_at_ohm is None or one.breaks_at_ohm > one.fresh_ohm
    assert [one.wear for one in joints] == sorted((one.wear for one in joints), reverse=True)
    first = check_first(joints)
    assert len(first) <= 10
    assert len({(one.of, one.what) for one in first}) == len(first)
