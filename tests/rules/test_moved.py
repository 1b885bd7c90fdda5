"""What is wrong only once a selector is moved: the mode is named, and the van at rest is clean of it."""

from __future__ import annotations

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding

PLAN = """loomwright: 1
title: Two voltages at a selector
region: eu
system: 24 V
places: {seat: [-0.4, -0.4, 0.1]}
studs: {E1: {place: seat}}
parts:
  house: {kind: battery, place: seat, chemistry: agm, capacity: 100 Ah, voltage: 24 V}
  converter: {kind: converter, place: seat, current: 20 A, output: 12.5 V, voltage: 24 V}
  K1: {kind: relay, contact: change_over, place: seat, rating: 20 A, coil_voltage: 24 V}
  S1: {kind: switch, place: seat, rating: 10 A}
  lamp: {kind: lamp, place: seat, running: 2 A, voltage: 12 V}
wiring:
  earth: {from: house.minus, to: E1, area: 16 mm², length: 0.4 m}
  W1: {from: house, fuse: 20 A high_breaking, to: converter.in, area: 4 mm², length: 1 m, return: {to: E1}}
  W2: {from: converter.out, fuse: 10 A high_breaking, to: K1.87a, area: 4 mm², length: 1 m}
  W3: {from: OTHER, fuse: 10 A high_breaking, to: K1.87, area: 4 mm², length: 1 m}
  W4: {from: K1.30, to: lamp, area: 2.5 mm², length: 2 m, return: {to: E1}}
  W5: {from: house, fuse: 3 A blade, through: S1, to: K1.86, area: 1 mm², length: 1 m, return: {to: E1}}
modes:
  as_it_rests: {switches: {S1: off}}
"""


def volts(other: str) -> list[Finding]:
    findings = check_plan(read_text(PLAN.replace("OTHER", other))).findings
    return [finding for finding in findings if finding.rule == "wrong_voltage_class"]


def test_a_12_v_lamp_that_a_selector_puts_on_24_v_is_found_with_its_mode():
    (found,) = volts("house")
    assert (found.severity, found.where, found.mode) == ("fault", "W4", "parked")
    assert found.value is not None
    assert found.value > 23.0
    assert "made for 12 V" in found.says


def test_on_12_v_both_ways_it_is_clean():
    assert volts("converter.out") == []
