"""A trailer on the hook: what it draws in which mode, and what its own battery makes live.

Which contact feeds what, and by which earth: ISO 11446-1 (published, second hand).
"""

from __future__ import annotations

import pytest

from loomwright import assess, check, read_text
from loomwright.assessment.why_fed import mode_table
from loomwright.diagrams.modes.words import told_rows

PLAN = """loomwright: 1
title: Trailer
region: eu
places: {cab: [0, 0, 0], rear: {at: [4, 0, 0], zones: [outside]}}
studs: {E1: {place: cab}, E2: {place: rear}}
parts:
  starter: {kind: vehicle_battery, place: cab, chemistry: efb, capacity: 80 Ah}
  alternator: {kind: alternator, place: cab, charges: starter, current: 150 A, output: 14.2 V}
  K1: {kind: relay, place: cab, rating: 30 A, coil: 0.2 A}
  tow: {kind: tow_socket, place: rear, pins: 13, draws: {9: 2 A, 10: 8 A}}
wiring:
  D: {from: alternator.d_plus, fuse: 3 A, to: K1.86, area: 1 mm², length: 1 m, return: {to: E1}}
  T9: {from: starter, fuse: 15 A high_breaking, to: tow.9, area: 4 mm², length: 5 m}
  T10: {from: starter, fuse: 15 A high_breaking, through: K1, to: tow.10, area: 6 mm², length: 5 m}
  T13: {from: tow.13, to: E2, area: 4 mm², length: 0.5 m}
  T11: {from: tow.11, to: E2, area: 4 mm², length: 0.5 m}
modes:
  night: {towing: yes}
"""


@pytest.fixture(scope="module")
def job():
    return assess(read_text(PLAN))


def test_a_trailer_draws_while_it_is_on(job):
    figures = job.modes.figures
    assert figures["driving"].feeds["tow.9"] == frozenset()
    assert figures["towing"].feeds["tow.9"] == {"starter", "alternator"}
    assert figures["towing"].feeds["tow.10"]
    assert figures["night"].feeds["tow.9"] == {"starter"}
    assert figures["night"].feeds["tow.10"] == frozenset()


def test_what_it_draws_flows_in_its_wires(job):
    towing = job.flows.of(job.modes.figures["towing"])
    assert towing.branch_a["T9"] == pytest.approx(2.0)
    assert towing.branch_a["T10"] == pytest.approx(8.0)
    assert towing.branch_a["T11"] == pytest.approx(8.0)
    assert towing.branch_a["T13"] == pytest.approx(2.0)
    assert job.flows.of(job.modes.figures["driving"]).branch_a["T9"] == 0.0
    assert job.circuits["T10"].running_a == 8.0


def test_a_battery_of_its_own_feeds_the_van_no_further_than_its_relay(job):
    modes = job.modes
    hooked = modes.figure("", {"@towing": "trailer with a battery"})
    assert "tow.10" in hooked.live.at("K1.87")
    assert "tow.10" not in hooked.live.at("starter.plus")
    assert hooked.positions["K1"] == "off"
    amps = job.flows.of(hooked).gives_a
    assert amps["tow.10"] == pytest.approx(8.0, abs=0.1), "its own fridge"


def test_the_table_says_that_no_trailer_is_on(job):
    modes, _ = mode_table(job.wiring, job.modes)
    said = {row.id: row.said for row in told_rows(job)}["tow.10"]
    assert said[modes.index("parked")] == "not fed: no trailer is on"
    assert "K1 is off" in said[modes.index("night")]


def test_terminal_15_straight_on_contact_10_is_fed_by_a_trailer_with_a_battery():
    text = PLAN.replace("T10: {from: starter, fuse: 15 A high_breaking, through: K1,", "T10: {from: kl15,")
    text = text.replace("  K1:", "  kl15: {kind: vehicle_feed, place: cab, live: ignition}\n  K1:")
    found = {one.rule: one for one in check(read_text(text)).findings}
    assert found["vehicle_fed_backwards"].severity == "watch"
    assert found["vehicle_fed_backwards"].also == ("tow.10",)
    assert "vehicle_fed_backwards" not in {one.rule for one in check(read_text(PLAN)).findings}
