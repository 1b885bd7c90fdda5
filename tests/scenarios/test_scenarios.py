"""Six invented vans with what must come out of them, worked out by hand before the program was written.

Numbers hold within the tolerance that each line states, classes exactly; and nothing else of danger or fault
appears.
"""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.rules.registry import RULES
from tests.scenarios.figures import figure
from tests.scenarios.grades import RULES_OF, grade, touches
from tests.scenarios.lines import BY_HAND, EXAMPLES, VANS, all_lines, checked, expect_file, lines

OWNED = [line for line in all_lines() if (line.van, line.name, line.what) not in BY_HAND]


def test_lines_are_many():
    assert len(OWNED) > 90
    assert {line.what for line in OWNED} == set(RULES_OF)
    assert all(sum(line.van == van for line in OWNED) > 5 for van in VANS)


def test_each_file_allows_nothing_else_of_danger_or_fault():
    assert {expect_file(van)["otherwise"] for van in VANS} == {"no danger, no fault"}


@pytest.mark.parametrize("line", [line for line in OWNED if line.value is not None], ids=str)
def test_figure(line):
    value = figure(line, checked(line.van, line.after_cure).assessment)
    expected = float(line.value.split()[0])  # of "30 mA 2-pole" the 30
    if line.absolute is not None:
        assert value == pytest.approx(expected, abs=line.absolute)
    else:
        assert value == pytest.approx(expected, rel=line.percent / 100.0)


@pytest.mark.parametrize("line", [line for line in OWNED if line.grade != "note"], ids=str)
def test_class(line):
    done = checked(line.van, line.after_cure)
    said = [f"{f.severity} {f.rule} {f.where}: {f.says}" for f in done.findings]
    assert grade(line, done) == line.grade, "\n".join(said)


BACKED = [line for line in OWNED if line.what == "breaking" and line.grade == "note"]


@pytest.mark.parametrize("line", BACKED, ids=str)
def test_a_note_names_what_backs_a_fuse(line):
    done = checked(line.van, line.after_cure)
    (note,) = (f for f in done.findings if touches(line, f, done.assessment))
    assert note.severity == "note"
    assert "backed by" in note.says


FOLDING = [line for line in OWNED if line.what == "short_folds_back"]


@pytest.mark.parametrize("line", FOLDING, ids=str)
def test_a_note_says_which_fuse_need_not_open(line):
    done = checked(line.van, line.after_cure)
    (note,) = (f for f in done.findings if touches(line, f, done.assessment))
    assert note.severity == line.grade == "note"
    assert "need not open" in note.says


@pytest.mark.parametrize("van", VANS)
def test_nothing_else_of_danger_or_fault(van):
    done = checked(van)
    grave = [line for line in lines(van) if line.what in RULES_OF and line.grade in ("danger", "fault")]
    for finding in done.findings:
        if finding.severity in ("danger", "fault"):
            asked_for = any(touches(line, finding, done.assessment) for line in grave)
            assert asked_for, f"{finding.severity} {finding.rule} {finding.where}: {finding.says}"


def test_every_rule_of_the_harness_exists():
    assert set().union(*RULES_OF.values()) <= set(RULES)


def test_highcol_main_feed():
    """The van's page counts three loads into W3 that have no wire in the plan; unwired loads feel no cable.

    19.2 A = heater 1.5, fridge 4, pump 7, lamps 1.8, and fan 0.3, laptop 4.5, standby 0.12 without wires.
    By hand, feed and return: 2 x 3.1 m x 0.272 mΩ/m, eight lugs 0.2 mΩ, fuse 0.40, master 0.2, shunt 0.1
    make 3.99 mΩ: 0.077 V at 19.2 A, 0.057 V at the 14.3 A of what is wired.
    """
    by_hand_ohm = 2 * 3.1 * 0.272e-3 + 8 * 0.2e-3 + 0.40e-3 + 0.2e-3 + 0.1e-3
    wired = checked("highcol").assessment.wires["W3"]
    assert wired.current_a == pytest.approx(14.3, abs=0.05)
    assert wired.drop_v == pytest.approx(14.3 * by_hand_ohm, rel=0.02)

    text = (EXAMPLES / "highcol.yaml").read_text(encoding="utf-8")
    text = text.replace("running: 0.3 A, wired: no", "running: 0.3 A")
    text = text.replace("running: 4.5 A, wired: no", "running: 4.5 A")
    text = text.replace("standby: {kind: standby", "standby: {kind: load")
    more = "\n".join(
        f"  N{k}: {{from: plus_bar, fuse: 10 A, to: {load}, area: 4 mm², length: 1 m, return: minus_bar}}"
        for k, load in enumerate(("fan", "laptop", "standby"))
    )
    text = text.replace("\nuse:\n", f"{more}\n\nuse:\n")
    all_wired = check_plan(read_text(text)).assessment.wires["W3"]
    assert all_wired.current_a == pytest.approx(19.2, abs=0.05)
    assert all_wired.drop_v == pytest.approx(0.077, rel=0.08)
