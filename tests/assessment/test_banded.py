"""A figure's band holds whatever is true within what is not known exactly."""

from __future__ import annotations

import re
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import read_text
from loomwright.assessment import bands as defaults
from loomwright.assessment.assess import Corners
from loomwright.assessment.banded import Bands, Expected, bands_of
from loomwright.assessment.inputs import Corner
from loomwright.assessment.record import Assessment
from loomwright.tables.contacts import CONTACTS
from tests.plans import random_plan
from tests.scenarios.lines import VANS, checked

seeds = st.integers(0, 10**6)
CIRCUIT = [
    "running_a",
    "start_a",
    "loop_resistance_ohm",
    "drop_v",
    "drop_pct",
    "drop_run_v",
    "start_drop_v",
    "start_drop_pct",
    "load_v",
    "start_load_v",
    "drop_together_v",
]
WIRE = ["current_a", "peak_a", "rating_a", "drop_v", "drop_pct"]


def with_ranges(text: str, chance: Random) -> str:
    """Return a plan of which some figures are ranges."""

    def ranged(found: re.Match[str]) -> str:
        if chance.random() < 0.6:
            return found[0]
        value, unit = float(found[2]), found[3]
        return f"{found[1]} {value * chance.uniform(0.7, 1):.3f}..{value * chance.uniform(1, 1.4):.3f} {unit}"

    return re.sub(r"(running:|length:|start:) ([\d.]+) (A|W|m)\b", ranged, text)


def outside(bands: Bands, job: Assessment) -> list[str]:
    """Return the figures of an assessment that lie outside their bands."""
    found = []

    def look(name: str, band: Expected | None, value: float | None) -> None:
        if band is None or value is None:
            return
        slack = 1e-7 + 1e-7 * abs(value)
        if not band.low - slack <= value <= band.high + slack:
            found.append(f"{name}: {value} not in {band}")

    for id, circuit in job.circuits.items():
        for figure in CIRCUIT:
            look(f"{id} {figure}", bands.circuits[id][figure], getattr(circuit, figure))
        for dip in circuit.dips:
            look(f"{id} by {dip.by_start_of}", bands.dips.get((id, dip.by_start_of)), dip.dip_v)
    for id, wire in job.wires.items():
        for figure in WIRE if not wire.mains else ():
            look(f"{id} {figure}", bands.wires[id][figure], getattr(wire, figure))
    for id, stud in job.studs.items():
        look(f"{id} current_a", bands.studs[id]["current_a"], stud.current_a)
        look(f"{id} volts_v", bands.studs[id]["volts_v"], stud.volts_v)
    for id, amps in job.drawn_a.items():
        look(f"{id} given_a", bands.batteries[id]["given_a"], abs(amps))
    return found


def points(bands: Bands, chance: Random) -> dict[str, float]:
    """Return a point within all that is not known exactly, often at its ends."""
    return {name: chance.choice([0.0, 1.0, chance.random()]) for name in bands.unsure}


@given(seeds, st.integers(5, 14), st.randoms(use_true_random=False))
@settings(max_examples=8)
def test_a_band_holds_at_any_point(seed, size, chance):
    """Interval arithmetic has to enclose: Moore, Kearfott and Cloud, 2009, chapter 5."""
    plan = read_text(with_ranges(random_plan(seed, size), chance))
    corners = Corners(plan)
    bands = bands_of(corners)
    for _ in range(3):
        job = corners.at(Corner.BAD, points(bands, chance)).assessment
        assert outside(bands, job) == []


# What only grows


@given(seeds, st.integers(5, 12), st.randoms(use_true_random=False))
@settings(max_examples=6)
def test_no_ohm_more_makes_a_loop_less(seed, size, chance):
    """Rayleigh's monotonicity law: Doyle and Snell, Random Walks and Electric Networks, 1984, section 1.4."""
    corners = Corners(read_text(with_ranges(random_plan(seed, size), chance)))
    bands = bands_of(corners)
    fields = sorted(one.field for one in bands.unsure.values() if one.ohms and one.worse == "high")
    point = points(bands, chance)
    field = chance.choice(fields)
    low, high = (corners.at(Corner.BAD, point | {field: at}).assessment.circuits for at in (0.0, 1.0))
    for id, circuit in low.items():
        for figure in ("loop_resistance_ohm", "drop_v", "start_drop_v"):
            before, after = getattr(circuit, figure), getattr(high[id], figure)
            if before is not None and after is not None and circuit.path == "ordinary":
                assert after >= before - 1e-6, (field, id, figure)


