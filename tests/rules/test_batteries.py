"""Batteries: gas by kind, region and place; what stands in parallel; where heat is judged."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.protection.gassing import air_m3_h, opening_cm2
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from tests.rules.cases_static2 import LITHIUM, SEAT, SOUND, bank


def found(text: str, rule: str) -> list[Finding]:
    return [finding for finding in check_plan(read_text(text)).findings if finding.rule == rule]


# Gas


def severities(chemistry: str, vent: str, *, region: str = "eu", zones: str = "") -> list[str]:
    text = SOUND.replace("chemistry: agm", f"chemistry: {chemistry}{vent}")
    text = text.replace("region: eu", f"region: {region}")
    text = text.replace(SEAT, f"seat_base: {{at: [-0.4, -0.4, 0.1]{zones}}}")
    return [finding.severity for finding in found(text, "lead_battery_unvented")]


@pytest.mark.parametrize(
    ("chemistry", "vent", "said"),
    [
        ("flooded", ", vent: none", ["fault"]),
        ("efb", ", vent: none", ["fault"]),
        ("flooded", "", ["watch"]),  # nobody says
        ("flooded", ", vent: unknown", ["watch"]),
        ("flooded", ", vent: box", []),
        ("agm", ", vent: none", ["watch"]),
        ("gel", ", vent: none", ["watch"]),
        ("agm", "", []),  # its valve keeps what little there is
        ("lifepo4", ", vent: none", []),
    ],
)
def test_wet_batteries_need_a_vent_and_sealed_ones_air(chemistry, vent, said):
    assert severities(chemistry, vent) == said


@pytest.mark.parametrize("region", ["au", "nz"])
def test_some_regions_ask_it_of_sealed_ones_too(region):
    """AS/NZS 3001.2:2022 section 5.4: lead-acid, AGM and gel too, is sealed from where people are."""
    assert severities("agm", ", vent: none", region=region) == ["fault"]


@pytest.mark.parametrize("zone", ["outside", "underfloor", "engine_bay"])
def test_outside_nobody_breathes_it(zone):
    assert severities("flooded", ", vent: none", zones=f", zones: [{zone}]") == []


def test_a_vehicles_own_battery_has_its_makers_hose():
    starter = "  starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah"
    for vent, count in (("", 0), (", vent: none", 1)):
        text = SOUND.replace("parts:\n", f"parts:\n{starter}{vent}}}\n")
        assert len(found(text, "lead_battery_unvented")) == count


@pytest.mark.parametrize(("chemistry", "air", "opening"), [("flooded", 0.60, 16.8), ("agm", 0.24, 6.7)])
def test_air_and_openings_as_published(chemistry, air, opening):
    """EN 62485-2 and EN 50272-3 as two ventilation guides print them, for 12 V 100 Ah at 2.4 V a cell."""
    assert air_m3_h(chemistry, 100.0) == pytest.approx(air, abs=0.005)
    assert opening_cm2(air_m3_h(chemistry, 100.0)) == pytest.approx(opening, abs=0.05)


# In parallel


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ("chemistry: lifepo4, capacity: 100 Ah", ["fault"]),
        ("chemistry: gel, capacity: 100 Ah", ["fault"]),
        ("chemistry: agm, capacity: 150 Ah", ["watch"]),
        ("chemistry: agm, capacity: 100 Ah, age: 3 years", ["watch"]),
        ("chemistry: agm, capacity: 105 Ah, age: 6 months", []),
    ],
)
def test_what_stands_in_parallel_is_alike(other, said):
    other = other.replace("6 months", "0.5 years")
    assert [finding.severity for finding in found(bank(other), "batteries_unlike")] == said


def test_lead_and_lithium_are_told_once():
    """Current flows between them with everything off; that is what unlike batteries do."""
    text = bank("chemistry: lifepo4, capacity: 100 Ah")
    assert found(text, "battery_shorted") == []
    shorted = text + "  short: {from: leisure.plus, to: E2, area: 4 mm², length: 1 m}\n"
    assert [finding.severity for finding in found(shorted, "battery_shorted")] == ["danger"]


def test_two_in_series_are_no_bank_in_parallel():
    text = bank("chemistry: gel, capacity: 100 Ah").replace("to: other.plus", "to: other.minus")
    kept = [line for line in text.splitlines() if not line.startswith("  link_minus")]
    assert found("\n".join(kept) + "\n", "batteries_unlike") == []


def test_a_crossed_bank_shares_and_says_nothing():
    text = bank(mohm=4.0)
    assert len(found(text, "batteries_share_unequally")) == 1
    crossed = text.replace("earth: {from: leisure.minus", "earth: {from: other.minus")
    assert found(crossed, "batteries_share_unequally") == []


CHARGED = """\
loomwright: 1
title: A bank on charge
region: eu
places: {seat: [-0.4, -0.4, 0.1]}
studs: {E1: {place: seat}}
parts:
  a: {kind: battery, place: seat, chemistry: agm, capacity: 110 Ah, resistance: 4.5 mΩ, charge_limit: 25 A}
  b: {like: a}
  cell: {kind: fuel_cell, place: seat, current: AMPS A}
wiring:
  earth: {from: a.minus, to: E1, area: 25 mm², length: 0.4 m}
  plus: {from: a.plus, to: b.plus, area: 25 mm², length: 0.3 m, sheathed: yes, resistance: LINK mΩ}
  minus: {from: a.minus, to: b.minus, area: 25 mm², length: 0.3 m, sheathed: yes, resistance: LINK mΩ}
  C: {from: cell.plus, fuse: 80 A high_breaking at to, to: a.plus, area: 25 mm², length: 1 m, return: wire}
"""


@pytest.mark.parametrize(
    ("amps", "link", "charged"),
    [
        (40.0, 0.2, {}),  # 20.4 and 19.6 A of 25 A each
        (40.0, 9.0, {"a": 40.0 * 22.5 / 27.0}),  # r2 / (r1 + r2): the near one takes 33.3 A
        (60.0, 0.2, {"a": 60.0 * 4.9 / 9.4, "b": 60.0 * 4.5 / 9.4}),
    ],
)
def test_batteries_of_a_bank_share_what_charges_them(amps, link, charged):
    text = CHARGED.replace("AMPS", f"{amps}").replace("LINK", f"{link}")
    said = {finding.where: finding.value for finding in found(text, "charged_too_hard")}
    assert said == pytest.approx(charged, rel=1e-3)


def test_leads_on_one_end_of_a_bank_in_one_part():
    for joined, count in (("same_end", 1), ("diagonal", 0), ("bars", 0)):
        text = SOUND.replace("chemistry: agm", f"chemistry: agm, count: 2, joined: {joined}")
        assert len(found(text, "batteries_share_unequally")) == count


# Heat


@pytest.mark.parametrize(
    ("zone", "more", "count"),
    [
        ("engine_bay", "", 1),
        ("roof_void", "", 1),
        ("living", "", 0),
        ("engine_bay", ", temperature: {jan: 20 °C, jul: 40 °C}", 0),
        ("living", ", temperature: {jan: 20 °C, jul: 50 °C}", 1),
    ],
)
def test_lithium_is_judged_by_the_warmest_its_place_gets(zone, more, count):
    text = LITHIUM.replace(SEAT, f"seat_base: {{at: [-0.4, -0.4, 0.1], zones: [{zone}]{more}}}")
    assert len(found(text, "lithium_too_hot")) == count
    assert found(text.replace("lifepo4", "agm"), "lithium_too_hot") == []
