"""Which table, air, bundle and insulation a wire is rated by: typed, by its way, by region.

Currents by the tables: 2.5 mm² PVC in free air 32 A (DIN VDE 0298-4); 2.5 mm² of 105 °C 35 A (ISO 10133,
ABYC E-11, there as AWG 14); 2.5 mm² PVC method B 24 A (BS 7671). At 60 °C PVC keeps √(10/40) = 0.50.
"""

from __future__ import annotations

import pytest

from loomwright import assess, read_text
from loomwright.assessment.assess import assess as assess_at
from loomwright.assessment.inputs import Corner
from loomwright.assessment.record import WireFigure

PLAN = """loomwright: 1
title: Surroundings
region: REGION
basis: {BASIS}
places:
  seat_base: [0, 0, 0]
  engine_bay: {at: [-2, 0, 0], zones: [engine_bay]}
  warm_bay: {at: [-2, 0, 0], zones: [engine_bay], temperature: {jan: 10 °C, jul: 70 °C}}
  kitchen: [1, 0, 0]
paths:
  bulkhead: {along: [engine_bay, seat_base]}
  warm_way: {along: [warm_bay, seat_base]}
  floor: {along: [seat_base, kitchen]}
  roof: {along: [kitchen], temperature: 45 °C}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 90 Ah}
  lamp: {kind: lamp, place: kitchen, running: 2 A}
wiring:
  C: {from: leisure, fuse: 5 A, to: lamp, area: 2.5 mm², length: 3 m, return: wire, RUN}
"""


def wire(run: str = "", basis: str = "", region: str = "eu") -> WireFigure:
    text = (
        PLAN.replace("REGION", region).replace("BASIS", basis).replace(", RUN}", f", {run}}}" if run else "}")
    )
    return assess(read_text(text)).wires["C"]


@pytest.mark.parametrize(
    ("region", "basis", "amps"),
    [
        ("eu", "", 32), ("uk", "", 32), ("au", "", 32), ("nz", "", 32),
        ("na", "insulation: automotive 105 °C", 35),
        ("eu", "cable_rating: iso_10133, insulation: automotive 105 °C", 35),
        ("eu", "cable_rating: bs_7671", 24),
        ("na", "cable_rating: vde_0298_4", 32),
    ],
)  # fmt: skip
def test_the_table_is_typed_or_the_regions(region, basis, amps):
    assert wire(basis=basis, region=region).rating_a == amps


def test_a_table_of_makers_figures_rates_nothing():
    assert wire(basis="cable_rating: maker").rating_a is None


@pytest.mark.parametrize(
    ("run", "basis", "ambient_c"),
    [
        ("", "", 30),
        ("", "temperature: 38 °C", 38),
        ("via: [floor]", "temperature: 38 °C", 38),
        ("via: [floor, roof]", "", 45),
        ("via: [roof]", "temperature: 50 °C", 45),  # what a way says comes before the basis
        ("via: [bulkhead]", "", 60),  # the zone of a place that it runs past
        ("via: [bulkhead]", "temperature: 30 °C", 30),  # zones count where no temperature is typed
        ("via: [warm_way]", "", 70),  # the hottest month of a place that it runs past
        ("via: [warm_way]", "temperature: 30 °C", 70),
        ("via: [warm_way], temperature: 25 °C", "", 25),  # its own comes first
    ],
)
def test_the_air_is_the_hottest_that_its_way_says(run, basis, ambient_c):
    assert wire(run, basis).ambient_c == ambient_c


def test_the_bundle_is_its_own_or_the_basis():
    assert wire("bundle: 3", "bundle: 5").rating_a == pytest.approx(32 * 0.70)
    assert wire("", "bundle: 5").rating_a == pytest.approx(32 * 0.60)


