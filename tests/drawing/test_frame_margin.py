"""The findings margin: the order of its entries, and that no line of it meets another, however full it is."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.drawing.frame import MARGIN_BOX
from loomwright.drawing.frame_margin import MarginEntry, findings_margin, in_margin_order
from loomwright.drawing.scene import Polyline, Symbol, Text
from loomwright.drawing.spacing import text_on_ink, text_on_text

SEVERITIES = ("danger", "fault", "watch", "note")
WORDS = st.one_of(
    st.integers(0, 60).map(lambda count: "word of it " * count),
    st.sampled_from(["", "W" * 200, "Ǻ Ểg j" * 9, "</svg>" * 40, "🚐🔋" * 30, "משאבת " * 20, "\x00\u202e"]),
    st.text(max_size=60),
)
ENTRIES = st.lists(
    st.builds(
        MarginEntry,
        number=st.integers(1, 99),
        severity=st.sampled_from(SEVERITIES),
        name=WORDS,
        spot=st.sampled_from(["", "1.A", "12.E", "13/12.E"]),
        says=WORDS,
        cure=WORDS,
    ),
    max_size=40,
).map(tuple)


def entry(number: int, severity: str, spot: str, *, says: str = "So it is.") -> MarginEntry:
    return MarginEntry(
        number=number, severity=severity, name=f"W{number}", spot=spot, says=says, cure="Mend."
    )


def test_gravest_first_then_from_left_to_right():
    """Danger, fault, watch, note, then by column: typed by hand."""
    given_ = [
        entry(1, "note", "1.A"),
        entry(2, "fault", "12.B"),
        entry(3, "fault", "9.E"),
        entry(4, "fault", "9.C"),
        entry(5, "danger", "19.F"),
        entry(6, "fault", "2/1.A"),
        entry(7, "fault", ""),
        entry(8, "watch", "3.A"),
    ]
    assert [one.number for one in in_margin_order(given_)] == [5, 4, 3, 2, 6, 7, 8, 1]


@settings(derandomize=True, max_examples=150, deadline=None)
@given(entries=ENTRIES, rest_at=WORDS, danger=WORDS, notice=WORDS)
def test_no_line_of_a_margin_meets_another(entries, rest_at, danger, notice):
    items = list(findings_margin(MARGIN_BOX, entries, rest_at, danger, notice))
    assert text_on_text(items) == ()
    assert text_on_ink(items) == ()
    assert all(MARGIN_BOX.holds(item.box()) for item in items)


@pytest.mark.parametrize("length", range(1, 61))
def test_the_last_line_keeps_clear_of_the_key(length):
    """Entries of every height end above the rule over the key; what does not fit is counted."""
    entries = tuple(
        entry(number, "fault", "1.A", says="so many words " * length) for number in range(1, 3 + 60 // length)
    )
    items = list(findings_margin(MARGIN_BOX, entries, "in the list of check", "", ""))
    rule = next(item for item in items if isinstance(item, Polyline)).points[0][1]
    above = [item.box().bottom for item in items if isinstance(item, Text | Symbol) and item.box().top < rule]
    assert max(above) <= rule - 0.5
    shown = sum(isinstance(item, Symbol) and item.scale == 1 for item in items)
    more = [item.text for item in items if isinstance(item, Text) and "more, in the list" in item.text]
    assert more == ([f"{len(entries) - shown} more, in the list of check"] if shown < len(entries) else [])
