"""Fuses: where one is missing, what one breaks, and when a fuse too large for its cable is a danger.

By hand, on the base of the cases: 12.8 V full and 11.7 V at 20 % behind 20 mΩ; a 30 A blade at 600 % opens in
0.1 s at the latest (ISO 8820-3), so it lets 3 240 A²s through from there on; 1.5 mm² stands (115 · 1.5)² =
29 756 A²s (BS 7671, 434.5.2) and carries 24 A.
"""

from __future__ import annotations

import re

import pytest

from loomwright import read_text
from loomwright.assessment.limits import limits_of
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from loomwright.sizing.cures import cures
from tests.plans import random_plan
from tests.rules.base import BASE, WIRE, plan
from tests.rules.cases_guarding import HEATER, marked
from tests.scenarios.lines import EXAMPLES, VANS, checked

SEEDS = range(14)
TOO_LARGE = "fuse: 30 A, to: heater, area: 1.5 mm², length: 3 m"


def found(text: str, rule: str) -> list[Finding]:
    return [finding for finding in check_plan(read_text(text)).findings if finding.rule == rule]


def of_vans(rule: str, *severities: str) -> set[tuple[str, str]]:
    return {
        (van, finding.where)
        for van in VANS
        for finding in checked(van).findings
        if finding.rule == rule and finding.severity in severities
    }


# Ends without a fuse


def test_two_of_the_six_vans_lack_a_fuse():
    assert of_vans("missing_fuse", "danger") == {("mossgrove", "W1"), ("alderford", "T1")}
    assert of_vans("missing_fuse", "fault", "watch") == set()


def test_a_fuse_is_missing_at_the_battery_and_not_further_on():
    """Mossgrove's W1 comes to its leisure battery through 0.17 m of cable from the relay."""
    (missing,) = (f for f in checked("mossgrove").findings if f.rule == "missing_fuse")
    assert "at leisure.plus" in missing.says
    assert missing.value == pytest.approx(2135, rel=0.15)
    assert missing.place == "seat_base"
    assert "125 A or less within 0.3 m of leisure" in missing.do


@pytest.mark.parametrize(
    ("apart", "length", "severity"),
    [
        ("0.26", "", None),  # 0.29 m with 1.1 for bends; the slack at its ends is none of the distance
        ("0.28", "", "danger"),
        ("0.28", ", length: 0.29 m", None),  # what is typed stands
        ("0.26", ", length: 0.35 m", "danger"),
        ("unknown", "", "watch"),
    ],
)
def test_how_far_a_battery_is_from_the_box_with_its_fuse_is_told_by_their_places(
    apart: str, length: str, severity: str | None
):
    """Workshop limit: 0.3 m. A battery, and a box with a main fuse so far behind it."""
    box = f"at: [-0.4, {float(apart) - 0.4:.2f}, 0.1], " if apart != "unknown" else ""
    place = "place: seat_base, " if box else ""
    second = f"P2: {{kind: fuse_box, {place}{box}ways: 2, main_fuse: 40 A bolted}}"
    lamp = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
    text = plan(
        f"{second}\n{lamp}",
        f"C1: {{from: P2.1, fuse: 3 A, to: lamp, {WIRE}}}\n"
        f"feed: {{from: leisure.plus, to: P2, area: 16 mm²{length}}}",
    )
    told = [
        one for one in check_plan(read_text(text)).findings if one.where in ("feed", "wiring.feed.length")
    ]
    assert [one.severity for one in told] == ([severity] if severity else []), told
    assert all("missing_fuse" in (one.rule, one.at_worst) for one in told)


def test_a_sheathed_link_is_part_of_a_lead_bank_only():
    text = (EXAMPLES / "planeshed.yaml").read_text(encoding="utf-8")
    bare = text.replace("joints: 2 at 0.1 mΩ, sheathed: yes", "joints: 2 at 0.1 mΩ", 1)
    assert [(f.severity, f.where) for f in found(bare, "missing_fuse")] == [("danger", "link_plus")]
    long = text.replace("length: 0.35 m", "length: 0.51 m", 1)
    assert [(f.severity, f.where) for f in found(long, "missing_fuse")] == [("danger", "link_plus")]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_random_van_with_its_sources_fused_lacks_none(seed):
    assert found(random_plan(seed, 30), "missing_fuse") == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_fuse_taken_off_a_batterys_cable_is_always_missed(seed):
    text = random_plan(seed, 30)
    feeds = re.findall(r"^  (\w+): (\{from: (?:leisure|starter)\.plus, fuse: .*)$", text, re.MULTILINE)
    assert feeds
    for run, fields in feeds:
        bare = re.sub(r"fuse: [^,]*,", "fuse: none,", fields, count=1)
        missed = found(text.replace(fields, bare), "missing_fuse")
        assert [(f.severity, f.where) for f in missed] == [("danger", run)]


