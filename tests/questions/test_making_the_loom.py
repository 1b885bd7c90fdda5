"""Questions of the workshop about wire, weight and which wire is which, asked as anybody would.

The plans are invented. Masses of copper are those of a handbook (8.96 g/cm³), sums of axles are statics.
"""

from __future__ import annotations

import math

import pytest

import loomwright
from loomwright import read_text
from loomwright.documents.compared import Moved, told_move
from loomwright.plan.edit import Edit, apply_edits
from loomwright.rules.check import check_plan

VAN = """loomwright: 1
title: A question
region: eu
basis: {copper: 20 °C}
vehicle: {load_space: [3 m, 1.7 m, 1.8 m], ready_mass: 2400 kg, permitted_mass: 2800 kg,
  wheelbase: 3.2 m, rear_axle_at: 2.0 m}
places:
  seat: [-0.4, -0.4, 0.1]
  left_side: [1.0, -0.8, 0.5]
  right_side: [1.0, 0.8, 0.5]
  right_rear: [2.8, 0.8, 0.6]
paths:
  across: {along: [[-0.3, -0.8, 0.05], [-0.3, 0.8, 0.05]], hole: 12 mm}
  right_sill: {along: [[-0.3, 0.8, 0.05], [2.8, 0.8, 0.05]]}
  left_sill: {along: [[-0.3, -0.8, 0.05], [2.8, -0.8, 0.05]]}
studs:
  E1: {place: seat}
parts:
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah, mass: 27 kg}
  P1: {kind: fuse_box, place: seat, ways: 4, mass: 1 kg}
  minus_bar: {kind: busbar, place: seat, mass: 0.3 kg}
  fridge: {kind: fridge, place: right_side, running: 4 A, mass: 20 kg}
  pump: {kind: water_pump, place: right_rear, running: 5 A, mass: 2 kg}
  fan: {kind: fan, place: left_side, running: 1 A, mass: 3 kg}
wiring:
  main: {from: leisure, fuse: 60 A bolted, to: P1, area: 16 mm², length: 0.6 m}
  minus: {from: minus_bar, to: leisure.minus, area: 16 mm², length: 0.4 m}
  F: {from: P1.1, fuse: 10 A, to: fridge, area: 2.5 mm², colour: RDBU, return: minus_bar}
  P: {from: P1.2, fuse: 10 A, to: pump, area: 1.5 mm², colour: BU, return: minus_bar}
  V: {from: P1.3, fuse: 5 A, to: fan, area: 1.5 mm², colour: VT, return: minus_bar}
labels: {F: 101, F.return: 102, P: 103}
cargo:
  water: {mass: 80 kg, place: right_rear}
"""


@pytest.fixture(scope="module")
def asked() -> loomwright.Report:
    return loomwright.check(read_text(VAN))


# 20. How much wire must I buy?


def test_wire_to_buy_is_what_is_cut_and_a_reserve_on_reels_as_they_are_sold(asked):
    done = asked.as_dict()
    lengths = {wire["id"]: wire["length_m"] for wire in done["wires"]}
    assert done["lists"]["totals"]["cut_m"] == pytest.approx(sum(lengths.values()))
    black = [row for row in done["lists"]["reels"] if (row["size"], row["colour"]) == ("1.5 mm²", "BK")]
    assert black[0]["cut_m"] == pytest.approx(lengths["P.return"] + lengths["V.return"])
    assert black[0]["bought_m"] in (10.0, 20.0, 25.0)
    assert black[0]["bought_m"] >= 1.12 * black[0]["cut_m"]
    assert black[0]["left_m"] == pytest.approx(black[0]["bought_m"] - black[0]["cut_m"])


# 21. Will this grommet take it?


def test_a_grommet_takes_four_wires_or_does_not(asked):
    (hole,) = asked.as_dict()["lists"]["holes"]
    assert set(hole["wires"]) == {"F", "F.return", "P", "P.return"}
    thick = 1.2 * math.sqrt(2 * 3.6**2 + 2 * 3.0**2)  # outside diameters of thick-wall cable, ISO 6722-1
    assert hole["bundle_mm"] == pytest.approx(thick)
    assert (hole["bore_mm"], hole["fits"]) == (12.0, thick / 0.8 <= 12.0)
    assert hole["fits"] is True
    small = loomwright.check(read_text(VAN.replace("hole: 12 mm", "hole: 8 mm")))
    assert small.as_dict()["lists"]["holes"][0]["fits"] is False


# 33. What changes if the fridge goes to the other side?


def test_the_fridge_on_the_other_side_has_longer_wires_and_keeps_its_numbers(asked):
    text = apply_edits(VAN, [Edit("parts.fridge.place", "left_side")])
    after = check_plan(read_text(text))
    before = asked.checked
    old, new = before.assessment.wires, after.assessment.wires
    assert old["F"].length_m - new["F"].length_m > 0.5  # the box stands at the left
    changed = {id for id in new if old[id].length_m != new[id].length_m}
    assert changed == {"F", "F.return"}
    told = " ".join(told_move(before, after, Moved("part", "fridge")))
    assert "2 wires shorter" in told
    assert "Drop of fridge" in told
    cuts = {row["wires"][0]: row for row in loomwright.check(read_text(text)).as_dict()["lists"]["cuts"]}
    assert (cuts["F"]["labels"], cuts["F.return"]["labels"], cuts["V"]["labels"]) == (["101"], ["102"], ["V"])


# 35. How heavy does it get, and which axle?


def test_weight_on_the_axles_is_that_of_a_beam_on_two_supports(asked):
    done = asked.as_dict()["lists"]
    totals = done["totals"]
    cable_kg = next(row["least_kg"] for row in done["weights"] if row["what"] == "cables")
    copper_kg = sum(8.96e-3 * wire["area_mm2"] * wire["length_m"] for wire in asked.as_dict()["wires"])
    assert copper_kg < cable_kg < 1.8 * copper_kg
    electrics = 27.0 + 1.0 + 0.3 + 20.0 + 2.0 + 3.0 + cable_kg
    assert totals["electrics_kg"] == {"low": pytest.approx(electrics), "high": pytest.approx(electrics)}
    assert totals["left_kg"]["low"] == pytest.approx(400.0 - electrics - 80.0)
    front = -1.2  # 3.2 m before the rear axle
    at = {-0.4: 28.3, 1.0: 23.0, 2.8: 82.0}
    cables_at = next(row["x_m"] for row in done["weights"] if row["what"] == "cables")
    moment = sum(kg * (x - front) for x, kg in at.items()) + cable_kg * (cables_at - front)
    assert totals["rear_axle_adds_kg"]["high"] == pytest.approx(moment / 3.2)
    both = totals["rear_axle_adds_kg"]["high"] + totals["front_axle_adds_kg"]["high"]
    assert both == pytest.approx(electrics + 80.0)


# 44. Which wire is this? blue, 1.5, at the right rear


@pytest.mark.parametrize(
    ("seen", "wires"),
    [
        ("blue, 1.5, right rear", ["P"]),
        ("blue", ["P", "F"]),  # the plain one first
        ("red-blue 2.5", ["F"]),
        ("BK 1,5 mm² left", ["P.return", "V.return"]),
        ("103", ["P"]),
        ("black, 1.4, rear", ["P.return"]),  # as measured
        ("blue, 1.5, roof", []),
        ("violet fan", ["V"]),
    ],
)
def test_a_wire_is_found_by_what_is_seen_of_it(asked, seen, wires):
    assert [one.wire for one in asked.which(seen)] == wires
