"""The fuse label: way by way what the plan says, at true size, nothing over its edge."""

from __future__ import annotations

from itertools import combinations

import pytest

import loomwright
from loomwright import read_text
from loomwright.diagrams.fuse_label import fuse_boxes, fuse_label_sheets, loose_fuses
from loomwright.diagrams.fuse_label.draw import WIDTH
from loomwright.drawing.scene import Polygon, Sheet, Symbol, Text, texts_of
from loomwright.rules.check import Checked, check_plan
from tests.plans import big_plan
from tests.rules.cases import CASES, plan
from tests.scenarios.lines import EXAMPLES, VANS


def van(name: str) -> Checked:
    return check_plan(read_text((EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")))


def test_ways_of_mossgrove_as_typed():
    """Read off the plan: W3 to the fridge, W4 to pump, USB and lamps, W5 to the fan; six ways."""
    (box,) = fuse_boxes(van("mossgrove").assessment)
    assert [(row.way, row.wires, row.rating) for row in box.rows] == [
        ("1", ("W3",), "15 A"), ("2", ("W4",), "15 A"), ("3", ("W5",), "5 A"),
        ("4", (), ""), ("5", (), ""), ("6", (), ""),
    ]  # fmt: skip
    assert "pump" in box.rows[1].feeds
    assert [row.feeds for row in box.rows[3:]] == ["free"] * 3


def test_ways_of_a_unit_have_the_names_of_its_ports():
    boxes = {box.id: box for box in fuse_boxes(van("alderford").assessment)}
    rows = {row.way: row for row in boxes["U1"].rows}
    assert (rows["way 4"].feeds, rows["way 4"].rating, rows["way 4"].wires) == ("pump", "10 A", ("C4",))
    assert rows["way 11"].feeds == "free"
    assert boxes["FC1"].rows[0].way == "main"
    assert boxes["FC1"].rows[0].rating == "80 A"


@pytest.mark.parametrize("name", VANS)
def test_every_fuse_of_check_is_in_one_row(name):
    """A fuse of the van's own cables stands behind a lid or among the loose ones, once."""
    job = van(name).assessment
    rows = [*(row for box in fuse_boxes(job) for row in box.rows), *loose_fuses(job)]
    shown = sorted((row.wires[0], row.rating_a or 0.0) for row in rows if row.wires and row.rating != "none")
    held = sorted(
        (wire.run, fuse.rating_a or 0.0)
        for wire in job.wires.values()
        if not wire.mains
        for fuse in wire.fuses
    )
    assert shown == held


@pytest.mark.parametrize("name", VANS)
def test_labels_say_each_row(name):
    texts = {
        text.text for sheet in fuse_label_sheets(van(name)) for item in sheet.items for text in texts_of(item)
    }
    for box in fuse_boxes(van(name).assessment):
        for row in box.rows:
            assert row.way in texts
            assert not row.rating or row.rating in texts


def labels(sheet: Sheet) -> list[Polygon]:
    """Return the frames of the labels on a sheet."""
    return [
        item
        for item in sheet.items
        if isinstance(item, Polygon) and item.points[1][0] - item.points[0][0] == pytest.approx(WIDTH)
    ]


@pytest.mark.parametrize("text", [(EXAMPLES / "saltpan.yaml").read_text(encoding="utf-8"), big_plan(60, 200)])
def test_labels_stay_apart_and_texts_inside(text):
    for sheet in fuse_label_sheets(check_plan(read_text(text))):
        frames = [frame.box() for frame in labels(sheet)]
        assert frames
        for one, other in combinations(frames, 2):
            assert (
                one.right < other.left
                or other.right < one.left
                or one.bottom < other.top
                or other.bottom < one.top
            )
        for item in sheet.items:
            if isinstance(item, Text) and item.at[1] > 58.0:
                box = item.box()
                assert any(
                    f.left < box.left and box.right < f.right and f.top < box.top and box.bottom < f.bottom
                    for f in frames
                ), item.text


def test_an_open_fault_is_marked_at_its_way():
    signs = [i for sheet in fuse_label_sheets(van("alderford")) for i in sheet.items if isinstance(i, Symbol)]
    assert [sign.values for sign in signs] == [(("number", "2"),)]


def test_a_danger_is_banded_and_a_plan_without_boxes_has_a_sheet():
    (sheet,) = fuse_label_sheets(check_plan(read_text(CASES["battery_shorted"].trips)))
    assert any("DO NOT ENERGISE" in text.text for item in sheet.items for text in texts_of(item))
    bare = "loomwright: 1\ntitle: Bare\nregion: eu\n"
    (sheet,) = fuse_label_sheets(check_plan(read_text(bare)))
    assert any("no fuse box whose" in text.text for item in sheet.items for text in texts_of(item))


@pytest.mark.parametrize("to", ["svg", "dxf", "pdf"])
def test_draw_gives_it_in_every_form(to):
    (drawn,) = loomwright.draw(read_text(plan("", "")), "fuse-label", to)
    assert len(drawn) > 1000