def test_what_a_converter_gives_is_asked_for():
    parts = f"{HEATER}\ncube: {{kind: converter, place: kitchen, output: 12 V, CURRENT}}"
    wiring = f"""C0: {{from: P1.1, fuse: 15 A, to: cube, {WIRE}}}
        C1: {{from: cube, fuse: none, to: heater, {WIRE}}}"""
    told = plan(parts.replace("CURRENT", "current: 12 A"), wiring)
    assert found(told, "missing_fuse") == []
    (asked,) = found(plan(parts.replace(", CURRENT", ""), wiring), "missing_fuse")
    assert (asked.severity, asked.unknown) == ("watch", ("parts.cube.current",))


# Fuses down the wire


def test_a_fuse_far_from_what_limits_itself_is_not_too_far():
    charger = "charger: {kind: mains_charger, place: kitchen, current: 10 A, output: 14.4 V}"
    wire = "area: 4 mm², length: 3 m, resistance: 0 mΩ, return: wire"
    fuse = "{rating: 15 A, type: blade, distance: 1 m, at: SIDE}"
    text = plan(charger, f"W1: {{from: charger.plus, fuse: {fuse}, to: leisure.plus, {wire}}}")
    assert [f.where for f in found(text.replace("SIDE", "to"), "fuse_too_far")] == ["W1"]
    assert found(text.replace("SIDE", "from"), "fuse_too_far") == []


def test_the_plan_may_set_the_distance():
    text = plan("", "").replace("fuse: 60 A bolted", "fuse: {rating: 60 A, type: bolted, distance: 0.4 m}")
    assert len(found(text, "fuse_too_far")) == 1
    own = text.replace("basis:\n", "basis:\n  limits: {fuse_distance: 0.5 m}\n")
    assert found(own, "fuse_too_far") == []


# What a fuse breaks


@pytest.mark.parametrize(
    ("region", "limit_set", "metres"),
    [("eu", "", 0.3), ("na", "", 0.178), ("na", "limit_set: workshop", 0.3)],
)
def test_how_far_a_fuse_may_sit_goes_by_region_where_no_set_is_named(region, limit_set, metres):
    """ABYC E-11: within 7 in of the source; the workshop's 0.3 m is common practice."""
    text = BASE.replace("region: eu", f"region: {region}").replace("basis:", f"basis:\n  {limit_set}")
    plan_read = read_text(text.replace("PARTS\n", "").replace("WIRING\n", ""))
    assert limits_of(plan_read).fuse_distance.fault == metres


def test_what_the_fuses_of_the_six_vans_break():
    assert of_vans("fuse_breaks_too_little", "fault") == {("planeshed", "I1")}
    assert of_vans("fuse_breaks_too_little", "watch") == {("mossgrove", "W7")}


def test_an_unknown_battery_decides_and_is_asked_for():
    """100 Ah of AGM have 2.5 to 5 mΩ: 2 560 to 5 120 A."""
    text = plan("", "").replace(", charge_limit: 20 A,\n    resistance: 20 mΩ", "")
    text = text.replace("fuse: 60 A bolted", "fuse: {rating: 60 A, type: bolted, breaks: BREAKS}")
    assert "20 mΩ" not in text
    (asked,) = check_plan(read_text(text.replace("BREAKS", "3 kA"))).findings
    assert (asked.rule, asked.severity) == ("unknown_figure_decides", "watch")
    assert "parts.leisure.resistance" in asked.do
    assert [f.severity for f in found(text.replace("BREAKS", "2 kA"), "fuse_breaks_too_little")] == ["fault"]


def test_a_blade_in_a_box_is_backed_by_the_fuse_before_it():
    text = plan(HEATER, f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}").replace("20 mΩ", "10 mΩ")
    text = text.replace("fuse: 60 A bolted", "fuse: {rating: 60 A, type: bolted, breaks: BREAKS}")
    (note,) = found(text.replace("BREAKS", "2 kA"), "fuse_breaks_too_little")
    assert (note.severity, note.where) == ("note", "P1")
    assert "backed by the fuse of main" in note.says
    grave = found(text.replace("BREAKS", "1 kA"), "fuse_breaks_too_little")
    assert [(f.severity, f.where) for f in grave] == [("fault", "main"), ("watch", "P1")]


