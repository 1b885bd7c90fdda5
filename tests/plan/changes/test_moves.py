"""Places, parts and corners of paths are moved in the text: one field changes, everything else stays."""

from __future__ import annotations

import pytest

from loomwright.errors import PlanError
from loomwright.plan.changes.moves import middle_of, move_corner, move_spot
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan

TEXT = """loomwright: 1
title: Moved
region: eu
vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}
places:
  kitchen: [0.60, 0.7, 0.50]   # behind the seat
  ceiling: {at: [0.5..2.4, 0, 1.82], zones: [roof_void]}  # lamps
  sill: {}
  bench: {at: [2.0, -0.6, 0.2], note: left}
paths:
  floor: {along: [kitchen, [1.0, 0.2, 0.0], [2.0, -0.6, 0.1]], note: 'under the mat'}  # to the rear
parts:
  pump: {kind: water_pump, place: bench, at: [2.1, -0.5, 0.1], running: 4 A}
"""


def changed_lines(edits) -> list[str]:
    new = apply_edits(TEXT, edits)
    read_plan(new)
    return [line for line in new.splitlines() if line not in TEXT.splitlines()]


@pytest.mark.parametrize(
    ("section", "id", "to", "line"),
    [
        ("places", "kitchen", (0.65, 0.7, 0.5), "  kitchen: [0.65, 0.7, 0.50]   # behind the seat"),
        ("places", "kitchen", (0.6, -0.75, 0.5), "  kitchen: [0.60, -0.75, 0.50]   # behind the seat"),
        (
            "places",
            "ceiling",
            (1.55, 0.1, 1.82),
            "  ceiling: {at: [0.60..2.50, 0.10, 1.82], zones: [roof_void]}  # lamps",
        ),
        ("places", "sill", (1.5, 0.0, 0.5), "  sill: [1.50, 0.00, 0.50]"),
        ("places", "bench", (2.0, -0.6, 0.25), "  bench: {at: [2.0, -0.6, 0.25], note: left}"),
        (
            "parts",
            "pump",
            (2.1, -0.0001, 0.1),
            "  pump: {kind: water_pump, place: bench, at: [2.1, 0.00, 0.1], running: 4 A}",
        ),
    ],
)
def test_one_field_changes_and_comments_stay(section, id, to, line):
    assert changed_lines(move_spot(read_plan(TEXT), TEXT, section, id, to)) == [line]


def test_what_is_not_moved_is_not_written():
    assert move_spot(read_plan(TEXT), TEXT, "places", "kitchen", (0.602, 0.698, 0.5)) == ()


def test_a_corner_of_a_path_moves_alone_and_a_place_in_it_as_the_place():
    plan = read_plan(TEXT)
    moved = move_corner(plan, TEXT, "floor", 1, (1.0, -0.2, 0.0))
    wanted = "[kitchen, [1.0, -0.20, 0.0], [2.0, -0.6, 0.1]], note: 'under the mat'}  # to the rear"
    assert changed_lines(moved) == [f"  floor: {{along: {wanted}"]
    assert changed_lines(move_corner(plan, TEXT, "floor", 0, (0.7, 0.7, 0.5))) == [
        "  kitchen: [0.70, 0.7, 0.50]   # behind the seat"
    ]


@pytest.mark.parametrize("corner", [-1, 3])
def test_what_is_not_there_is_not_moved(corner):
    plan = read_plan(TEXT)
    with pytest.raises(PlanError, match="no corner"):
        move_corner(plan, TEXT, "floor", corner, (0.0, 0.0, 0.0))
    with pytest.raises(PlanError, match="no place loft"):
        move_spot(plan, TEXT, "places", "loft", (0.0, 0.0, 0.0))


def test_the_middle_is_that_of_the_load_space():
    assert middle_of(read_plan(TEXT)) == (1.5, 0.0, 0.5)
    assert middle_of(read_plan("loomwright: 1\ntitle: Bare\nregion: eu\n")) == (1.5, 0.0, 0.5)
    long = read_plan("loomwright: 1\ntitle: L\nregion: eu\nvehicle: {load_space: [4.3 m, 1.8 m, 0.8 m]}\n")
    assert middle_of(long) == pytest.approx((2.15, 0.0, 0.4))
