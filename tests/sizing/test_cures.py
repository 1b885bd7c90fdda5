"""Cures written into the text of the plan and judged anew: the finding is gone, nothing has come."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.plan.edit import Edit, apply_edits
from loomwright.rules.check import Checked, check_plan
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.sizing.candidates.candidate import Candidate, Move, change
from loomwright.sizing.cures import Answer, cures_of
from tests.plans import random_plan
from tests.rules.cases import CASES, UNKNOWN_DECIDES
from tests.scenarios.lines import EXAMPLES, VANS

GRAVITY = list(SEVERITIES)


def answers_of(checked: Checked) -> dict[int, Answer]:
    """Return the last answer for each finding, by its number."""
    return {answer.number: answer for answer in cures_of(checked)}


def key(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.where, finding.cause


def grades(findings: tuple[Finding, ...]) -> dict[tuple[str, str, str], int]:
    """Return the gravest severity of each matter that is more than a note, by its rank."""
    found: dict[tuple[str, str, str], int] = {}
    for finding in findings:
        if finding.severity != "note":
            rank = GRAVITY.index(finding.severity)
            found[key(finding)] = min(rank, found.get(key(finding), rank))
    return found


def assert_cures_hold(text: str) -> int:
    """Apply every cure of a plan by itself; return how many findings have none."""
    checked = check_plan(read_text(text))
    answers = answers_of(checked)
    graded = {number for number, one in enumerate(checked.findings, 1) if one.severity != "note"}
    assert set(answers) == graded
    before, applied = grades(checked.findings), {}
    for number, answer in answers.items():
        if answer.cure is None:
            assert answer.why
            continue
        assert answer.cure.says
        assert number in answer.cure.clears
        changed = apply_edits(text, answer.cure.edits)
        if changed not in applied:
            applied[changed] = grades(check_plan(read_text(changed)).findings)
        after = applied[changed]
        assert key(checked.findings[number - 1]) not in after, (number, answer)
        worse = {matter for matter, rank in after.items() if rank < before.get(matter, len(GRAVITY))}
        assert not worse, (number, answer, worse)
    return sum(answer.cure is None for answer in answers.values())


@pytest.mark.parametrize("van", VANS)
def test_cures_of_the_vans_hold(van):
    assert_cures_hold((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("tens", range(8))
def test_cures_of_random_plans_hold(tens):
    for seed in range(10 * tens, 10 * tens + 4):
        assert_cures_hold(random_plan(seed, 5 + seed % 25))


def test_own_feed_for_the_pump():
    """One feed of its own for the pump: the lamps dip no more, and it loses less running and starting."""
    checked = check_plan(read_text((EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8")))
    dip = next(n for n, one in enumerate(checked.findings, 1) if one.rule == "dip_at_other_load")
    cure = answers_of(checked)[dip].cure
    assert cure is not None
    assert cure.says == "own 2.5 mm² feed for pump from P1.4, 15 A"
    cleared = {checked.findings[number - 1].rule for number in cure.clears}
    assert cleared == {"dip_at_other_load", "drop_too_large", "start_drop_too_large"}


#: Rules whose tripping plan no change of it cures, and why that is so.
NOT_CURED = {
    "inlet_too_high": "where it goes is for the user to say",
    "return_by_mixed_shell": "the body has to be measured between its studs first",
    "size_unknown": "the size has to be measured first",
    "dip_at_other_load": "most of it is inside the battery",
    "lithium_too_hot": "the battery has to move, and its cables are measured anew",
    "lithium_on_bare_link": "a charger between the batteries is chosen first",
    "pitch_overloaded": "what runs is for the people in the van to say",
    "pitch_full_for_hours": "what runs is for the people in the van to say",
    "start_opens_pitch": "what runs is for the people in the van to say",
    "pitch_on_combined_earth": "a licensed person has to say how to plug in there",
    "pitch_of_other_volts": "a transformer has to be chosen first",
    "charger_fed_by_inverter": "where the change-over goes is for a licensed person to say",
    "too_heavy": "what stays at home is for the user to say",
}


@pytest.mark.parametrize("rule", CASES)
def test_every_rule_has_a_cure(rule):
    """What trips a rule is cured by a change of the plan, but for what has to be measured or bought anew."""
    text = CASES[rule].trips
    checked = check_plan(read_text(text))
    answers = answers_of(checked)
    own = [n for n, one in enumerate(checked.findings, 1) if one.rule == rule and one.severity != "note"]
    for number in own:
        assert (answers[number].cure is None) == (rule in NOT_CURED), answers[number]
    assert_cures_hold(text)


def test_what_is_unknown_is_cured_at_the_worst():
    (answer,) = answers_of(check_plan(read_text(UNKNOWN_DECIDES))).values()
    assert answer.cure is not None
    assert answer.cure.says == "C1 in 4 mm² instead of 1.5 mm² (enough at the worst too)"


def test_asked_to_stop_it_stops():
    checked = check_plan(read_text((EXAMPLES / "saltpan.yaml").read_text(encoding="utf-8")))
    asked = iter([True, True, False])
    answers = list(cures_of(checked, go_on=lambda: next(asked)))
    assert len({one.cure.says for one in answers if one.cure is not None}) <= 2


@pytest.mark.parametrize("asked", range(0, 40, 3))
def test_a_search_that_is_stopped_says_of_nothing_that_it_has_no_cure(asked):
    """Highcol's cures need changes of what other changes bring: stopped amid them, nothing false is said."""
    checked = check_plan(read_text((EXAMPLES / "highcol.yaml").read_text(encoding="utf-8")))
    left = iter(range(asked))
    answers = list(cures_of(checked, go_on=lambda: next(left, None) is not None))
    assert all(answer.cure is not None for answer in answers)


def test_a_change_and_another_of_the_same_size():
    """The later size stands; what only the first wrote is kept."""
    first = Candidate((Move("thin", (Edit("wiring.C1.area", "1 mm²"), Edit("wiring.C1.joints", "2"))),))
    both = first.then(change("thick", Edit("wiring.C1.area", "4 mm²")))
    assert both.says == "thick"
    assert both.edits == (Edit("wiring.C1.joints", "2"), Edit("wiring.C1.area", "4 mm²"))


@pytest.mark.parametrize("van", VANS)
def test_figures_before_and_after(van):
    """A figure that a cure is about stands beside it, and differs, unless another one does instead."""
    checked = check_plan(read_text((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")))
    for number, answer in answers_of(checked).items():
        finding = checked.findings[number - 1]
        figures = answer.cure.before_after if answer.cure is not None else ()
        assert not figures or any(one.before != one.after for one in figures), finding
        if finding.rule in ("drop_too_large", "start_drop_too_large", "charging_drop_too_large"):
            assert figures[0].before == pytest.approx(finding.value, rel=1e-6), finding
