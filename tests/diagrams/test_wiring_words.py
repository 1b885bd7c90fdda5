"""What the wiring diagram says beside its signs: how many alike, settings, open ends, feet."""

from itertools import pairwise

import pytest

from loomwright.drawing.frame import FIELD_BOX, column_middle
from loomwright.drawing.geometry import Box, box_of_boxes, box_of_points
from loomwright.drawing.scene import Link, Polyline, Sheet, Symbol, Text, Wire
from loomwright.drawing.spacing import is_finding_sign
from tests.diagrams.test_any_connection import connected
from tests.diagrams.test_wiring import VANS, checked, sheets, words


def beside(van: str, id: str) -> list[str]:
    """Return the texts that belong to a part, feet and all."""
    return [
        item.text
        for sheet in sheets(van)
        for item in sheet.items
        if isinstance(item, Text) and item.of and item.of.kind == "part" and item.of.id == id
    ]


def feet(van: str, place: int) -> dict[int, str]:
    """Return the words in the feet of a sheet by the column in whose middle they begin, from 1."""
    found: dict[int, str] = {}
    for item in sheets(van)[place].items:
        if isinstance(item, Text) and item.layer == "frame" and 218.0 < item.at[1] < 235.4:
            column = min(range(1, 39), key=lambda k: abs(_at(k) - item.at[0]))
            if item.at[0] < FIELD_BOX.right:
                found[column] = f"{found.get(column, '')} {item.text}".strip()
    return found


def _at(half_column: int) -> float:
    """Return the x of half columns: 1 is the middle of column 1, 2 the seam behind it. [mm]"""
    return column_middle(1, 19) + (half_column - 1) * 8.8


@pytest.mark.parametrize(
    ("van", "id", "many"),
    [
        ("alderford", "roof_lights", "6 × roof_lights"),
        ("mossgrove", "lamps", "4 × lamps"),
        ("saltpan", "usb", "2 × usb"),
        ("saltpan", "panel", "2 × panel"),
    ],
)
def test_one_sign_for_several_says_how_many(van: str, id: str, many: str):
    assert many in " ".join(beside(van, id))


def test_several_in_one_sign_say_how_they_are_joined_and_what_each_takes():
    """How they are joined is left out where there is no room; what they take stands in the foot too."""
    alike = [beside("alderford", "roof_lights"), beside("highcol", "lamps"), beside("mossgrove", "lamps")]
    assert any("in parallel" in told for told in alike)
    assert "1.25 A together" in " ".join(alike[0])
    assert "2.5 W each" in " ".join(alike[2])


@pytest.mark.parametrize(("van", "id"), [("alderford", "U1/charger"), ("amberquay", "charger")])
def test_a_charger_says_that_its_mains_side_is_not_here(van: str, id: str):
    assert {"mains side: not", "on this sheet"} <= set(beside(van, id))


def test_contacts_that_move_by_themselves_say_when():
    assert "drops < 12.2 V for 30 s" in beside("alderford", "U1/KS")
    assert "off while DP is live" in beside("alderford", "U1/KP")
    assert {"opens", "11.4", "12.6"} <= set(" ".join(beside("alderford", "U1/KF")).split())


def test_an_inner_line_that_nothing_is_wired_to_names_its_port():
    told = words(sheets("alderford")[1])
    assert {"X1_7", "X1_8"} <= set(told)
    assert told.count("not wired") == 2


def test_a_carrier_on_a_post_says_so():
    for id in ("FC1_post", "FC2_post"):
        own = [i.text for i in sheets("alderford")[0].items if isinstance(i, Text) and i.of and i.of.id == id]
        assert "on the post" in " ".join(own)


@pytest.mark.parametrize("van", VANS)
def test_no_column_with_a_line_lacks_a_foot(van: str):
    """Each foot of a sheet that has something over it says what that is there for."""
    for place, sheet in enumerate(sheets(van)):
        told = feet(van, place)
        seams = sorted(
            line.points[0][0]
            for line in sheet.items
            if isinstance(line, Polyline) and line.layer == "frame" and 217.0 < line.points[0][1] < 218.0
            if line.points[0][0] == line.points[1][0]
        )
        edges = [FIELD_BOX.left, *seams, FIELD_BOX.right]
        upright = [
            w.points for w in sheet.items if isinstance(w, Wire) and w.points[-1][0] == w.points[-2][0]
        ]
        xs = [points[-1][0] for points in upright]
        for left, right in pairwise(edges):
            if any(left < x < right for x in xs):
                assert any(left < _at(column) < right for column in told), (place, left)