def test_a_breaker_of_a_panel_at_24_v_is_asked_for_its_volts():
    text = (
        BASE.replace("PARTS\n", "").replace("WIRING\n", "").replace("region: eu", "region: eu\nsystem: 24 V")
    )
    text = text.replace("20 mΩ", "40 mΩ").replace(
        "60 A bolted", "{rating: 60 A, type: breaker, resistance: 0 Ω}"
    )
    (asked,) = found(text, "fuse_volts_too_low")
    assert (asked.severity, asked.limit) == ("watch", 16.0)


@pytest.mark.parametrize(("fuse", "where"), [("60 A blade", ["main"]), ("60 A", []), ("60 A post", [])])
def test_a_fuse_is_made_in_its_type(fuse, where):
    text = plan("", "").replace("60 A bolted", fuse)
    assert [f.where for f in found(text, "fuse_not_made")] == where


# A fuse too large for its cable


def _burning(fields: str, mohm: float) -> tuple[str, str]:
    text = plan(HEATER, f"C1: {{from: P1.1, {fields}, resistance: {mohm} mΩ, return: {{to: E2}}}}")
    (large,) = found(text, "fuse_above_cable_rating")
    return large.severity, large.says


def test_near_the_battery_the_heat_let_through_counts():
    """585 A for 0.1 s would be 34 200 A²s, more than the wire stands."""
    severity, _ = _burning(TOO_LARGE, 0.0)
    assert severity == "fault"


def test_a_short_that_never_opens_the_fuse_is_a_danger():
    """26.7 A through 398 mΩ there and back and 40 of a weak battery."""
    severity, says = _burning(TOO_LARGE, 398.0)
    assert severity == "danger"
    assert "(26.7 A) the fuse need not open, the cable stands 42 s" in says


def test_a_short_that_the_cable_carries_for_good_is_none():
    severity, _ = _burning(TOO_LARGE, 471.0)  # 22.9 A
    assert severity == "fault"


def test_a_fuse_at_the_far_end_is_asked_for_a_short_at_the_near_one():
    charger = "charger: {kind: mains_charger, place: kitchen, current: 10 A, output: 14.4 V}"
    wire = "area: 1.5 mm², length: 3 m, return: wire"
    wiring = (
        f"W1: {{from: charger.plus, fuse: 30 A blade at to, to: leisure.plus, {wire}, resistance: OHM mΩ}}"
    )
    severities = [
        [f.severity for f in found(plan(charger, wiring.replace("OHM", ohm)), "fuse_above_cable_rating")]
        for ohm in ("50", "398")
    ]
    assert severities == [["fault"], ["danger"]]


def test_a_fuse_beyond_a_relay_is_held_against_the_hot_piece_before_it():
    """With the relay closed the leisure battery feeds a short in the engine bay through its own fuse."""
    job = check_plan(read_text(random_plan(17, 40)))
    hot, cool = (job.assessment.wires[id].rating_a for id in ("link.split", "link"))
    large = [one for one in job.findings if one.rule == "fuse_above_cable_rating" and one.where == "link"]
    assert (hot, cool) == (64.5, 129.0)
    assert sorted((one.says.split()[4], one.value, one.limit) for one in large) == [
        ("leisure.plus", 100.0, hot),
        ("starter.plus", 100.0, hot),
    ]
    assert {fuse.at for fuse in job.assessment.faults.along["link.split"].order} == {
        "leisure.plus",
        "starter.plus",
    }


def test_a_breaker_fed_from_both_sides_has_to_break_both_ways():
    charger = "charger: {kind: mains_charger, place: kitchen, current: 20 A, output: 14.4 V}"
    wires = "C2: {from: P1.2, fuse: 30 A blade at both, to: charger.plus, area: 4 mm², length: 1 m}"
    wires += "\n  C2_back: {from: charger.minus, to: E2, area: 4 mm², length: 1 m}\n"
    both = {
        mark: marked(mark).replace("  C1:", f"  {wires}  C1:").replace("  P1:", f"  {charger}\n  P1:")
        for mark in ("none", "from", "to", "unknown")
    }
    by_mark = {mark: found(text, "breaker_wrong_way") for mark, text in both.items()}
    assert {mark: [one.severity for one in by_mark[mark]] for mark in both} == {
        "none": [],
        "from": ["fault"],
        "to": ["fault"],
        "unknown": ["watch"],
    }
    assert "charger and, from its other side, by leisure" in by_mark["from"][0].says
    assert by_mark["unknown"][0].do.endswith("write it at wiring.main.fuse.plus_mark, or none")


def test_a_breaker_the_wrong_way_round_is_cured_by_turning_it():
    [answer] = list(cures(read_text(marked("to"))))
    assert answer.cure is not None
    assert [edit.as_data()["write"]["plus_mark"] for edit in answer.cure.edits] == ["from"]
