"""Questions of the workshop about a wire's size and way, asked by a trial change of the plan.

Gas, pipes and stranded copper: IEC 60364-7-721 and BS 7671, section 721 (second hand). The plan is invented.
"""

from __future__ import annotations

import pytest

import loomwright
from loomwright.plan.edit import Edit, apply_edits

VAN = """loomwright: 1
title: A question of way
region: eu
basis: {copper: 20 °C, contacts: {crimp: 0 mΩ, lug: 0 mΩ, stud: 0 mΩ, body: 0 mΩ}}
places:
  seat: [-0.4, -0.4, 0.1]
  right_side: [1.6, 0.8, 0.5]
paths:
  round: {along: [[-0.4, -0.4, 0.1], [-0.4, 0.8, 0.1], [1.6, 0.8, 0.5]]}
  locker: {along: [[-0.4, -0.4, 0.1], [1.6, 0.8, 0.5]], zones: [gas_locker]}
  sink: {along: [[-0.4, -0.4, 0.1], [1.6, 0.8, 0.5]], zones: [wet]}
  exhaust: {along: [[-0.4, -0.4, 0.1], [1.6, 0.8, 0.5]], zones: [flue]}
  pipe: {along: [[-0.4, -0.4, 0.1], [1.6, 0.8, 0.5]], conduit: yes}
parts:
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah, resistance: 10 mΩ}
  P1: {kind: fuse_box, place: seat, ways: 4}
  minus_bar: {kind: busbar, place: seat}
  fridge: {kind: fridge, place: right_side, running: 4 A, start: 10 A for 1 s, cut_out: 11.0 V}
  inlet: {kind: inlet, place: seat, rating: 16 A}
  S1: {kind: mains_socket, place: right_side}
wiring:
  main: {from: leisure, fuse: 60 A bolted, to: P1, area: 16 mm², length: 0.6 m}
  minus: {from: minus_bar, to: leisure.minus, area: 16 mm², length: 0.4 m}
  F: {from: P1.1, fuse: 15 A, to: fridge, area: 2.5 mm², return: minus_bar}
  M1: {from: inlet, to: S1, area: 2.5 mm², length: 3 m, via: pipe}
"""
PLACES = {"wire_in_gas_locker", "wire_by_flue", "mains_beside_low_voltage"}


def asked(*edits: Edit) -> loomwright.Report:
    return loomwright.check(loomwright.read_text(apply_edits(VAN, edits)))


@pytest.mark.parametrize(
    ("way", "found"),
    [
        ("round", set()),
        ("locker", {("fault", "wire_in_gas_locker")}),
        ("sink", set()),
        ("exhaust", {("watch", "wire_by_flue")}),
        ("pipe", {("fault", "mains_beside_low_voltage")}),
    ],
)
def test_may_it_lie_there(way: str, found: set[tuple[str, str]]):
    """Through the gas locker, under the sink, past the exhaust, in the pipe with 230 V?"""
    report = asked(Edit("wiring.F.via", [way]))
    assert {(one.severity, one.rule) for one in report.findings if one.rule in PLACES} == found
    clean = {answer.cure is not None for number, answer in report.answers.items()
             if report.findings[number - 1].rule in PLACES}  # fmt: skip
    assert clean <= {True}


def test_unasked_it_goes_round_the_gas():
    """The way through the locker is the shortest: a wire that nobody leads takes another."""
    plan = loomwright.read_text(VAN.replace("  sink:", "  # sink:").replace("  exhaust:", "  # exhaust:"))
    assert loomwright.assess(plan).loom.laid["F"].route.paths in {("pipe",), ("round",)}
    barred = loomwright.read_text(
        "\n".join(
            line
            for line in VAN.splitlines()
            if not line.startswith(("  sink", "  exhaust", "  pipe", "  M1"))
        )
    )
    assert loomwright.assess(barred).loom.laid["F"].route.paths == ("round",)


def test_is_the_cable_of_the_fridge_thick_enough():
    """By hand: 7.98 mΩ/m of 2.5 mm² (IEC 60228, class 5), there and back, along its way.

    The way is 1.2 m across and 2.04 m along the side; 1.1 times that and 0.15 m at each end.
    """
    report = asked(Edit("wiring.F.via", ["round"]))
    wire = report.assessment.wires["F"]
    metres = 1.1 * (1.2 + (2.0**2 + 0.4**2) ** 0.5) + 0.3
    assert wire.length_m == pytest.approx(metres)
    circuit = report.assessment.circuits["F"]
    own = 4.0 * 2 * metres * 7.98e-3
    assert circuit.drop_v == pytest.approx(own, rel=0.25)  # and 16 mm² to the box
    assert circuit.drop_v > own
    assert not [one for one in report.findings if one.where == "F" and one.severity in ("fault", "danger")]
    thin = asked(Edit("wiring.F.via", ["round"]), Edit("wiring.F.area", "0.5 mm²"))
    assert [one for one in thin.findings if one.where.startswith("F") and one.severity == "fault"]