def test_the_outline_of_a_box_is_open_where_a_line_only_passes():
    """No fuse of another line stands on an outline: Alderford's carriers, with D1 and T1 passing them."""
    for sheet in sheets("alderford"):
        level = [
            (*line.points, line.of.id)
            for line in sheet.items
            if isinstance(line, Polyline) and line.pen.dash[:1] == (4.0,) and line.of
            if line.points[0][1] == line.points[1][1]
        ]
        for fuse in (i for i in sheet.items if isinstance(i, Symbol) and i.sign.name == "fuse" and i.of):
            (x, y) = fuse.at
            for (left, edge), (right, _), _ in level:
                assert not (abs(edge - y) < 5.0 and left < x + 2.0 and x - 2.0 < right), fuse.of


def pieces_of(sheet: Sheet, id: str) -> list[Box]:
    """Return the straight pieces of a wire on a sheet."""
    wires = (item for item in sheet.items if isinstance(item, Wire) and item.of == Link("wire", id))
    return [box_of_points(pair, wire.half_width) for wire in wires for pair in pairwise(wire.points)]


def label_of(sheet: Sheet, id: str) -> list[Text]:
    """Return the lines of a wire's own label, the ratings of its fuses left out."""
    own = [i for i in sheet.items if isinstance(i, Text) and i.layer == "text" and i.of == Link("wire", id)]
    first = next((i for i, text in enumerate(own) if text.weight == 600), len(own))
    return own[first:]


@pytest.mark.parametrize("van", VANS)
def test_the_label_of_each_wire_is_near_it_and_tells_colour_and_size(van: str):
    """Cores of a cable share their size, which stands at its ring; a maker's own cable has none."""
    job, seen = checked(van).assessment, 0
    for sheet in sheets(van):
        for id, figure in job.wires.items():
            label, pieces = label_of(sheet, id), pieces_of(sheet, id)
            if label and pieces:
                box = box_of_boxes(text.box() for text in label)
                assert min(box.gap(piece) for piece in pieces) < 4.0, id
                told = " ".join(text.text for text in label)
                assert figure.factory or figure.colour in told, id
                if figure.area_mm2 and not figure.factory and not id.startswith("X1_"):
                    assert f"{figure.area_mm2:g}" in told, id
                    seen += 1
    assert seen > 5


@pytest.mark.parametrize(("van", "upper", "lower"), [
    ("amberquay", "L3.switch_bed.a", "L3.switch_bed.b"), ("highcol", "W7.S2.a", "W7.S2.b"),
])  # fmt: skip
def test_travellers_have_their_labels_over_and_under_them(van: str, upper: str, lower: str):
    (sheet,) = sheets(van)
    over, under = (box_of_boxes(text.box() for text in label_of(sheet, id)) for id in (upper, lower))
    assert over.bottom < pieces_of(sheet, upper)[0].top < pieces_of(sheet, lower)[0].bottom < under.top


def test_a_sign_stands_clear_of_what_it_does_not_mean():
    """The finding about W9 of Saltpan once stood against the converter beside that wire."""
    numbers = [str(n) for n, one in enumerate(checked("saltpan").findings, 1) if one.where == "W9"]
    sheet = sheets("saltpan")[0]
    boxes = [i.box() for i in sheet.items if isinstance(i, Symbol) and is_finding_sign(i) and i.at[0] < 360.0
             and dict(i.values).get("number") in numbers]  # fmt: skip
    converter = [i.box() for i in sheet.items if i.of == Link("part", "converter")]
    assert boxes
    for box in boxes:
        to_wire = min(box.gap(piece) for piece in pieces_of(sheet, "W9"))
        assert to_wire < 4.0 < min(box.gap(other) for other in converter)


def test_a_relay_with_two_wires_on_a_terminal_is_drawn_whole():
    """Both are joined within its box, the contact still stands between its ends, the settings keep clear."""
    _, (sheet, *_) = connected("mossgrove", ("regulator.panel", "P1.4"), ("relay.a", "P1.6"))
    own = [item for item in sheet.items if item.of == Link("part", "relay")]
    contact = [item for item in own if isinstance(item, Symbol) and item.sign.name == "relay_contact"]
    assert len(contact) == 1
    across = contact[0].at[1]
    lines = [item.points for item in own if isinstance(item, Polyline) and len(item.points) == 3]
    assert sum(abs(points[-1][1] - across) < 0.01 for points in lines) == 3
