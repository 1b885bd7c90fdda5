"""Loads between batteries in series: what each side gives, over a day too, and what makes up for it."""

from __future__ import annotations

import pytest

from loomwright import assess, read_text
from loomwright.assessment.tapped import taps
from tests.rules.cases_topologies import tapped

EQUALISER = """  equaliser: {kind: equaliser, place: seat_base, current: 5 A}
wiring:
  e1: {from: upper.plus, fuse: 10 A high_breaking, to: equaliser.plus, area: 4 mm², length: 0.4 m}
  e2: {from: leisure.plus, fuse: 10 A high_breaking, to: equaliser.mid, area: 4 mm², length: 0.4 m}
  e3: {from: equaliser.minus, to: leisure.minus, area: 4 mm², length: 0.4 m}
"""


def test_the_lower_one_gives_it_alone():
    (tap,) = taps(assess(read_text(tapped(3.0))))
    assert (tap.load, tap.run, tap.below, tap.above) == ("radio", "C1", ("leisure",), ("upper",))
    assert tap.amps == pytest.approx(3.0)
    assert tap.ah_per_day is None


def test_a_load_across_the_upper_one_is_its_own():
    text = tapped(3.0).replace("from: leisure.plus, fuse: 5 A", "from: upper.plus, fuse: 5 A")
    text = text.replace("return: {to: E2, length: 0.4 m}", "return: {to: upper.minus}")
    (tap,) = taps(assess(read_text(text)))
    assert (tap.below, tap.above) == (("upper",), ("leisure",))


@pytest.mark.parametrize(
    ("use", "ah"),
    [("6 h", 18.0), ("6 h at 50 %", 9.0), ("6 h at 2 A", 12.0), ("18:00..22:00", None)],
)
def test_over_a_day(use, ah):
    text = f"{tapped(3.0)}use:\n  camp: {{months: [jun], loads: {{radio: {use}}}}}\n"
    (tap,) = taps(assess(read_text(text)))
    assert tap.ah_per_day == (None if ah is None else pytest.approx(ah))


@pytest.mark.parametrize(("amps", "found"), [(4.9, 0), (5.1, 1)])
def test_an_equaliser_makes_up_for_what_it_carries(amps, found):
    text = tapped(amps).replace("wiring:\n", EQUALISER)
    assert len(list(taps(assess(read_text(text))))) == found


def test_batteries_side_by_side_have_no_middle():
    text = (
        tapped(3.0)
        .replace("to: upper.minus", "to: upper.plus")
        .replace("from: upper.plus", "from: leisure.plus")
    )
    assert list(taps(assess(read_text(text)))) == []
