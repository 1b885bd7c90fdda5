"""A figure's band holds whatever is true within what is not known exactly."""

from __future__ import annotations

import re
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import read_text
from loomwright.assessment.assess import Corners
from loomwright.assessment.banded import Bands, Expected, bands_of
from loomwright.assessment.inputs import Corner
from loomwright.assessment.record import Assessment
from tests.plans import random_plan

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


@given(seeds, st.integers(5, 14), st.randoms(use_true_random=False))
@settings(max_examples=12)
def test_a_band_holds_at_any_point(seed, size, chance):
    """Interval arithmetic has to enclose: Moore, Kearfott and Cloud, 2009, chapter 5."""
    plan = read_text(with_ranges(random_plan(seed, size), chance))
    corners = Corners(plan)
    bands = bands_of(corners)
    for _ in range(3):
        point = {name: chance.choice([0.0, 1.0, chance.random()]) for name in bands.unsure}
        job = corners.at(Corner.BAD, point).assessment
        assert outside(bands, job) == []
