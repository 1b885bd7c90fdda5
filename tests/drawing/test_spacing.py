"""Each rule of spacing: a scene that keeps it, and one that breaks it by a little."""

from dataclasses import replace

import pytest

from loomwright.drawing.frame import border_items, column_middle, column_row
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import PLACE, Pen
from loomwright.drawing.scene import Circle, Link, Polyline, Slot, Symbol, Text, Wire, rectangle
from loomwright.drawing.spacing import (
    outside,
    place_on_contents,
    sign_on_anything,
    symbol_on_symbol,
    text_on_ink,
    text_on_text,
)
from loomwright.drawing.spacing_wires import (
    bend_faults,
    crossing_faults,
    loose_ends,
    parallel_wires,
    score,
    wire_and_symbol,
    wire_crossings,
    wire_through_edge,
    wiring_violations,
)
from loomwright.drawing.symbols import FINDINGS, SIGNS, bar, body_rail, rail
from loomwright.drawing.symbols_parts import joint
from loomwright.drawing.wires import broken_at_crossings
from tests.drawing.specimen import wiring

RED, BLACK = ("RD",), ("BK",)
W4 = Link("wire", "W4")


def wire(*points, core=0.7, colours=RED, of=None):
    return Wire(points, core, colours, of=of)


def circuit():
    """A rail, a fuse, a lamp, a stud: the plainest column there is."""
    x = column_middle(4, 19)
    return [
        rail(80, 120, 30),
        *body_rail(60, 140, 200),
        wire((x, 30), (x, 40), of=W4),
        Symbol(SIGNS["fuse"], (x, 45), of=Link("part", "F")),
        wire((x, 50), (x, 100), of=W4),
        Symbol(SIGNS["lamp"], (x, 105), of=Link("part", "lamp")),
        wire((x, 110), (x, 200), colours=BLACK),
        Symbol(SIGNS["stud"], (x, 200)),
        Text((x + 2.4, 60), "W4", 3.6, 600, of=W4),
        Text((x + 2.4, 63.8), "RD 1.0", 3.6, 500, of=W4),
        Text((x + 2.4, 67.4), "6.2 m", 2.9, ink="grey", of=W4),
    ]


def test_a_plain_column_is_clean():
    assert wiring_violations(circuit()) == ()
    counted = score(circuit())
    assert (counted.crossings, counted.bends, counted.overlaps) == (0, 0, 0)
    assert 0.9 < counted.white < 1.0


def test_a_diagram_set_with_care_is_clean(sample_border):
    """Sources, fuse box, pump, lamps behind a plug and a relay: the rules can all be kept at once."""
    items = (*border_items(sample_border()), *wiring())
    assert [str(violation) for violation in wiring_violations(items)] == []
    counted = score(items)
    assert (counted.crossings, counted.overlaps) == (1, 0)


def test_one_thing_put_where_another_is_gets_noticed():
    """Each text and each symbol of the diagram in turn, put upon the first lamp."""
    items, lamp = wiring(), Link("part", "lamp_1")
    movable = [item for item in items if isinstance(item, Text | Symbol) and item.of != lamp]
    assert len(movable) > 60
    for item in movable:
        crowded = (*items, replace(item, at=(column_middle(7, 19), 155.0)))
        assert text_on_ink(crowded) or symbol_on_symbol(crowded) or sign_on_anything(crowded), item


def test_three_label_lines_at_the_pitch_of_the_sketches_do_not_touch():
    lines = [Text((50, 50 + 3.8 * i), "W4gy|Qj", 3.6, 600) for i in range(3)]
    assert text_on_text(lines) == ()
    assert len(text_on_text([lines[0], Text((50, 52.5), "WH", 3.6)])) == 1


@pytest.mark.parametrize(("gap", "broken"), [(0.2, 0), (0.1, 1), (-0.5, 1)])
def test_text_keeps_from_text(gap, broken):
    first = Text((50, 50), "pump", 3.0)
    second = Text((50 + first.width + gap, 50), "fan", 3.0)
    assert len(text_on_text([first, second])) == broken


@pytest.mark.parametrize(
    ("of", "gap", "broken"), [(None, 0.35, 0), (None, 0.25, 1), (W4, 0.1, 0), (W4, -0.1, 1)]
)
def test_text_keeps_from_wires(of, gap, broken):
    label = Text((50, 50), "W4", 3.6, 600, of=W4)
    x = 50 - 0.53 - gap  # half a 0.7 core and its outline
    assert len(text_on_ink([label, wire((x, 30), (x, 80), of=of)])) == broken