# Tried by hand: 1000 vans drawn from what is open, each added up apart from the program

HEAD = """loomwright: 1
title: Small
region: eu
basis: {copper: 20 °C}
"""
ONE_WAY = (
    HEAD
    + """parts:
  leisure: {kind: battery, chemistry: agm, capacity: 100 Ah}
  pump: {kind: water_pump, running: 5..7 A, start: 15..20 A for 80 ms}
wiring:
  C1: {from: leisure.plus, fuse: 15 A blade, to: pump, area: 2.5 mm², length: 2..3 m, return: wire}
  C1b: {from: pump.minus, to: leisure.minus, area: 2.5 mm², length: 2..3 m}
"""
).replace(", return: wire", "")
TWO_WAYS = (
    HEAD
    + """parts:
  b1: {kind: battery, chemistry: agm, capacity: 100 Ah}
  b2: {kind: battery, chemistry: agm, capacity: 100 Ah}
  winch: {kind: load, running: 90..100 A}
  bar: {kind: busbar}
wiring:
  l1: {from: b1.plus, fuse: 150 A bolted, to: bar, area: 25 mm², length: 0.4 m}
  l2: {from: b2.plus, fuse: 150 A bolted, to: bar, area: 25 mm², length: 0.9 m}
  m2: {from: b2.minus, to: b1.minus, area: 25 mm², length: 0.5 m}
  W1: {from: bar, fuse: 200 A bolted, to: winch, area: 35 mm², length: 1 m}
  W1b: {from: winch.minus, to: b1.minus, area: 35 mm², length: 1 m}
"""
)
TIMES = 1000


def joint(name: str) -> tuple[float, float]:
    """Return a joint from fresh to worn. [Ω]"""
    return CONTACTS[name].fresh_ohm.low, CONTACTS[name].aged_ohm.high


def summed(*ends: tuple[float, float]) -> tuple[float, float]:
    return sum(low for low, _ in ends), sum(high for _, high in ends)


def drawn(*ends: tuple[float, float]) -> np.ndarray:
    """Return that many sums of figures drawn from between their ends."""
    chance = np.random.default_rng(3)
    return sum(chance.uniform(low, high, TIMES) for low, high in ends)


def held(band: Expected | None, values: np.ndarray, ends: tuple[float, float], loose: float = 1e-6) -> None:
    """The band holds all values, and reaches to the ends worked out by hand and no further."""
    assert band is not None
    assert band.low <= values.min()
    assert values.max() <= band.high
    assert band.low == pytest.approx(ends[0], rel=loose)
    assert band.high == pytest.approx(ends[1], rel=loose)


def test_one_way_by_hand():
    """2.5 mm² has 7.98 mΩ/m (IEC 60228); two wires of 2 to 3 m, four crimps, a blade fuse."""
    bands = bands_of(Corners(read_text(ONE_WAY)))
    metre, crimps = 7.98e-3, [joint("crimp")] * 4
    ohms = [(2 * metre, 3 * metre)] * 2 + crimps + [defaults.fuse("blade", 15.0)[:2]]
    low, high = summed(*ohms)
    loop, figures = drawn(*ohms), bands.circuits["C1"]
    held(figures["loop_resistance_ohm"], loop, (low, high))
    held(figures["drop_v"], loop * drawn((5, 7)), (5 * low, 7 * high))
    held(figures["start_drop_v"], loop * drawn((15, 20)), (15 * low, 20 * high))
    assert bands.tried == frozenset()


