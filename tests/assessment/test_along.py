"""Shorts along the wires of the six vans against what their pages work out by hand, and against the network.

By hand: open circuit when full over battery, copper at 20 °C, fuse and contacts of the loop.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import pytest

from loomwright import read_text
from loomwright.assessment.along_record import WORDS, Along
from loomwright.assessment.assess import Corners
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