def test_text_keeps_from_lines_and_signs_unless_paper_lies_under_it():
    line = Polyline(((40, 49), (80, 49)))
    assert len(text_on_ink([line, Text((50, 50), "pump", 3.0)])) == 1
    assert text_on_ink([line, Text((50, 50), "pump", 3.0, backed=True)]) == ()
    assert text_on_ink([line, Text((50, 48.5), "um", 3.0)]) == ()
    assert len(text_on_ink([Circle((52, 49), 5.0), Text((56, 50), "pump", 3.0)])) == 1
    assert text_on_ink([Circle((52, 49), 9.0), Text((50, 50), "M", 3.0)]) == ()
    assert len(text_on_ink([Symbol(SIGNS["switch"], (50, 50)), Text((47, 50), "S1", 3.0)])) == 1
    assert len(text_on_ink([wire((40, 49), (80, 49)), Text((50, 50), "pump", 3.0, backed=True)])) == 1


def test_paper_under_a_text_hides_no_line_of_a_thing():
    """A name may not lie on the diagonal of its own box, whatever is laid under it."""
    box = Link("part", "b2b")
    slash = Polyline(((40, 55), (60, 45)), of=box)
    assert len(text_on_ink([slash, Text((47, 51), "b2b", 3.6, 600, backed=True, of=box)])) == 1
    lying_on = replace(SIGNS["motor"], slots=(Slot("letter", (5.5, 0.0), "M", 3.6),))
    assert len(text_on_ink([Symbol(lying_on, (50, 50))])) == 1


@pytest.mark.parametrize("sign", SIGNS.values(), ids=SIGNS.keys())
def test_words_in_a_sign_keep_clear_of_its_lines(sign):
    values = tuple((slot.name, slot.default or "12") for slot in sign.slots)
    assert text_on_ink([Symbol(sign, (50, 50), values=values)]) == ()


def test_a_slanting_line_is_measured_along_its_slant():
    blade = Polyline(((50, 50), (60, 60)), Pen("ink", 0.5))
    assert text_on_ink([blade, Text((57, 53), "o", 3.0)]) == ()
    assert len(text_on_ink([blade, Text((53.5, 54.2), "o", 3.0)])) == 1


def test_nothing_leaves_the_frame():
    assert outside([Text((30, 30), "pump")]) == ()
    assert [v.what for v in outside([Text((408, 30), "pump")])] == ["text 'pump'"]
    assert len(outside([Symbol(SIGNS["lamp"], (22, 100))])) == 1
    assert len(outside([Text((30, 283.5), "low", layer="frame")])) == 1
    assert outside([Polyline(((20, 148.5), (15, 148.5)), layer="frame")]) == ()


@pytest.mark.parametrize(("distance", "broken"), [(6.4, 0), (6.2, 1), (3.0, 1)])
def test_symbols_keep_apart(distance, broken):
    fuses = [Symbol(SIGNS["fuse"], (x, 50)) for x in (50, 50 + distance)]
    assert len(symbol_on_symbol(fuses)) == broken
    same = [Symbol(SIGNS["fuse"], (x, 50), of=Link("part", "P1")) for x in (50, 52)]
    assert symbol_on_symbol(same) == ()


@pytest.mark.parametrize(("x", "broken"), [(56.0, 0), (55.4, 1)])
def test_the_sign_of_a_finding_stands_free(x, broken):
    sign = Symbol(FINDINGS["fault"], (x, 50), values=(("number", "2"),), of=Link("finding", "2"))
    assert len(sign_on_anything([sign, Symbol(SIGNS["fuse"], (50, 50))])) == broken
    leader = Polyline(((52.2, 50), (x - 2.55, 50)), Pen("ink", 0.25), of=sign.of)
    assert len(sign_on_anything([sign, leader])) == 0
    assert len(sign_on_anything([sign, Text((x + 3.0, 51), "pump", 3.0)])) == 1


@pytest.mark.parametrize(("x", "broken"), [(41.1, 0), (40.9, 1)])
def test_outlines_of_places_keep_from_their_contents(x, broken):
    place = rectangle(40, 40, 40, 40, pen=PLACE, layer="places")
    assert len(place_on_contents([place, Text((x + 0.13, 50), "pump", 3.0)])) == broken


def test_a_wire_ends_on_something():
    x = column_middle(4, 19)
    for stop in (99.0, 99.9, 100.1):
        items = circuit()
        items[4] = wire((x, 50), (x, stop))
        assert [v.rule for v in loose_ends(items)] == ["loose end"]
    assert loose_ends(circuit()) == ()
    on_bar = [bar(40, 90, 190), wire((50, 190), (50, 200)), *body_rail(40, 90, 200)]
    assert loose_ends(on_bar) == ()
    on_wire = [wire((50, 50), (50, 90)), wire((50, 70), (80, 70))]
    assert len(loose_ends([bar(40, 90, 50), bar(40, 90, 90), bar(80, 81, 70), *on_wire])) == 1
    assert (
        loose_ends([bar(40, 90, 50), bar(40, 90, 90), bar(80, 81, 70), *on_wire, Symbol(joint(), (50, 70))])
        == ()
    )


