"""The van sheet: everything on its own side, to scale, in its frame."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from loomwright import read_text
from loomwright.diagrams.van import van_sheets
from loomwright.diagrams.van.lanes import beside
from loomwright.diagrams.van.view import Extent, View
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.scene import Circle, Link, Text, Wire
from loomwright.drawing.spacing import outside, text_on_text
from loomwright.rules.check import check_plan
from tests.diagrams.test_modes import checked
from tests.scenarios.lines import VANS

PLAN = """loomwright: 1
title: Sides
region: eu
vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}
places: {right_seat: [-0.4, 0.5, 0.2], left_rear: [2.8, -0.8, 1.0], roof: [1, 0, 1.9]}
paths: {sill: {along: [[-0.4, 0.6, 0.1], [2.8, 0.6, 0.1]], hole: 20 mm}}
studs: {E1: {place: right_seat}}
parts:
  house: {kind: battery, place: right_seat, chemistry: agm, capacity: 80 Ah}
  lamp: {kind: lamp, place: left_rear, running: 1 A}
wiring:
  W0: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
  W1: {from: house, fuse: 5 A high_breaking, via: sill, to: lamp, area: 1.5 mm², colour: RDBU, return: wire}
"""
EXTENT = Extent(-1.0, 3.0, -1.0, 1.0, 0.0, 2.0)


def at(sheet, id: str) -> list[tuple[float, float]]:
    """Return where a place is drawn: from above, then where a side shows it."""
    return [one.centre for one in sheet.items if isinstance(one, Circle) and one.of == Link("place", id)]


def test_a_seat_at_the_right_is_at_the_top_and_on_the_right_side_at_the_right():
    (sheet,) = van_sheets(check_plan(read_text(PLAN)))
    seat, rear, roof = (at(sheet, id) for id in ("right_seat", "left_rear", "roof"))
    assert (len(seat), len(rear), len(roof)) == (2, 2, 1), "from above, and on its own side"
    assert seat[0][0] < roof[0][0] < rear[0][0], "the front is at the left"
    assert seat[0][1] < roof[0][1] < rear[0][1], "the vehicle's right is at the top"
    left_head, right_head = (
        next(one for one in sheet.items if isinstance(one, Text) and one.text == text)
        for text in ("Left side", "Right side")
    )
    assert rear[1][0] < right_head.at[0] < seat[1][0]
    assert left_head.at[0] < rear[1][0]


@pytest.mark.parametrize(
    ("look", "point", "wanted"),
    [
        ("plan", (0.0, 0.5, 1.0), (50.0, 25.0)),
        ("left", (0.0, -0.5, 1.5), (50.0, 25.0)),
        ("right", (0.0, 0.5, 1.5), (150.0, 25.0)),
    ],
)
def test_metres_become_millimetres(look, point, wanted):
    assert View(look, 20, EXTENT, (0.0, 0.0)).of(point) == wanted


def test_a_metre_of_path_is_50_mm_at_1_to_20():
    (sheet,) = van_sheets(check_plan(read_text(PLAN)))
    wire = next(one for one in sheet.items if isinstance(one, Wire) and one.of == Link("wire", "W1"))
    (x, y), (x_2, y_2) = wire.points[0], wire.points[-1]
    assert wire.colours == ("RD", "BU")
    assert "1:20" in sheet.description or "1:15" in sheet.description
    mm = 1000.0 / (15 if "1:15" in sheet.description else 20)
    assert math.hypot(x_2 - x, y_2 - y) == pytest.approx(3.2 * mm, abs=0.01)


def test_wires_in_one_path_lie_beside_one_another():
    (sheet,) = van_sheets(check_plan(read_text(PLAN)))
    feed, back = (
        next(one for one in sheet.items if isinstance(one, Wire) and one.of == Link("wire", id))
        for id in ("W1", "W1.return")
    )
    apart = abs(feed.points[0][1] - back.points[0][1])
    assert apart == pytest.approx(feed.core / 2 + back.core / 2 + 0.4)


def test_a_line_beside_a_line_keeps_its_distance():
    for points in ([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], [(0.0, 0.0), (10.0, 3.0), (20.0, 0.0)]):
        moved = beside(points, 1.0)
        for (a, b), (c, d) in zip(pairwise(points), pairwise(moved), strict=True):
            across = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
            assert abs(across) / math.dist(a, b) == pytest.approx(1.0)
            assert d != c


@pytest.mark.parametrize("van", VANS)
def test_all_stays_in_the_field_and_no_text_on_another(van: str):
    for sheet in van_sheets(checked(van)):
        assert text_on_text(sheet.items) == ()
        assert outside(sheet.items) == ()
        for one in sheet.items:
            if one.layer == "wires" or isinstance(one, Circle):
                assert one.box().left > FIELD_BOX.left
                assert one.box().right < FIELD_BOX.right


def test_a_van_of_which_nobody_says_where_anything_is_has_no_such_sheet():
    text = PLAN.replace(
        "right_seat: [-0.4, 0.5, 0.2], left_rear: [2.8, -0.8, 1.0], roof: [1, 0, 1.9]",
        "right_seat: {zones: [cab]}, left_rear: {zones: [living]}",
    )
    assert van_sheets(check_plan(read_text(text))) == ()
