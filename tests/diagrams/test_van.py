"""The van sheet: everything on its own side, to scale, in its frame."""

from __future__ import annotations

import math
import random
from functools import cache
from itertools import pairwise

import pytest

from loomwright import read_text
from loomwright.diagrams.van import VanDrawing, van_sheets
from loomwright.diagrams.van.bands import teller
from loomwright.diagrams.van.lanes import beside
from loomwright.diagrams.van.view import Extent, View
from loomwright.drawing.frame import FIELD_BOX, column_row
from loomwright.drawing.geometry import length_along
from loomwright.drawing.scene import Band, Circle, Link, Symbol, Text, Wire
from loomwright.drawing.spacing import outside, text_on_text
from loomwright.rules.check import check_plan
from tests.diagrams.test_modes import checked
from tests.scenarios.lines import VANS

PLAN = """loomwright: 1
title: Sides
region: eu
vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}
places: {right_seat: [-0.4, 0.8, 0.2], right_rear: {at: [2.6, 0.7, 0.5], zones: [wet]},
  left_rear: [2.8, -0.8, 1.0], roof: [1, 0, 1.9]}
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
    """Return where a place is drawn: from above, then where the other views show it."""
    return [one.centre for one in sheet.items if isinstance(one, Circle) and one.of == Link("place", id)]


@cache
def drawing() -> VanDrawing:
    return VanDrawing(check_plan(read_text(PLAN)))


@cache
def sheet():
    return drawing().sheet()


def longest(wire: str) -> Wire:
    """Return the longest line of a wire."""
    lines = [one for one in sheet().items if isinstance(one, Wire) and one.of == Link("wire", wire)]
    return max(lines, key=lambda one: length_along(one.points))


def test_what_is_at_the_right_is_at_the_right_in_every_view():
    plan, left, right, rear, roof = drawing().layout.views
    seat, post, lamp, top = (at(sheet(), id) for id in ("right_seat", "right_rear", "left_rear", "roof"))
    assert len(seat) == 2, "from above and from the right, neither from the left, from behind nor on the roof"
    assert plan.box.top < seat[0][1] < post[0][1] < top[0][1] < lamp[0][1], "the right is at the top"
    assert seat[0][0] < top[0][0] < lamp[0][0], "the front is at the left"
    assert len(post) == 3
    assert right.box.left < post[1][0] < seat[1][0] < right.box.right, (
        "from the right the front is at the right"
    )
    middle = rear.of((0.0, 0.0, 0.0))[0]
    assert rear.box.left < lamp[2][0] < middle < post[2][0], "from behind, the right is at the right"
    assert len(lamp) == 3
    assert left.box.left < lamp[1][0] < left.box.right
    assert len(top) == 2
    assert roof.box.left < top[1][0] < roof.box.right


@pytest.mark.parametrize(
    ("look", "point", "wanted"),
    [
        ("plan", (0.0, 0.5, 1.0), (50.0, 25.0)),
        ("left", (0.0, -0.5, 1.5), (50.0, 25.0)),
        ("right", (0.0, 0.5, 1.5), (150.0, 25.0)),
        ("rear", (0.0, 0.5, 1.5), (75.0, 25.0)),
        ("roof", (0.0, 0.5, 1.5), (50.0, 25.0)),
    ],
)
def test_metres_become_millimetres(look, point, wanted):
    assert View(look, 20, EXTENT, (0.0, 0.0)).of(point) == wanted


def test_a_metre_of_path_is_so_many_mm_by_the_scale_that_is_told():
    wire = longest("W1")
    (x, y), (x_2, y_2) = max(pairwise(wire.points), key=lambda ends: math.dist(*ends))
    assert wire.colours == ("RD", "BU")
    plan = drawing().layout.views[0]
    assert f"1:{plan.scale}" in sheet().description
    assert math.hypot(x_2 - x, y_2 - y) == pytest.approx(3.2 * 1000.0 / plan.scale, abs=0.01)


def test_wires_in_one_path_lie_beside_one_another():
    feed, back = longest("W1"), longest("W1.return")
    apart = abs(feed.points[1][1] - back.points[1][1])
    assert apart == pytest.approx(feed.core / 2 + back.core / 2 + 0.4)


def test_a_line_beside_a_line_keeps_its_distance():
    for points in ([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], [(0.0, 0.0), (10.0, 3.0), (20.0, 0.0)]):
        moved = beside(points, 1.0)
        for (a, b), (c, d) in zip(pairwise(points), pairwise(moved), strict=True):
            across = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
            assert abs(across) / math.dist(a, b) == pytest.approx(1.0)
            assert d != c


@pytest.mark.parametrize("by", ["", "opening"])
@pytest.mark.parametrize("van", VANS)
def test_all_stays_in_the_field_and_no_text_on_another(van: str, by):
    for sheet in van_sheets(checked(van), by):
        assert text_on_text(sheet.items) == ()
        assert outside(sheet.items) == ()
        for one in sheet.items:
            if one.layer == "wires" or isinstance(one, Circle):
                assert one.box().left > FIELD_BOX.left
                assert one.box().right < FIELD_BOX.right


def test_the_metres_of_a_wire_go_on_from_line_to_line():
    """Along the plan each line begins where the one before it ended, from 0 to the length of the wire."""
    found = VanDrawing(checked("alderford"))
    plan = found.layout.views[0]
    for wire in ("M1", "C4", "C6"):
        here = [lie for lie in found.wires.lies if lie.wire == wire]
        ends = [sorted((lie.metres[0], lie.metres[-1])) for lie in here]
        assert [start for start, _ in ends] == pytest.approx([0.0, *(end for _, end in ends[:-1])])
        assert ends[-1][1] == pytest.approx(found.job.wires[wire].length_m)
    assert all(plan.shows(point) for lie in found.wires.lies for point in lie.points)


@pytest.mark.parametrize("by", ["current", "drop", "opening"])
def test_a_band_says_what_the_gravest_wire_in_a_path_says(by):
    """Against the assessment: no wire of a path is graver than what the table of paths names."""
    found = VanDrawing(checked("alderford"), by)
    job, tell = found.job, teller(found.job, by)
    made = found.sheet()
    assert any(isinstance(one, Band) for one in made.items)
    for path, said in found.banded.said.items():
        wires = {wire for one in job.loom.sections if one.path == path for wire in one.wires}
        assert said.wire in wires
        if by == "current":
            most = max(job.wires[wire].current_a or 0.0 for wire in wires)
            assert said.text == f"{most:.3g} A"
        elif by == "drop":
            assert said.grave == max(job.wires[wire].drop_pct or 0.0 for wire in wires)
        else:
            harmed = {wire for wire in wires if wire in job.faults.along and job.faults.along[wire].harmed}
            assert not said.harmed or said.wire in harmed
            assert tell(said.wire, 0.0) is not None


def test_signs_stand_where_the_margin_says_and_on_nothing():
    made = van_sheets(checked("alderford"))[0]
    signs = [
        one
        for one in made.items
        if isinstance(one, Symbol) and one.layer == "findings" and one.at[0] < FIELD_BOX.right
    ]
    numbers = {dict(one.values)["number"] for one in signs}
    assert {"1", "2"} <= numbers
    texts = {one.text for one in made.items if isinstance(one, Text)}
    assert {column_row(one.at, 8) for one in signs if dict(one.values)["number"] in ("1", "2")} <= texts


def test_holes_studs_and_zones_are_told():
    texts = {one.text for one in sheet().items if isinstance(one, Text)}
    (hole,) = drawing().loom.holes
    assert {"H1", "E1", "wet", f"20 mm, needs {hole.needed_mm:.0f}"} <= texts
    assert any(isinstance(one, Symbol) and one.sign.name == "hole" for one in sheet().items)


def test_a_van_of_which_nobody_says_where_anything_is_has_no_such_sheet():
    text = PLAN.replace(
        PLAN[PLAN.index("right_seat") : PLAN.index("}\npaths")],
        "right_seat: {zones: [cab]}, right_rear: {}, roof: {}, left_rear: {zones: [living]}",
    )
    assert van_sheets(check_plan(read_text(text))) == ()


def random_plan(seed: int) -> str:
    """Return a van of any size with places, paths and zones anywhere, many wires, many without a way."""
    draw = random.Random(seed)
    size = draw.choice((1.0, 1.0, 3.0, 8.0))
    zones = ("cab", "engine_bay", "outside", "gas_locker", "wet", "moving", "hot")

    def point() -> str:
        x, y, z = draw.uniform(-2, 4), draw.uniform(-1, 1), draw.uniform(-0.4, 2.2)
        return f"[{size * x:.2f}, {size * y:.2f}, {size * z:.2f}]"

    names = [f"place_{number}" for number in range(draw.randint(1, 24))]
    lines = ["loomwright: 1", "title: Random", "region: eu", "places:"]
    lines += [f"  {name}: {{at: {point()}, zones: [{draw.choice(zones)}]}}" for name in names]
    lines += ["  nowhere: {}", "paths:", "  also_nowhere: {}"]
    for number in range(draw.randint(1, 12)):
        stops = [point() if draw.random() < 0.7 else draw.choice(names) for _ in range(draw.randint(1, 5))]
        lines.append(f"  path_{number}: {{along: [{', '.join(stops)}], hole: 20 mm}}")
    lines += ["parts:", f"  house: {{kind: battery, place: {names[0]}, chemistry: agm, capacity: 80 Ah}}"]
    lamps = range(draw.randint(1, 20))
    lines += [f"  l{n}: {{kind: lamp, place: {draw.choice(names)}, running: 1 A}}" for n in lamps]
    area = draw.choice(("1.5", "16"))
    wire = f"fuse: 5 A blade, area: {area} mm², return: wire"
    return "\n".join([*lines, "wiring:", *(f"  W{n}: {{from: house, to: l{n}, {wire}}}" for n in lamps)])


@pytest.mark.parametrize("seed", range(6))
def test_any_van_finds_room_on_its_sheet(seed):
    drawing = VanDrawing(check_plan(read_text(random_plan(seed))), "current")
    items = drawing.sheet().items
    assert outside(items) == ()
    assert text_on_text(items) == ()
    shown = {one.of.id for one in items if isinstance(one, Wire) and one.of is not None}
    apart = {lie.wire for lie in drawing.wires.lies if math.dist(lie.points[0][:2], lie.points[-1][:2]) > 0.1}
    assert apart <= shown, "every wire whose ends are known is drawn"