def test_no_wire_runs_through_a_symbol():
    fuse, stud, lamp = (Symbol(SIGNS[name], (50, 50)) for name in ("fuse", "stud", "lamp"))
    across = wire((30, 50), (70, 50))
    for symbol in (fuse, stud, lamp):
        assert len(wire_and_symbol([symbol, across])) == 1
    assert len(wire_and_symbol([fuse, wire((50, 30), (50, 55))])) == 1
    assert len(wire_and_symbol([fuse, wire((50, 45), (50, 55))])) == 1
    assert wire_and_symbol([fuse, wire((50, 30), (50, 45)), wire((50, 55), (50, 70))]) == ()
    assert len(wire_and_symbol([lamp, wire((50, 30), (50, 45), (50, 52), (70, 52))])) == 1
    assert wire_and_symbol([Symbol(joint(), (50, 50)), across]) == ()


@pytest.mark.parametrize(("x", "broken"), [(54.3, 0), (54.0, 1)])
def test_wires_keep_from_foreign_symbols(x, broken):
    assert len(wire_and_symbol([Symbol(SIGNS["fuse"], (50, 50)), wire((x, 20), (x, 80))])) == broken


def test_a_wire_enters_a_box_by_a_terminal_only():
    box = rectangle(40, 40, 30, 20)
    entering = wire((50, 20), (50, 45))
    assert len(wire_through_edge([box, entering])) == 1
    assert wire_through_edge([box, entering, Symbol(SIGNS["terminal"], (50, 40))]) == ()
    assert wire_through_edge([rectangle(40, 40, 30, 20, pen=PLACE, layer="places"), entering]) == ()


@pytest.mark.parametrize(
    ("core", "distance", "broken"), [(0.7, 3.1, 0), (0.7, 3.0, 1), (2.0, 4.4, 0), (2.0, 4.3, 1)]
)
def test_parallel_wires_keep_apart(core, distance, broken):
    pair = [wire((x, 20), (x, 80), core=core) for x in (50, 50 + distance)]
    assert len(parallel_wires(pair)) == broken
    assert parallel_wires(pair, 0.4) == ()
    ahead = [wire((50, 20), (50, 50), core=core), wire((50, 50), (50, 80), core=core)]
    assert parallel_wires(ahead) == ()


def test_crossings_stand_clear_of_bends_and_leave_the_later_wire_open():
    down, across = wire((50, 20), (50, 80)), wire((30, 50), (70, 50), core=2.0)
    assert [v.rule for v in crossing_faults([down, across])] == ["crossing not left open"]
    broken = broken_at_crossings([down, across])
    assert crossing_faults(broken) == ()
    assert broken[0] == down
    assert broken[1].gaps == ((20 - 1.53, 20 + 1.53),)  # half of 0.7, outline 0.18, paper 1.0
    bent = wire((30, 50), (52, 50), (52, 70))
    assert [v.rule for v in crossing_faults(broken_at_crossings([down, bent]))] == ["crossing near a bend"]
    dot = Symbol(joint(), (50, 52))
    assert [v.rule for v in crossing_faults([*broken, dot])] == ["crossing near a bend"]


def test_a_rail_is_never_broken():
    items = broken_at_crossings([wire((50, 20), (50, 80)), rail(30, 70, 50)])
    assert items[0].gaps == ((30 - 1.5, 30 + 1.5),)
    assert len(wire_crossings(items)) == 1
    assert broken_at_crossings([wire((50, 20), (50, 50)), rail(30, 70, 50)])[0].gaps == ()


def test_gaps_that_touch_become_one():
    items = [*(wire((x, 20), (x, 80)) for x in (50, 52.2)), wire((30, 50), (70, 50))]
    assert len(broken_at_crossings(items)[2].gaps) == 1
    assert [round(start, 2) for start, _ in broken_at_crossings(items)[2].pieces()] == [0.0, 23.73]


def test_bends_are_few_and_square():
    stairs = wire((30, 30), (30, 40), (40, 40), (40, 50), (50, 50), (50, 60))
    assert [(v.rule, v.measured) for v in bend_faults([stairs])] == [("bends", 4)]
    assert bend_faults([stairs], most=4) == ()
    assert [v.rule for v in bend_faults([wire((30, 30), (40, 40))])] == ["slanting wire"]


def test_a_violation_tells_where_and_how_much():
    (broken,) = text_on_text([Text((50, 50), "a"), Text((50, 50), "b")])
    assert str(broken).startswith("text on text at 50.0, 50.0: 'a' and 'b': -")


def test_column_row_names_the_spot():
    """The pump's sign of the sketch stands in 12.E of a sheet with 19 columns."""
    assert column_row((column_middle(12, 19), 190.0), 19) == "12.E"
    assert column_row((27.0, 15.0), 19) == "1.A"
    assert column_row((400.0, 280.0), 8) == "8.F"


def test_box_gap_is_the_clear_distance():
    box = Box(0, 0, 10, 10)
    assert box.gap(Box(13, 14, 20, 20)) == 5.0
    assert box.gap(Box(12, 0, 20, 10)) == 2.0
    assert box.gap(Box(9, 9, 20, 20)) == -1.0
