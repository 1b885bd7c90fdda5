"""What a move has changed: only what it touches, in words, with the figures of both assessments."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest

from loomwright.assessment.sizes import stops_of
from loomwright.documents.compared import (
    Moved,
    loom_grams,
    parts_at,
    spot_words,
    told_move,
    typed_lengths,
    wires_at,
)
from loomwright.plan.changes.moves import move_corner, move_spot
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan
from loomwright.tables.iso_6722 import outside_diameter_mm

TEXT = """loomwright: 1
title: Moved
region: eu
vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}
places: {seat: [-0.4, 0.5, 0.2], kitchen: [0.6, 0.7, 0.5], rear: [2.8, -0.8, 1.0], front: [-0.8, 0, 0.9]}
paths: {sill: {along: [[-0.4, 0.8, 0.1], [2.8, 0.8, 0.1]]}}
studs: {E1: {place: seat}}
prices: {cable: {2.5 mm²: 2.00}}
parts:
  house: {kind: battery, place: seat, chemistry: agm, capacity: 80 Ah}
  fridge: {kind: fridge, place: kitchen, running: 5 A}
  tap: {kind: water_pump, place: kitchen, running: 4 A}
  lamp: {kind: lamp, place: rear, running: 1 A}
  radio: {kind: radio, place: front, running: 1 A}
wiring:
  W0: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
  W1: {from: house, fuse: 15 A blade, to: fridge, area: 2.5 mm², return: wire}
  W2: {from: house, fuse: 15 A blade, to: tap, area: 2.5 mm², length: 2.0 m, return: E1}
  W3: {from: house, fuse: 5 A blade, via: sill, to: lamp, area: 1.5 mm², return: wire}
  W4: {from: house, fuse: 5 A blade, to: radio, area: 1.5 mm², return: E1}
"""


@cache
def checked(text: str = TEXT) -> Checked:
    return check_plan(read_plan(text))


def moved(id: str, to: tuple[float, float, float]) -> tuple[Checked, list[str]]:
    plan = checked().assessment.plan
    after = checked(apply_edits(TEXT, move_spot(plan, TEXT, "places", id, to)))
    return after, told_move(checked(), after, Moved("place", id, stops_of(plan, id)[0], to))


@pytest.mark.parametrize(
    ("id", "to"),
    [
        ("kitchen", (0.6, -0.7, 0.5)),
        ("rear", (2.0, 0.8, 0.4)),
        ("front", (-0.8, -0.4, 0.9)),
        ("seat", (-0.4, -0.5, 0.2)),
    ],
)
def test_a_move_changes_no_wire_that_does_not_touch_it(id, to):
    after, _ = moved(id, to)
    old, new = checked().assessment, after.assessment
    touched = set(wires_at(old, "place", id))
    assert touched
    for wire, was in old.wires.items():
        same = (was.length_m, was.area_mm2) == (new.wires[wire].length_m, new.wires[wire].area_mm2)
        assert same or wire in touched
    assert any(old.wires[wire].length_m != new.wires[wire].length_m for wire in touched)


def test_the_words_carry_the_figures_of_both_assessments():
    after, words = moved("kitchen", (0.6, -0.7, 0.5))
    old, new = checked().assessment, after.assessment
    told = " ".join(words)
    assert words[0] == (
        "kitchen to 0.60 m rearward, 0.70 m left, 0.50 m up, on the other side now; "
        "fridge and tap move with it."
    )
    was, now = old.wires["W1"].length_m, new.wires["W1"].length_m
    assert now > was
    back = [job.wires["W2.return"].length_m for job in (old, new)]  # to a stud, by its way
    of_w1 = f"W1 {was:.1f} → {now:.1f} m, W1.return {was:.1f} → {now:.1f} m"
    assert f"3 wires longer: {of_w1}, W2.return {back[0]:.1f} → {back[1]:.1f} m." in told
    before, later = (job.circuits["W1"].drop_pct for job in (old, new))
    assert f"Drop of fridge {before:.1f} → {later:.1f} %, tap " in told
    assert "The lengths of W2, W2.return are typed" not in told
    assert "The length of W2 is typed and does not follow." in told


def test_grams_are_those_of_copper_and_plastic():
    """Copper weighs 8.96 g/cm³ (handbook value); the plastic fills the outside circle, at 1.4."""
    after, words = moved("kitchen", (0.6, -0.7, 0.5))
    old, new = checked().assessment, after.assessment
    longer = sum(new.wires[id].length_m - old.wires[id].length_m for id in old.wires)
    ring = math.pi / 4.0 * outside_diameter_mm(2.5) ** 2 - 2.5 / 0.75
    grams = longer * (8.96 * 2.5 + 1.4 * ring)
    assert loom_grams(new.loom) - loom_grams(old.loom) == pytest.approx(grams)
    (line,) = (line for line in words if " of wire." in line)
    assert float(re.match(r"(\d+) g more", line)[1]) == pytest.approx(grams, abs=0.5)
    # where the plan says nothing else, 12 % more is bought and small things are 10 % of all material
    assert f"{1.12 * 1.10 * 2.0 * longer:.2f} more at the prices of the plan." in words


def test_a_battery_that_goes_rearward_loads_the_rear_axle():
    """By the lever: 26 kg moved by 1.5 m on a wheelbase of 3 m move 13 kg from one axle to the other."""
    axles = "vehicle: {wheelbase: 3 m, rear_axle_at: 2.0, load_space: [3 m, 1.8 m, 1.9 m]}"
    text = TEXT.replace("vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}", axles)
    text = text.replace("capacity: 80 Ah}", "capacity: 80 Ah, mass: 26 kg}")
    before = checked(text)
    after = checked(
        apply_edits(text, move_spot(before.assessment.plan, text, "places", "seat", (1.1, 0.5, 0.2)))
    )
    (line,) = (line for line in told_move(before, after, Moved("place", "seat")) if "axle" in line)
    assert float(re.search(r"bears ([\d.]+) kg more", line)[1]) == pytest.approx(13.0, abs=0.4)


def test_back_again_nothing_is_told():
    to = stops_of(checked().assessment.plan, "kitchen")[0]
    assert told_move(checked(), checked(), Moved("place", "kitchen", to, to))[1] == "No wire changes."


def test_a_path_touches_what_lies_in_it():
    old = checked().assessment
    assert set(wires_at(old, "path", "sill")) >= {"W3", "W3.return"}
    text = apply_edits(TEXT, move_corner(old.plan, TEXT, "sill", 1, (2.8, -0.2, 0.1)))
    new = check_plan(read_plan(text)).assessment
    for wire in set(old.wires) - set(wires_at(old, "path", "sill")):
        assert new.wires[wire].length_m == old.wires[wire].length_m
    assert new.wires["W3"].length_m != old.wires["W3"].length_m
    assert typed_lengths(old, ["W2", "W3"]) == ["W2"]
    assert parts_at(old.plan, "seat") == ["house", "E1"]


def test_a_spot_is_said_without_signs():
    assert spot_words((-1.0, 0.004, -0.2)) == "1.00 m ahead, in the middle, 0.20 m down"
