"""The lists of the loom: each figure once, sums that close, what is not known said."""

from __future__ import annotations

from functools import cache

import pytest

from loomwright import assess, read, read_text
from loomwright.documents.lists import Lists
from loomwright.loom.bundles import wire_grams_per_m
from loomwright.units import Band
from tests.plans import random_plan
from tests.rules.cases import plan
from tests.scenarios.lines import EXAMPLES, VANS


@cache
def van(name: str) -> Lists:
    return Lists(assess(read(EXAMPLES / f"{name}.yaml")))


@pytest.mark.parametrize("name", VANS)
def test_every_list_is_whole(name: str):
    lists = van(name)
    assert len({one.name for one in lists.every}) == len(lists.every) >= 5
    for one in lists.every:
        assert len({column.key for column in one.columns}) == len(one.columns)
        for row in one.rows:
            assert len(row) == len(one.columns), one.name
            for column, cell in zip(one.columns, row, strict=True):
                assert isinstance(column.shown(cell), str)
                assert not column.unit or not isinstance(cell, str), (one.name, column.key)
    every = {one.name: one for one in lists.every}
    cut = sum(row["length_m"] for row in every["cuts"].as_dicts())
    assert cut == pytest.approx(sum(row["cut_m"] for row in every["reels"].as_dicts()))
    assert cut == pytest.approx(lists.as_dict()["totals"]["cut_m"])
    assert len(every["ends"].rows) == 2 * len(lists.ends)


def test_what_is_ordered_is_on_the_ends_and_in_the_ways():
    lists = van("alderford")
    made = [end for pair in lists.ends.values() for end in pair if end.made]
    splices = {end.point for end in made if end.terminal.kind == "splice" and not end.holder}
    others = sum(1 for end in made if end.terminal.kind != "splice" or end.holder)
    links = sum(1 for end in made if end.link is not None)
    terminals = [one for one in lists.order if one.group == "terminals"]
    assert sum(one.needed for one in terminals) == others + links + len(splices)
    fuses = {one.what: one for one in lists.order if one.group == "fuses"}
    assert fuses["fuse 80 A, block fuse on the battery post, single bolt"].needed == 2
    assert fuses["fuse 5 A, blade fuse, regular size"].spare == 2
    metres = sum(one.needed for one in lists.order if one.group == "cable")
    assert metres == pytest.approx(lists.cuts.cut_m)
    battery = next(one for one in lists.order if one.what.startswith("leisure"))
    assert battery.note == "agm, 150 Ah"


def test_what_exists_is_not_ordered_and_weighs_nothing_more():
    lists = van("planeshed")
    existing = {id for id, part in lists.job.plan.parts.items() if part.status == "existing"}
    assert existing
    assert not existing & {one.what for one in lists.weights.every}
    named = {one.what.partition(" (")[0] for one in lists.order if one.group == "parts"}
    assert not existing & named


def test_earth_points_have_the_largest_ring_at_the_metal():
    for name in VANS:
        for point in van(name).earths:
            areas = [ring.area_mm2 or 0.0 for ring in point.rings]
            assert areas == sorted(areas, reverse=True)
    e3 = next(one for one in van("alderford").earths if one.stud.id == "E3")
    assert [ring.wire for ring in e3.rings] == ["C8.return", "C5.return", "C4.return"]
    assert e3.torque_nm == 20.0


def test_holes_name_their_bundle_and_what_their_edge_needs():
    holes = {one.path: one for one in van("alderford").holes}
    bulkhead = holes["bulkhead_left"]
    assert (bulkhead.bore_mm, bulkhead.fits, bulkhead.grommet_mm) == (30.0, True, 20.0)
    assert "primer" in bulkhead.edge
    assert "sealed" in bulkhead.seal
    assert (holes["roof_gland"].bore_mm, holes["roof_gland"].fits) == (None, None)


VAN = plan(
    """fridge: {kind: fridge, running: 4 A, place: kitchen, mass: 20 kg, price: 600}
    lamps: {kind: lamp, running: 1 A, place: rear, count: 2, price: 10}
    box: {kind: electronics, running: 1 A, place: kitchen, terminals: {}}""",
    """L: {from: P1.1, to: fridge, area: 2.5 mm², length: 4 m, return: wire}
    M: {from: P1.2, to: lamps, area: 2.5 mm², length: 6 m, return: wire}""",
)
VAN = VAN.replace("places:", "places:\n  rear: [4.0, 0, 0.5]", 1) + (
    "\nvehicle: {ready_mass: 2500 kg, permitted_mass: 2700 kg, wheelbase: 3 m, rear_axle_at: 2.5 m}\n"
    "cargo: {water: {mass: 100 kg, place: rear}, fixings: {mass: 5 kg, share: electrics, price: 40}}\n"
    "prices: {hour: 60, cable: {2.5 mm²: 1.00}, times: {wire_end: 6 min}, tax: 20 %}\n"
)


