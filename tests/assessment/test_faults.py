"""Shorts and missing fuses of the six vans against what their pages work out by hand, to 15 %.

By hand: open circuit when full (lead 12.8 V, LiFePO4 13.4 V, twice that at 24 V) over battery, copper at
20 °C, fuse and contacts of the loop.
"""

from __future__ import annotations

import math
import re
from functools import cache

import pytest

from loomwright import read_text
from loomwright.assessment.assess import Corners
from loomwright.assessment.record import Assessment
from loomwright.assessment.withstand import withstand
from tests.scenarios.lines import EXAMPLES, VANS

#: A fuse within this much cable of its source is near enough. [m]
NEAR_M = 0.3


@cache
def assessed(van: str) -> Assessment:
    return Corners(read_text((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8"))).bad


@pytest.mark.parametrize(
    ("van", "piece", "side", "amps"),
    [
        ("mossgrove", "W1", "b", 2135),
        ("mossgrove", "W2", "a", 1940),
        ("alderford", "T1", "b", 2540),
        ("highcol", "W3.master", "a", 3530),
        ("amberquay", "main", "a", 2100),
        ("planeshed", "I1", "a", 4050),
        ("saltpan", "W1.master", "a", 2490),
    ],
)
def test_short_behind_a_fuse_or_at_a_bare_end(van, piece, side, amps):
    short = assessed(van).faults.largest.ends[piece, side]
    assert short.here_a == pytest.approx(amps, rel=0.15)
    assert short.amps == pytest.approx(short.volts / short.ohm)


@pytest.mark.parametrize(
    ("van", "box", "amps"),
    [
        ("mossgrove", "P1", 1490),
        ("highcol", "P1", 1800),
        ("amberquay", "P1", 1475),
        ("alderford", "U1/ways_l", 1439),
    ],
)
def test_short_at_a_fuse_box(van, box, amps):
    assert assessed(van).faults.largest.bars[box].amps == pytest.approx(amps, rel=0.15)


def test_smallest_short_is_never_larger_than_the_largest():
    for van in VANS:
        faults = assessed(van).faults
        for end, short in faults.smallest.ends.items():
            if end in faults.largest.ends:
                assert short.amps <= faults.largest.ends[end].amps * (1.0 + 1e-9), (van, end)


def test_ends_that_a_battery_reaches_without_a_fuse():
    """Mossgrove's leisure end, Alderford's starter end; Planeshed's sheathed link is part of its bank."""
    bare = {
        (van, end.run)
        for van in VANS
        for end in assessed(van).faults.unfused
        if end.free and end.reach_m > NEAR_M
    }
    assert bare == {("mossgrove", "W1"), ("alderford", "T1"), ("planeshed", "link_plus")}


def test_what_limits_itself_counts_by_its_output():
    """Highcol's bar: 40 A charger and 13.2 A regulator, which 175 Wp at 13.3 V and 75 % bring."""
    ends = {(end.piece, end.side): end for end in assessed("highcol").faults.unfused}
    assert ends["W3", "b"].amps == pytest.approx(40.0 + 175 / 13.3, rel=0.01)
    assert ends["W3", "b"].sources == ("b2b", "regulator")
    assert not ends["W3", "b"].free


def test_breaking_capacity_and_what_backs_it():
    """Blades break 1,000 A by the scope of ISO 8820-3; Planeshed's states 1 kA and has nothing before it."""
    found = {(van, one.owner): one for van in VANS for one in assessed(van).faults.breaking}
    assert not found["planeshed", "I1"].holds
    assert found["planeshed", "I1"].backed_by == ()
    fridge = found["amberquay", "L1"]
    assert fridge.can is not None
    assert fridge.can.least_a == 1000.0
    assert fridge.asked_a == pytest.approx(1475, rel=0.15)
    assert fridge.backed_by == ("main",)
    assert found["alderford", "FC2"].holds


def test_a_far_short_is_cleared_before_the_cable_gives_in():
    """Mossgrove's W4: 88 A by hand with the battery full, 15 A blade; less when it is nearly empty."""
    job = assessed("mossgrove")
    short = job.faults.smallest.ends["W4", "b"]
    assert 60.0 < short.amps < 88.0
    wire = job.wires["W4"]
    stands = withstand(wire, wire.fuses[0], short.amps)
    assert stands is not None
    assert not stands.harmed
    assert stands.survives_s == pytest.approx((115.0 * 1.0 / short.amps) ** 2, rel=0.01)  # BS 7671, k 115


def test_what_is_not_known_widens_both():
    text = (EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8").replace("resistance: 5 mΩ,", "")
    corners = Corners(read_text(text))
    bad, good = corners.bad.faults, corners.good.faults
    assert bad.largest.ends["W2", "a"].amps > good.largest.ends["W2", "a"].amps
    assert bad.smallest.ends["W4", "b"].amps < good.smallest.ends["W4", "b"].amps
    assert math.isfinite(bad.largest.ends["W2", "a"].amps)


def test_a_point_may_be_called_like_the_end_of_a_wire():
    """Alderford's unit has a run `l` and a terminal `lb`: another name for the terminal changes nothing."""
    text = (EXAMPLES / "alderford.yaml").read_text(encoding="utf-8")
    renamed = re.sub(r"\blb\b", "inlet_l", text)
    assert "from: inlet_l, to: bar_l" in renamed
    bars = [Corners(read_text(one)).bad.faults.largest.bars["U1/ways_l"] for one in (text, renamed)]
    assert bars[0].amps == pytest.approx(bars[1].amps)
    assert bars[0].amps == pytest.approx(1439, rel=0.001)
