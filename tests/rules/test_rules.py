"""Each rule: a plan that trips it, one that just passes, and 2 % on either side of each limit.

The limits are those of the workshop's set (common practice); cable ratings are those of DIN VDE 0298-4, one
core in free air.
"""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.plan.edit import Edit, apply_edits
from loomwright.rules.check import check_plan
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.rules.registry import RULES
from tests.rules.cases import CASES, UNKNOWN_DECIDES, Case, Flip
from tools.make_rules_page import LIMIT_OF, PAGE, page

GRAVITY = list(SEVERITIES)
SIDE = 0.02
FLIPS = [(rule, flip) for rule, case in CASES.items() for flip in case.flips]


def findings(text: str) -> tuple[Finding, ...]:
    return check_plan(read_text(text)).findings


def worst(text: str, rule: str) -> str | None:
    """Return the gravest severity that a rule gives a plan."""
    found = [finding.severity for finding in findings(text) if finding.rule == rule]
    return min(found, key=GRAVITY.index, default=None)


def test_every_rule_has_a_case():
    assert set(CASES) == set(RULES)


def test_every_rule_with_a_figure_is_flipped():
    hang_together = {"load_not_fed", "load_reversed", "battery_shorted", "open_return"}
    hang_together |= {"not_wired", "open_end", "stud_not_named"}
    hang_together |= {"permanent_supply_cut", "source_without_battery", "dimmer_on_wrong_side"}
    hang_together |= {"lead_battery_unvented", "lithium_on_bare_link"}
    hang_together |= {"cannot_be_accepted", "accepted_not_found", "acceptance_ran_out"}
    hang_together |= {"green_yellow_not_earth", "colour_at_both_poles", "colour_at_two_voltages"}
    hang_together |= {"green_or_yellow_beside_mains", "colours_in_other_order", "coil_diode_reversed"}
    hang_together |= {"stud_on_forbidden_bolt", "stud_on_paint", "stud_not_sealed"}
    hang_together |= {"relay_chatters", "batteries_joined_at_rest", "two_way_does_not_turn"}
    hang_together |= {"back_feeds", "vehicle_fed_backwards", "master_bypassed", "shunt_bypassed"}
    hang_together |= {"double_switch", "falls_back", "inlet_live_from_inverter", "load_dump"}
    hang_together |= {"bond_stays_on_hook_up", "breaker_wrong_way"}
    hang_together |= {"monitored_lamp_feed_loaded", "trailer_fed_from_house", "trailer_drains_parked"}
    hang_together |= {"wire_in_gas_locker", "wire_along_airbag", "wire_by_flue", "mains_beside_low_voltage"}
    hang_together |= {"wire_not_flexible", "bundle_too_thick_for_hole", "lithium_charged_in_frost"}
    hang_together |= {"return_over_moving_part", "return_by_mixed_shell"}
    hang_together |= {"breaker_opens_one_pole", "sockets_on_floating_mains", "mains_cable_without_earth"}
    hang_together |= {"pipes_not_bonded", "inlet_without_notice", "mains_without_breaker", "no_main_switch"}
    hang_together |= {"charger_fed_by_inverter", "pitch_of_other_volts", "pitch_on_combined_earth"}
    hang_together |= {"pipe_too_full", "no_loop_at_moving_part", "led_past_full_hole"}
    hang_together |= {"case_stays_live", "case_bond_burns", "mains_cable_too_thin"}
    not_a_level = {
        "breaker_above_mains_cable",
        "fuse_rating_unknown",
        "size_unknown",
        "too_many_rings_on_stud",
        "fuse_not_made",
    }
    assert {rule for rule, case in CASES.items() if not case.flips} == hang_together | not_a_level


@pytest.mark.parametrize("rule", CASES)
def test_trips(rule):
    assert worst(CASES[rule].trips, rule) == CASES[rule].severity


@pytest.mark.parametrize("rule", CASES)
def test_just_passes_and_is_clean(rule):
    """What just passes its limit on volts may be noted as what worn joints undo: no more than that."""
    near = {"drop_too_large", "start_drop_too_large"}
    noted = {"worn_joints_decide"} if rule in near else set()
    assert {finding.rule for finding in findings(CASES[rule].passes)} == noted


@pytest.mark.parametrize(("rule", "flip"), FLIPS, ids=[f"{r}-{f.severity}-{f.limit:g}" for r, f in FLIPS])
def test_two_per_cent_flip_it(rule: str, flip: Flip):
    assert worst(flip.plan(flip.limit * (1 + SIDE)), rule) == flip.severity
    below = worst(flip.plan(flip.limit * (1 - SIDE)), rule)
    assert below is None or GRAVITY.index(below) > GRAVITY.index(flip.severity)


@pytest.mark.parametrize(("rule", "case"), CASES.items(), ids=CASES)
def test_gravest_case_is_what_the_rule_says_of_itself(rule: str, case: Case):
    reached = [case.severity, *(flip.severity for flip in case.flips)]
    assert min(reached, key=GRAVITY.index) == RULES[rule].worst


@pytest.mark.parametrize("rule", CASES)
def test_finding_says_where_what_and_whence(rule):
    found = [finding for finding in findings(CASES[rule].trips) if finding.rule == rule]
    for finding in found:
        assert finding.where
        assert finding.says
        assert finding.do
        assert (finding.value is None) == (finding.unit == "" and finding.limit is None) or finding.limit
        assert finding.source.work
        assert {"where", "also", "place", "says", "do", "cure", "source", "confidence"} <= set(
            finding.as_dict()
        )


def test_what_is_unknown_and_decides_is_asked_for():
    """Between 1 and 8 m of 1.5 mm² the drop of 10 A lies on both sides of 4 %."""
    (asked,) = findings(UNKNOWN_DECIDES)
    assert asked.rule == "unknown_figure_decides"
    assert asked.severity == "watch"
    assert "wiring.C1.length" in asked.do


def test_what_is_unknown_and_decides_nothing_is_silent():
    assert findings(UNKNOWN_DECIDES.replace("1.5 mm²", "10 mm²")) == ()


def test_other_limits_are_the_plans_own():
    text = CASES["drop_too_large"].trips
    assert worst(text.replace("  copper:", "  limits: {drop: 5.5 %}\n  copper:"), "drop_too_large") is None
    looser = text.replace("  copper:", "  limit_set: iso_10133\n  copper:")
    assert worst(looser, "drop_too_large") is None


# The manual


#: What EN 1648-2 is quoted with: drops, on ordinary circuits and charging lines. It says nothing else here.
OF_EN_1648_2 = {"drop_too_large", "charging_drop_too_large", "drop_together"}


@pytest.mark.parametrize("rule", CASES)
def test_a_standard_is_cited_only_for_what_it_says(rule):
    edit = Edit("basis.limit_set", write="en_1648_2")
    for finding in findings(apply_edits(CASES[rule].trips, [edit])):
        long_start = finding.rule == "start_drop_too_large" and "long start" in finding.says
        cited = finding.source.work == "EN 1648-2"
        assert not cited or finding.rule in OF_EN_1648_2 or long_start, finding.rule


def test_manual_page_is_up_to_date():
    assert PAGE.read_text(encoding="utf-8") == page(), "python -m tools.make_rules_page writes it anew"


def test_manual_page_has_every_rule():
    text = PAGE.read_text(encoding="utf-8")
    assert [rule for rule in RULES if f"\n## {rule}\n" not in text] == []
    assert set(LIMIT_OF) <= set(RULES)