def test_two_ways_by_hand():
    """Batteries in parallel part the current by the ohms of their ways: I1 = I R2 / (R1 + R2)."""
    bands = bands_of(Corners(read_text(TWO_WAYS)))
    inner, fuse = defaults.inner_resistance("agm", 100.0, 12.0)[:2], defaults.fuse("bolted", 150.0)[:2]
    metre, lugs = 0.780e-3, [joint("lug")] * 2
    first = [inner, fuse, *lugs, (0.4 * metre,) * 2]
    second = [inner, fuse, *lugs, *lugs, (0.9 * metre,) * 2, (0.5 * metre,) * 2]
    one, two = drawn(*first), drawn(*reversed(second))
    (low_1, high_1), (low_2, high_2) = summed(*first), summed(*second)
    ends = (90 * low_2 / (high_1 + low_2), 100 * high_2 / (low_1 + high_2))
    held(bands.batteries["b1"]["given_a"], drawn((90, 100)) * two / (one + two), ends)
    held(bands.wires["l1"]["current_a"], drawn((90, 100)) * two / (one + two), ends)
    assert {"b1", "b2", "l1", "l2", "m2"} <= bands.tried


MESH = """
parts:
  b1: {kind: battery, chemistry: agm, capacity: 100 Ah}
  b2: {kind: battery, chemistry: agm, capacity: 100 Ah}
  mat: {kind: heat_mat, running: 30..60 A}
  fan: {kind: fan, running: 60 W}
  pump: {kind: water_pump, running: 5..7 A, start: 15..20 A for 80 ms}
  bar: {kind: busbar}
wiring:
  l1: {from: b1.plus, fuse: 150 A bolted, to: bar, area: 16 mm², length: 0.5..1.5 m}
  l2: {from: b2.plus, fuse: 150 A bolted, to: bar, area: 16 mm², length: 0.5 m}
  m2: {from: b2.minus, to: b1.minus, area: 16 mm², length: 0.6 m}
  e1: {from: b1.minus, to: body, area: 16 mm², length: 0.4 m}
  e2: {from: b2.minus, to: body, area: 16 mm², length: 0.9 m}
  C1: {from: bar, fuse: 80 A bolted, to: mat, area: 10 mm², length: 3 m, return: body}
  C1b: {from: mat.minus, to: b1.minus, area: 6 mm², length: 2..3 m}
  C2: {from: bar, fuse: 15 A, to: fan, area: 1.5 mm², length: unknown, return: body}
  C4: {from: bar, fuse: 15 A, to: pump, area: 2.5 mm², length: 2 m, return: body}
"""


def test_rings_of_all_kinds_of_loads_stay_within_what_was_tried():
    """Two batteries, the body beside wires, a resistance, a constant power and a motor on one network."""
    corners, chance = Corners(read_text(HEAD.replace("basis: {copper: 20 °C}\n", "") + MESH)), Random(4)
    bands = bands_of(corners)
    for _ in range(40):
        job = corners.at(Corner.BAD, points(bands, chance)).assessment
        assert outside(bands, job) == []


# The example vans


@pytest.mark.parametrize("van", VANS)
def test_what_is_printed_lies_in_its_band(van):
    job = checked(van)
    assert outside(job.bands, job.assessment) == []
    assert not any(finding.at_worst for finding in job.findings)
    faults = job.assessment.faults
    for id, figures in job.bands.wires.items():
        for name, end in (
            ("short_circuit_max_a", faults.largest.ends.get((id, "a"))),
            ("short_circuit_min_a", faults.smallest.ends.get((id, "b"))),
        ):
            band = figures[name]
            assert (band is None) == (end is None)
            assert end is None or band is None or band.low <= end.amps <= band.high
    for figures in (*job.bands.wires.values(), *job.bands.circuits.values()):
        assert all(band.low <= band.typical <= band.high for band in figures.values() if band is not None)


def test_progress_is_told_to_the_end():
    told: list[tuple[int, int]] = []
    bands_of(Corners(read_text(TWO_WAYS)), lambda done, of: told.append((done, of)))
    assert [done for done, _ in told] == list(range(1, len(told) + 1))
    assert all(done <= of for done, of in told)
    assert told[-1][0] == told[-1][1]
