"""The border of a sheet: where its lines are, and that no text, however long, leaves its cell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawing.frame import FIELD_BOX, FRAME_BOX, MARGIN_BOX, Border, border_items, column_middle
from loomwright.drawing.frame_foot import LOWEST, MOST_SIGNS, TitleBlock, signs_left
from loomwright.drawing.frame_margin import MarginEntry
from loomwright.drawing.geometry import Box
from loomwright.drawing.scene import SMALLEST_TYPE_MM, Polyline, Symbol, Text, texts_of
from loomwright.drawing.spacing import outside, text_on_ink, text_on_text
from loomwright.drawing.symbols import SIGNS

NAMES = {
    "long": "left post, roof left, rear roof rib and then on " * 7,
    "one word": "W" * 300,
    "right to left": "משאבת מים " * 30,
    "emoji": "🚐🔋" * 40,
    "markup": "</svg><script>alert('\"&')</script>" * 8,
    "cells": "=cmd|'/c calc'!A0",
    "control": "\x00\x1b\u202e\ud800" * 20,
    "empty": "",
}


def named(sample_border, name, count=40):
    """Return a border in which every text is `name`, with as many of everything as given."""
    block = TitleBlock(
        van=name, serial=name, region=name, title=name, revision=name, date=name, sheet=10, sheets=123,
        drawn=name, checked=name, units=name, changes=((name, name),) * 4, reads_with=(name,) * 4,
    )  # fmt: skip
    severities = ("danger", "fault", "watch", "note")
    findings = tuple(
        MarginEntry(number=n + 1, severity=severities[n % 4], name=name, spot=name, says=name, cure=name)
        for n in range(count)
    )
    return sample_border(
        title_block=block, findings=findings, cautions=(name,) * count, key=name, rest_at=name,
        signs=tuple(SIGNS.values())[:count], danger_band=name, notice=name,
    )  # fmt: skip


def cell_of(text):
    """Return the cell of the border in which a text begins."""
    x, y = text.box().centre[0], text.at[1]
    if y > 251.0 and x > 230.0:
        xs = (230.0, 328.0) if x < 328.0 else (328.0, 410.0)
        if x > 328.0 and y < 273.0:
            xs = next((a, b) for a, b in ((328.0, 355.0), (355.0, 382.0), (382.0, 410.0)) if x < b)
        return Box(xs[0], 251.0, xs[1], LOWEST)
    if y > 251.0:
        return Box(20.0, 251.0, 230.0, LOWEST)
    return MARGIN_BOX if x > MARGIN_BOX.left else Box(20.0, 10.0, MARGIN_BOX.left, 251.0)


@pytest.mark.parametrize("count", [0, 1, 4, 40])
@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_no_text_leaves_its_cell_or_meets_another(sample_border, name, count):
    items = border_items(named(sample_border, name, count))
    assert outside(items) == ()
    texts = [text for item in items for text in texts_of(item)]
    assert [text.text for text in texts if not cell_of(text).holds(text.box())] == []
    assert text_on_text(items) == ()
    assert text_on_ink(items) == ()


def test_the_sample_border_is_clean(sample_border):
    items = border_items(sample_border())
    assert (outside(items), text_on_text(items), text_on_ink(items)) == ((), (), ())


@given(st.text(max_size=80))
def test_any_name_stays_inside(name):
    block = TitleBlock(
        van=name,
        serial=name,
        region=name,
        title=name,
        revision=name,
        date=name,
        sheet=1,
        sheets=2,
        drawn=name,
    )
    entry = MarginEntry(number=1, severity="note", name=name, spot="1.A", says=name, cure=name)
    items = border_items(Border(columns=19, title_block=block, findings=(entry,), cautions=(name,)))
    assert outside(items) == ()
    assert text_on_text(items) == ()


@pytest.mark.parametrize("columns", [8, 19])
def test_columns_and_rows_name_the_field(sample_border, columns):
    items = border_items(sample_border(columns=columns))
    numbers = [
        item for item in items if isinstance(item, Text) and item.text.isdigit() and item.anchor == "middle"
    ]
    assert sorted(int(text.text) for text in numbers) == sorted([*range(1, columns + 1)] * 2)
    assert {text.at[0] for text in numbers} == {column_middle(n, columns) for n in range(1, columns + 1)}
    letters = [t.text for t in items if isinstance(t, Text) and t.at[0] < FIELD_BOX.left and t.at[1] < 251]
    assert "".join(letters) == "ABCDEF"


def test_measures_of_the_frame():
    """Frame 20 from the binding edge and 10 elsewhere, 17.6 a column, 19 of them: the look's section 1."""
    assert (FRAME_BOX.left, FRAME_BOX.top, FRAME_BOX.right, FRAME_BOX.bottom) == (20.0, 10.0, 410.0, 287.0)
    assert column_middle(2, 19) - column_middle(1, 19) == pytest.approx(17.6, abs=0.01)


def test_only_centre_marks_stand_outside_the_frame(sample_border):
    outer = FRAME_BOX.grown(0.36)
    beyond = [item for item in border_items(sample_border()) if not outer.holds(item.box())]
    assert all(isinstance(item, Polyline) for item in beyond)
    assert len(beyond) == 4


def test_no_letter_is_smaller_than_reads_on_a4(sample_border):
    items = border_items(named(sample_border, NAMES["long"]))
    assert min(text.size for item in items for text in texts_of(item)) >= SMALLEST_TYPE_MM


def test_lists_that_are_too_long_say_how_many_more(sample_border):
    items = border_items(named(sample_border, "a name of middling length, with a figure of 12.3 V", 37))
    texts = [item.text for item in items if isinstance(item, Text)]
    shown = {item.of.id for item in items if isinstance(item, Symbol) and item.of}
    assert f"{37 - len(shown)} more, " in " ".join(texts)
    assert f"{37 - MOST_SIGNS + 1} more in the book" in texts
    assert any(text.endswith("more with the book's cautions.") for text in texts)


def test_checked_is_open_until_a_name_is_entered(sample_border):
    texts = [item.text for item in border_items(sample_border()) if isinstance(item, Text)]
    assert texts[texts.index("Checked") + 1] == "open"
    assert "no findings" not in texts
    silent = [item.text for item in border_items(sample_border(findings=())) if isinstance(item, Text)]
    assert "no findings" in silent


def test_the_key_of_signs_shows_those_used(sample_border):
    items = border_items(sample_border())
    titles = [item.text for item in items if isinstance(item, Text)]
    assert all(SIGNS[name].title in titles for name in ("fuse", "fuse_missing", "stud"))
    assert "motor" not in titles
    assert [t for t in titles if t in ("do not energise", "fix before handover", "watch", "note")] == [
        "do not energise",
        "fix before handover",
        "watch",
    ]


@pytest.mark.parametrize("sign", SIGNS.values(), ids=SIGNS)
def test_every_sign_fits_its_line_of_the_key(sample_border, sign):
    items = border_items(sample_border(signs=(sign,)))
    symbol = next(item for item in items if isinstance(item, Symbol) and item.layer == "frame")
    assert Box(signs_left(1), 258.5, 230.0, 263.6).holds(symbol.box())
    assert sign.title in [item.text for item in items if isinstance(item, Text)]
