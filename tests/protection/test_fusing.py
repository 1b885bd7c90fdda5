"""The choice of fuses, and how soon they open."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import OutOfTableError
from loomwright.protection.fusing import (
    FILL,
    breaking_capacity,
    fuse_resistance,
    fuse_resistance_source,
    fuse_shortfall,
    fuse_steps,
    smallest_fuse,
    standard_ratings,
    usual_type,
)
from loomwright.protection.opening import opening_time
from loomwright.steps import evaluate
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.units import Band

TYPES = st.sampled_from(sorted(FUSE_TYPES))


@settings(derandomize=True, max_examples=400, deadline=None)
@given(
    type=TYPES,
    lasting_a=st.floats(0.0, 60.0),
    start_share=st.floats(1.0, 6.0),
    start_s=st.sampled_from((0.0, 0.02, 0.08, 0.5, 2.0, 60.0)),
)
def test_the_chosen_fuse_serves_and_the_next_smaller_does_not(type, lasting_a, start_share, start_s):
    start_a = lasting_a * start_share
    try:
        chosen = smallest_fuse(lasting_a, type=type, start_a=start_a, start_s=start_s)
    except OutOfTableError:
        chosen = math.inf
    need = {"type": type, "start_a": start_a, "start_s": start_s}
    for rating_a in standard_ratings(type):
        shortfall = fuse_shortfall(rating_a, lasting_a, **need)
        assert (shortfall is None) == (rating_a >= chosen)


@settings(derandomize=True, max_examples=400, deadline=None)
@given(type=TYPES, current_a=st.floats(0.1, 5000.0))
def test_a_larger_fuse_of_a_type_never_opens_sooner(type, current_a):
    bands = [opening_time(type, rating_a, current_a) for rating_a in standard_ratings(type)]
    for smaller, larger in pairwise(bands):
        assert larger.low >= smaller.low * (1 - 1e-12)
        assert larger.high >= smaller.high * (1 - 1e-12)


@settings(derandomize=True, max_examples=400, deadline=None)
@given(type=TYPES, multiple=st.floats(0.5, 30.0), more=st.floats(1.0, 3.0))
def test_more_current_never_opens_later(type, multiple, more):
    for rating_a in standard_ratings(type):
        now = opening_time(type, rating_a, multiple * rating_a)
        harder = opening_time(type, rating_a, multiple * more * rating_a)
        assert harder.low <= now.low * (1 + 1e-12)
        assert harder.high <= now.high * (1 + 1e-12)


def test_between_gates_times_lie_on_a_line_in_log_log():
    """Halfway between 200 % and 350 % in log of current is halfway in log of time."""
    middle = math.sqrt(2.0 * 3.5) * 10.0
    band = opening_time("blade", 10.0, middle)
    assert band.low == pytest.approx(math.sqrt(0.15 * 0.08))
    assert band.high == pytest.approx(math.sqrt(5.0 * 0.5))


def test_a_start_is_outlasted_at_the_cold_end_of_the_gate():
    """A blade may open after 0.15 s at twice its rating."""
    assert fuse_shortfall(10.0, 6.0, type="blade", start_a=20.0, start_s=0.149) is None
    assert fuse_shortfall(10.0, 6.0, type="blade", start_a=20.0, start_s=0.15) == "start"


def test_a_long_start_counts_as_lasting_for_a_type_without_opening_times():
    """Block on the post and glass: no shortest time is known, so the start must not pass the rating."""
    assert smallest_fuse(20.0, type="post", start_a=79.0, start_s=0.1) == 80
    assert smallest_fuse(2.0, type="glass", start_a=7.4, start_s=0.1) == 7.5


def test_eighty_per_cent_is_allowed_and_a_hair_more_is_not():
    assert fuse_shortfall(10.0, 8.0, type="blade") is None
    assert fuse_shortfall(10.0, 8.0 * 1.00002, type="blade") == "fill"
    assert fuse_shortfall(15.0, FILL * 15.0, type="blade") is None


def test_no_fuse_is_large_enough():
    with pytest.raises(OutOfTableError, match=r"no blade fuse carries 33 A; the largest is 40 A"):
        smallest_fuse(33.0, type="blade")
    with pytest.raises(OutOfTableError, match=r"with a start of 300 A for 2 s"):
        smallest_fuse(10.0, type="blade", start_a=300.0, start_s=2.0)
    with pytest.raises(OutOfTableError, match='no fuse type "brick"; held: blade, mini_blade'):
        standard_ratings("brick")


@settings(derandomize=True, max_examples=300, deadline=None)
@given(type=TYPES, lasting_a=st.floats(0.1, 60.0), start_share=st.floats(1.0, 12.0))
def test_every_step_works_out_again(type, lasting_a, start_share):
    for rating_a in standard_ratings(type):
        steps = fuse_steps(rating_a, lasting_a, type=type, start_a=start_share * rating_a, start_s=0.1)
        for step in steps:
            assert evaluate(step) == pytest.approx(step.value, rel=1e-9)
    assert fuse_steps(10.0, 5.0, type=type)[-1].symbol == "fill"


@pytest.mark.parametrize(
    ("rating_a", "typed_mohm"),
    [(3, 32), (5, 17), (7.5, 11), (10, 7.5), (15, 4.8), (20, 3.4), (25, 2.8), (30, 2.0)],
)
def test_resistance_of_blades_spans_figures_of_the_trade(rating_a, typed_mohm):
    """Common practice: figures that workshops count with, element or holder and all."""
    kind = FUSE_TYPES["blade"]
    element = kind.cold_ohm.get(rating_a) or kind.cold_drop_v.times(1 / rating_a)
    whole = fuse_resistance("blade", rating_a)
    assert element.low * 0.999 <= typed_mohm / 1000 <= whole.high


@pytest.mark.parametrize(
    ("rating_a", "typed_mohm"),
    [(40, 1.4), (40, 1.7), (50, 1.4), (60, 1.2), (70, 1.0), (80, 0.9), (100, 0.65), (150, 0.40), (250, 0.25),
     (300, 0.20), (400, 0.15)],
)  # fmt: skip
def test_resistance_of_bolted_fuses_spans_figures_of_the_trade(rating_a, typed_mohm):
    """Common practice, as above."""
    band = fuse_resistance("bolted", rating_a)
    assert band.low <= typed_mohm / 1000 <= band.high


def test_a_stated_resistance_replaces_the_band():
    stated = {10.0: Band(0.0077, 0.0077)}
    assert fuse_resistance("blade", 10.0, stated) == Band(0.0077, 0.0077)
    assert fuse_resistance("blade", 15.0, stated) == fuse_resistance("blade", 15.0)


def test_a_fuse_of_unknown_type():
    assert fuse_resistance("unknown", 10.0) == fuse_resistance(usual_type(10.0), 10.0)
    assert fuse_resistance("unknown", 100.0) == fuse_resistance("bolted", 100.0)
    assert fuse_resistance_source("unknown", 100.0).checked == "from memory"
    assert breaking_capacity("unknown", 100.0, 12.8) is None
    assert opening_time("unknown", 10.0, 500.0) == Band(0.0, math.inf)