def test_insulation_is_its_own_or_the_basis():
    hot = "temperature: 60 °C"
    assert wire(basis=hot).rating_a == pytest.approx(32 * 0.5)
    assert wire("insulation: automotive 105 °C", hot).rating_a == pytest.approx(32 * (45 / 75) ** 0.5)


@pytest.mark.parametrize(("table", "factor"), [("abyc_e11", 0.85), ("iso_10133", 0.86)])
def test_a_boat_table_takes_its_factor_in_the_engine_space(table, factor):
    """33 CFR 183.425 and, from memory, ISO 10133 annex A: the factor for 105 °C insulation."""
    basis = f"cable_rating: {table}, insulation: automotive 105 °C, temperature: 30 °C"
    assert wire("via: [bulkhead]", basis).rating_a == pytest.approx(35 * factor)
    assert wire("via: [floor]", basis).rating_a == 35
    assert wire("via: [bulkhead], temperature: 30 °C", basis).rating_a == 35  # stated outright
    hotter = wire("via: [bulkhead]", basis.replace(", temperature: 30 °C", ""))  # by zone, 60 °C
    assert hotter.rating_a == pytest.approx(35 * (45 / 75) ** 0.5)


def test_other_tables_know_no_engine_space():
    assert wire("via: [bulkhead]", "temperature: 30 °C").rating_a == 32


@pytest.mark.parametrize(
    ("stud", "paths", "low_m", "high_m"),
    [
        ("[1, 0.5, 0.4]", "", 0.3, 0.3),  # at the load
        ("[1, 1.5, 0.4]", "", 1.4, 1.4),  # 1 m straight: 1.1 of it and 0.15 m at each end
        ("[1, 3.5, 0.4]", "", 4.2, 5.1),  # no path, 3 m: 1.3 to 1.6 of it and the ends
        ("[1, 3.5, 0.4]", "rail: {along: [[1, 0.5, 0.4], [1, 3.5, 0.4]]}", 3.6, 3.6),
        ("unknown", "", 0.3, 0.3),
    ],
)
def test_a_return_to_a_stud_is_as_long_as_its_way(stud: str, paths: str, low_m: float, high_m: float):
    text = PLAN.replace("REGION", "eu").replace("BASIS", "").replace("return: wire, RUN", "return: E1")
    place = f"far: {{at: {stud}}}" if stud != "unknown" else "far: {}"
    text = text.replace("places:\n", f"places:\n  spot: [1, 0.5, 0.4]\n  {place}\n", 1)
    text = text.replace("kind: lamp, place: kitchen", "kind: lamp, place: spot")
    text = text.replace("parts:\n", "studs:\n  E1: {place: far}\nparts:\n", 1)
    before, _, after = text.partition("paths:\n")
    own = f"paths:\n  {paths}\n" if paths else ""
    text = before + own + after[after.index("studs:") :]
    lengths = [
        assess_at(read_text(text), corner).wires["C.return"].length_m for corner in (Corner.GOOD, Corner.BAD)
    ]
    assert lengths == [pytest.approx(low_m), pytest.approx(high_m)]


def test_a_leg_may_say_alone_how_it_returns():
    text = (
        PLAN.replace("REGION", "eu")
        .replace("BASIS", "")
        .replace(
            "to: lamp, area: 2.5 mm², length: 3 m, return: wire, RUN",
            "to: {lamp: {length: 1 m, return: E1}, fan: {length: 1 m, return: {to: E1, length: 0.7 m}}}, "
            "area: 2.5 mm², length: 3 m",
        )
    )
    text = text.replace(
        "parts:\n",
        "studs:\n  E1: {place: kitchen}\nparts:\n  fan: {kind: fan, place: kitchen, running: 1 A}\n",
        1,
    )
    job = assess(read_text(text))
    back = {id: wire.length_m for id, wire in job.wires.items() if wire.role == "return"}
    assert back == {"C.lamp.return": pytest.approx(0.3), "C.fan.return": pytest.approx(0.7)}
    assert not job.loads["lamp"].open_minus