def test_masses_about_the_axles():
    """A beam on two supports: its loads are all of the mass, and their moment is that of the mass."""
    lists = Lists(assess(read_text(VAN)))
    weights = lists.weights
    assert weights.axles is not None
    placed = [one for one in weights.every if one.counted and one.kg and one.x_m is not None]
    mass = sum(one.kg.mid for one in placed)
    front, rear = weights.axles.front.mid, weights.axles.rear.mid
    assert front + rear == pytest.approx(mass)
    assert -0.5 * front + 2.5 * rear == pytest.approx(sum(one.kg.mid * one.x_m for one in placed))
    assert {"box"} == set(weights.unknown)
    assert weights.payload_kg == 200.0
    assert weights.left is not None
    assert weights.left.low == pytest.approx(200.0 - 100.0 - weights.electrics.high)
    assert 5.0 + 20.0 + 24.0 < weights.electrics.low < 5.0 + 20.0 + 30.0  # the battery of 100 Ah, small parts
    assert weights.load == Band(100.0, 100.0)
    cables = next(one for one in weights.every if one.what == "cables")
    assert not cables.counted  # they are in the cargo that belongs to the electrics


def test_money_adds_up_and_what_has_no_price_is_named():
    prices = Lists(assess(read_text(VAN))).prices
    lines = {line.what: line.total for line in prices.lines}
    assert (lines["fridge"], lines["lamps"]) == (600.0, 20.0)
    assert sum(line.total for line in prices.lines if line.sort == "cable") == pytest.approx(20.0 * 1.12)
    ends = next(line for line in prices.lines if line.what.startswith("wire end"))
    assert ends.count == pytest.approx(int(ends.what.split()[-1]) * 0.1)
    before = sum(line.total for line in prices.lines if line.sort != "tax")
    assert prices.total == pytest.approx(1.2 * before)
    assert "box" in prices.without


def test_copper_weighs_what_a_handbook_says():
    """IEC 60028: 8.89 g/cm³ at 20 °C; handbooks up to 8.96: a bare metre of 1 mm² weighs that many grams."""
    for area in (0.75, 2.5, 16.0, 50.0):
        assert 8.89 <= wire_grams_per_m(area, 0.0) / area <= 8.96


def test_random_vans_have_their_lists():
    for seed in range(3):
        lists = Lists(assess(read_text(random_plan(seed, 25))))
        assert lists.as_dict()["totals"]["cut_m"] == pytest.approx(lists.cuts.cut_m)
        assert all(one.rows for one in lists.every)


def test_a_plug_pin_by_pin_and_its_face():
    text = plan(
        """X5: {kind: plug, pins: 7, place: kitchen, rating: 8 A}
        lamp: {kind: lamp, running: 1 A, place: kitchen}""",
        """L: {from: P1.1, through: X5.2, to: lamp, area: 1.5 mm², length: 4 m,
        return: {to: E2, through: X5.3}}""",
    )
    lists = Lists(assess(read_text(text + "\nlabels: {L: 101}\n")))
    (plug,) = lists.plugs
    pins = {pin.number: pin for pin in plug.pins}
    assert (pins["2"].fixed, pins["2"].loose) == (("L.X5.2",), ("L",))
    assert (pins["3"].fixed, pins["3"].loose) == (("L.return",), ("L.return.X5.3",))
    assert (pins["2"].current_a, pins["2"].rating_a) == (pytest.approx(1.0), 8.0)
    assert [number for number, pin in pins.items() if pin.free] == ["1", "4", "5", "6", "7"]
    table = next(one for one in lists.every if one.name == "plugs")
    assert [[number for number, _ in row] for row in table.faces[0].rows] == [
        ["1", "2", "3", "4"],
        ["5", "6", "7"],
    ]
    assert table.faces[0].rows[0][1] == ("2", "101")


def test_tube_and_tape_are_ordered_by_the_stretches_of_the_loom():
    lists = van("alderford")
    stretches = sum(one.metres for one in lists.job.loom.sections if len(one.wires) > 1)
    lines = {one.what: one for one in lists.order if one.group == "tube and grommets" and one.unit == "m"}
    assert lines["loom under tape"].needed > 0.5
    assert 0.5 * stretches < sum(one.needed for one in lines.values()) < 3.0 * stretches
    assert all(one.order >= 1.1 * one.needed - 1e-9 for one in lines.values())
