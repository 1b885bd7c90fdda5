"""Shorts along the wires of the six vans against what their pages work out by hand, and against the network.

By hand: open circuit when full over battery, copper at 20 °C, fuse and contacts of the loop.
"""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import check, read_text
from loomwright.assessment.along_record import WORDS, Along
from loomwright.assessment.assess import Corners
from loomwright.protection.opening import opening_time, opening_times
from loomwright.tables.fuses import FUSE_TYPES
from tests.plans import random_plan
from tests.scenarios.lines import EXAMPLES, VANS


@cache
def along(van: str) -> dict[str, Along]:
    """Return the shorts along the wires of a van."""
    return dict(Corners(read_text((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8"))).bad.faults.along)


@pytest.mark.parametrize("van", VANS)
def test_stretches_cover_a_wire_without_gaps(van):
    assert along(van)
    for one in along(van).values():
        assert one.stretches[0].from_m == 0.0
        for left, right in pairwise(one.stretches):
            assert left.to_m == right.from_m
            assert (left.word, left.harmed) != (right.word, right.harmed)
        for stretch in one.stretches:
            assert stretch.word in WORDS
            assert stretch.opens_s.low <= stretch.opens_s.high
            for least, most in zip(stretch.least_a, stretch.most_a, strict=True):
                assert 0.0 < least <= most * (1.0 + 1e-9)


def test_a_chafe_along_a_wire_without_a_fuse():
    """Alderford's T1 by hand: 285 A half-way and 154 A at the regulator, and nothing opens."""
    one = along("alderford")["T1"]
    assert one.at(2.85)[1] == pytest.approx(285, rel=0.15)
    assert one.at(0.0)[1] == pytest.approx(154, rel=0.15)
    assert one.verdict == "never"
    assert one.harmed
    assert math.isinf(one.at_most_s)


def test_a_converter_folds_back_and_its_fuse_need_not_open():
    """Saltpan: 22 A through the 40 A fuse of W3; 6 mm² carry that for ever, as 4 mm² do behind 15 A."""
    found = along("saltpan")
    assert found["W3"].verdict == "folds_back"
    assert found["W3"].most_a == pytest.approx(22.0)
    assert found["W5"].verdict == "slow"
    assert not any(found[id].harmed for id in ("W3", "W5", "W8", "W10"))


def test_only_wires_with_a_danger_of_their_own_are_harmed():
    harmed = {(van, one.run) for van in VANS for one in along(van).values() if one.harmed}
    assert harmed == {("alderford", "T1"), ("mossgrove", "W1")}


def test_the_band_changes_where_the_fuse_gets_slower():
    """Alderford's V2: behind its 40 A bolted fuse a short is over under 0.1 s, further away it is not."""
    assert [stretch.word for stretch in along("alderford")["V2"].stretches] == ["under 5 s", "under 0.1 s"]


def test_a_mode_that_feeds_from_elsewhere_counts():
    """C1 is fed by the leisure battery at rest; on the vehicle battery the way is longer."""
    one = along("alderford")["C1"]
    assert "leisure" in one.sources
    assert one.mode == "parked_vehicle"


def test_the_check_prints_every_stretch():
    done = check(read_text((EXAMPLES / "saltpan.yaml").read_text(encoding="utf-8"))).as_dict()
    found = {one["wire"]: one for one in done["faults"]["shorts"]}
    assert found.keys() == along("saltpan").keys()
    (whole,) = found["W3"]["stretches"]
    assert (whole["word"], whole["harmed"], whole["opens_s"]) == ("folds back", False, [None, None])
    assert whole["most_a"] == pytest.approx([22.0, 22.0])
    assert found["W5"]["opens_in_turn"][0] == {"at": "P1.2", "rating_a": 15.0}
    clears = {wire["id"]: wire["clears"]["verdict"] for wire in done["wires"]}
    assert (clears["W3"], clears["W5"], clears["W2"]) == ("folds_back", "slow", "fast")


# What always holds


KINDS = [kind for kind in FUSE_TYPES.values() if kind.gates]


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(KINDS), st.data(), st.floats(1.0, 4000.0))
def test_a_larger_fuse_of_a_type_never_opens_sooner(kind, data, amps):
    small, large = sorted(data.draw(st.tuples(*[st.sampled_from(kind.ratings_a)] * 2)))
    one, other = (opening_time(kind.name, rating, amps) for rating in (small, large))
    if next(row for row in kind.gates if small <= row.up_to_a) is next(
        row for row in kind.gates if large <= row.up_to_a
    ):  # within one row of the table: above 30 A a blade is made otherwise
        assert one.low <= other.low * (1.0 + 1e-9)
        assert one.high <= other.high * (1.0 + 1e-9)


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(KINDS), st.data())
def test_many_times_at_once_are_those_one_by_one(kind, data):
    rating = data.draw(st.sampled_from(kind.ratings_a))
    amps = data.draw(st.lists(st.floats(0.1, 5000.0), min_size=1, max_size=20))
    low, high = opening_times(kind.name, rating, np.array(amps))
    for k, one in enumerate(amps):
        alone = opening_time(kind.name, rating, one)
        assert low[k] == pytest.approx(alone.low)
        assert high[k] == pytest.approx(alone.high)


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 40), st.integers(0, 100))
def test_one_more_metre_of_cable_never_raises_a_short(seed, pick):
    """Of a random van; the metre is put into one feed; every metre of the others is held, and its end."""
    text = random_plan(seed, 6)
    feeds = list(re.finditer(r"\n  (\w+): \{from: [^\n]*?length: ([\d.]+) m", text))
    feed = feeds[pick % len(feeds)]
    longer = f"{text[: feed.start(2)]}{float(feed.group(2)) + 1.0:g}{text[feed.end(2) :]}"
    before, after = (Corners(read_text(one)).bad.faults.along for one in (text, longer))
    assert before.keys() == after.keys()
    for id, one in before.items():
        now = after[id]
        if one.run == feed.group(1):
            assert now.most_each_a[-1] <= one.most_each_a[-1] * (1.0 + 1e-9), id
            assert now.least_each_a[-1] <= one.least_each_a[-1] * (1.0 + 1e-9), id
            continue
        assert now.at_m == one.at_m
        assert all(a <= b * (1.0 + 1e-9) for a, b in zip(now.most_each_a, one.most_each_a, strict=True)), id
        assert all(a <= b * (1.0 + 1e-9) for a, b in zip(now.least_each_a, one.least_each_a, strict=True)), id
