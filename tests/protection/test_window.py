"""A fuse stands in a window: above what runs and starts through it, at most what its derated cable carries.

Random loads and surroundings. Every standard rating is tried by itself against the three tests, and every
size of cable behind it; the choice has to be the least of those that pass.
"""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright.errors import OutOfTableError
from loomwright.protection.fusing import FILL, smallest_fuse, standard_ratings
from loomwright.protection.opening import opening_time
from loomwright.protection.rating import TABLES, cable_rating
from loomwright.protection.sizing import sizes, smallest_that
from loomwright.tables.fuses import FUSE_TYPES

#: Sums leave dust behind.
DUST = 1e-5
LOADS = st.fixed_dictionaries(
    {
        "type": st.sampled_from(sorted(FUSE_TYPES)),
        "lasting_a": st.floats(0.1, 120.0),
        "start_share": st.floats(1.0, 7.0),
        "start_s": st.sampled_from((0.0, 0.05, 0.2, 1.0)),
    }
)
PLACES = st.fixed_dictionaries(
    {
        "table": st.sampled_from(TABLES),
        "insulation_c": st.sampled_from((70.0, 90.0, 105.0, 125.0)),
        "ambient_c": st.integers(10, 65).map(float),
        "bundled": st.integers(1, 12),
        "engine_space": st.booleans(),
    }
)


def carries(rating_a, load):
    """True if a fuse is filled to 80 % at most and surely outlasts the start: the two tests written out."""
    start_a = load["lasting_a"] * load["start_share"]
    filled = load["lasting_a"] <= FILL * rating_a * (1 + DUST)
    return filled and (
        not load["start_s"] or opening_time(load["type"], rating_a, start_a).low > load["start_s"]
    )


def chosen_fuse(load):
    start_a = load["lasting_a"] * load["start_share"]
    try:
        return smallest_fuse(load["lasting_a"], type=load["type"], start_a=start_a, start_s=load["start_s"])
    except OutOfTableError:
        return None


@settings(derandomize=True, max_examples=400, deadline=None)
@given(load=LOADS, place=PLACES, area=st.sampled_from(sizes(smallest_mm2=1.0)))
def test_the_choice_is_the_least_rating_in_the_window(load, place, area):
    """For a cable that is given: no choice, or one above the cable, only where no rating does everything."""
    rated_a = cable_rating(area, **place).amps
    window = [one for one in standard_ratings(load["type"]) if carries(one, load) and one <= rated_a]
    chosen = chosen_fuse(load)
    if window:
        assert chosen == window[0]
    else:
        assert chosen is None or chosen > rated_a


@settings(derandomize=True, max_examples=400, deadline=None)
@given(load=LOADS, place=PLACES)
def test_fuse_first_then_the_least_cable_that_it_guards(load, place):
    fuse_a = chosen_fuse(load)
    assume(fuse_a is not None)
    area = smallest_that(lambda one: cable_rating(one, **place).amps >= fuse_a, smallest_mm2=1.0)
    held = [one for one in sizes(smallest_mm2=1.0) if cable_rating(one, **place).amps >= fuse_a]
    assert area == (held[0] if held else None)
    assert load["lasting_a"] <= FILL * fuse_a * (1 + DUST)
    assert all(not carries(one, load) for one in standard_ratings(load["type"]) if one < fuse_a)
