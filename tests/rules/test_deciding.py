"""What is not known and decides: which figure settles a verdict, where it is measured, how good it has to be.

Each is held against plans in which the figure is filled in: the verdict has to turn where it is said to turn.
"""

from __future__ import annotations

import re

import pytest

from loomwright import read_text
from loomwright.assessment.assess import Corners
from loomwright.assessment.inputs import Corner
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from loomwright.rules.registry import Job, run_rules
from tests.plans import random_plan
from tests.rules.base import WIRE, plan
from tests.rules.cases import UNKNOWN_DECIDES
from tests.scenarios.lines import text_of

ASKED = "unknown_figure_decides"
BIG_BACK = "return: {to: E2, area: 35 mm², length: 0.4 m}"


def findings(text: str) -> list[Finding]:
    return [one for one in check_plan(read_text(text)).findings if one.severity != "note"]


def only(text: str) -> Finding:
    (asked,) = findings(text)
    return asked


def enough(asked: Finding) -> float:
    """Return the figure that is good enough, as it is said."""
    found = re.search(r"good up to ([\d.]+) (mV|m)\b", asked.do)
    assert found is not None, asked.do
    return float(found[1])


# One that settles it


def test_a_stud_is_measured_where_it_decides():
    """150 A in 0.3 to 1.0 mΩ: 45 to 150 mV, on both sides of the 100 mV of one joint."""
    text = plan(
        "heater: {kind: load, place: kitchen, running: 150 A}",
        f"C1: {{from: leisure.plus, fuse: 200 A bolted, to: heater, area: 70 mm², length: 1 m, {BIG_BACK}}}",
    ).replace(", stud: 0 mΩ", "")
    asked = next(one for one in findings(text) if one.rule == ASKED and one.where == "E2")
    assert asked.do.startswith("measure the volts across stud E2, from the ring to bare metal at 10 A")
    assert asked.unknown[0] == "basis.contacts.stud"
    assert [field for field, _ in asked.decided_by] == ["basis.contacts.stud"]
    assert enough(asked) == 6.6  # 100 mV / 150 A at 10 A, cut off
    for ohm, said in (("0.66 mΩ", False), ("0.68 mΩ", True)):
        stated = text.replace("E2: {place: kitchen}", f"E2: {{place: kitchen, resistance: {ohm}}}")
        assert any(one.where == "E2" for one in findings(stated)) == said


SWITCHED = plan(
    "S1: {kind: switch, place: kitchen}\nheater: {kind: load, place: kitchen, running: 10 A}",
    "C1: {from: P1.1, fuse: 15 A, through: S1, to: heater, area: 2.5 mm², length: 4 m, return: {to: E2}}",
).replace(", switch: 0 mΩ", "")


def test_the_contact_of_a_switch_decides():
    """5.4 m of 2.5 mm² lose 0.43 V at 10 A, a contact of 2 to 10 mΩ 20 to 100 mV more; 4 % is 0.48 V."""
    text = SWITCHED.replace("length: 4 m", "length: 5 m")
    asked = only(text)
    assert (asked.rule, asked.at_worst) == (ASKED, "drop_too_large")
    assert asked.unknown[0] == "parts.S1.resistance"
    assert asked.decided_by == (("parts.S1.resistance", pytest.approx(100.0)),)
    most = enough(asked) / 10.0
    for ohm, said in ((most, []), (most + 0.11, ["drop_too_large"])):
        stated = text.replace("S1: {kind: switch", f"S1: {{resistance: {ohm:.3f} mΩ, kind: switch")
        assert [one.rule for one in findings(stated)] == said


def test_a_length_decides_and_is_said_how_long_it_may_be():
    asked = only(UNKNOWN_DECIDES)
    assert asked.do.startswith("measure the way of C1 with a string (good up to ")
    most = enough(asked)
    for metres, said in ((most, []), (most + 0.2, ["drop_too_large"])):
        stated = UNKNOWN_DECIDES.replace("length: unknown", f"length: {metres:.2f} m")
        assert [one.rule for one in findings(stated)] == said


def test_a_current_that_nobody_knows_decides():
    """A load may take 0.1 to 10 A."""
    text = SWITCHED.replace(", running: 10 A", "").replace("length: 4 m", "length: 9 m")
    asked = only(text)
    assert asked.do == "measure the current of heater while it runs and fill in parts.heater.running"
    assert asked.decided_by[0][0] == "parts.heater.running"
    assert sum(share for _, share in asked.decided_by) == pytest.approx(100.0)


def test_the_battery_decides_a_dip():
    """100 Ah of AGM have 2.5 to 5 mΩ: 80 A cost 0.2 to 0.4 V inside it; a dip is a watch from 0.3 V."""
    text = plan(
        "lamp: {kind: lamp, place: kitchen, running: 1 A}\n"
        "pump: {kind: water_pump, place: kitchen, running: 8 A, start: 80 A for 80 ms}",
        f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}\nC2: {{from: P1.2, fuse: 30 A, to: pump, {WIRE}}}",
    ).replace(",\n    resistance: 20 mΩ", "")
    asked = next(one for one in findings(text) if one.at_worst == "dip_at_other_load")
    assert asked.unknown[0] == "parts.leisure.resistance"
    assert "measure the volts of leisure at rest and with 10 A taken (good up to 37 mV)" in asked.do
    for ohm, said in (("3.7 mΩ", []), ("3.8 mΩ", ["watch"])):
        stated = text.replace("charge_limit: 20 A", f"charge_limit: 20 A, resistance: {ohm}")
        assert [one.severity for one in findings(stated) if one.rule == "dip_at_other_load"] == said


@pytest.mark.parametrize(("van", "keys"), [("mossgrove", r"W\d|usb"), ("amberquay", r"L\d|fan")])
def test_in_the_example_vans_the_figure_taken_out_is_the_one_that_decides(van, keys):
    """One length or current after the other is called unknown; what is said to be good enough is tried."""
    text, asked = text_of(van, ""), 0
    known = {(one.rule, one.where) for one in findings(text)}
    for found in re.finditer(rf"^  ({keys}): \{{.*?((length|running): [\d.]+ (?:m|A))\b", text, flags=re.M):
        head, tail, field = text[: found.start(2)], text[found.end(2) :], found[3]
        for one in findings(f"{head}{field}: unknown{tail}"):
            if one.rule != ASKED:
                continue
            asked += 1
            path = f"{'parts' if field == 'running' else 'wiring'}.{found[1]}.{field}"
            assert one.unknown[0] == one.decided_by[0][0] == path
            if "good up to" in one.do:
                stated = findings(f"{head}length: {enough(one):.4f} m{tail}")
                assert not {(f.rule, f.where) for f in stated} - known
    assert asked >= 4


# Several


def test_where_no_figure_settles_it_alone_two_are_named():
    """Two contacts of up to 10 mΩ each: with one of them good 40 mV too much are left."""
    text = SWITCHED.replace("through: S1", "through: [S1, S2]").replace("length: 4 m", "length: 5 m")
    text = text.replace("S1: {kind", "S2: {kind: switch, place: kitchen}\n  S1: {kind")
    sure = [one.rule for one in findings(text.replace("length: 5 m", "length: 4.2 m"))]
    assert sure == [ASKED]
    asked = only(text.replace("length: 5 m", "length: 5.2 m"))
    assert "S1" in asked.do
    assert "S2" in asked.do
    assert asked.do.endswith("only together do they settle it")


@pytest.mark.parametrize("seed", [8, 12, 19, 36])
def test_what_is_named_settles_it(seed):
    """On random vans: with the fields named at their good end, all else at the bad one, it is gone."""
    corners = Corners(read_text(random_plan(seed, 5 + seed)))
    asked = [one for one in check_plan(corners.bad.plan).findings if one.rule == ASKED]
    assert asked
    for one in asked:
        fields = [field for field, _ in one.decided_by]
        named = frozenset(field for field in fields if field in one.do)
        rest = frozenset() if len(named) < 3 else frozenset(fields)  # more than three are not all named
        job = corners.at(Corner.BAD, turned=named | rest).assessment
        left = [
            f for f in run_rules(Job(job), only={one.at_worst}) if (f.where, f.also) == (one.where, one.also)
        ]
        assert left == [], one.do


# Ranges


def test_a_finding_that_hangs_on_a_stated_range_stands_and_says_so():
    text = SWITCHED.replace(", contacts", ", contacts").replace("running: 10 A", "running: 6..14 A")
    text = text.replace("S1: {kind: switch", "S1: {resistance: 2 mΩ, kind: switch").replace(
        "15 A, th", "20 A, th"
    )
    (found,) = [one for one in findings(text) if one.rule == "drop_too_large"]
    assert found.says.endswith("; hangs on the range at parts.heater.running")
    assert only(text.replace("6..14 A", "14 A")).says in found.says
    assert findings(text.replace("6..14 A", "6 A")) == []


def test_a_finding_that_no_range_would_mend_says_nothing_of_it():
    text = SWITCHED.replace("running: 10 A", "running: 13..14 A").replace("length: 4 m", "length: 12 m")
    (found,) = [one for one in findings(text) if one.rule == "drop_too_large"]
    assert "hangs" not in found.says


def test_a_resistance_stated_as_a_range_takes_its_worse_end_too():
    """A load in ohms takes most at the fewest: 1 to 2 Ω are 12 A at the worst."""
    text = SWITCHED.replace("running: 10 A", "running: 1..2 Ω")
    job = check_plan(read_text(text)).assessment
    assert job.circuits["C1"].running_a == pytest.approx(12.0, rel=0.05)


def test_the_battery_decides_whether_a_fuse_breaks_a_short():
    """100 Ah of AGM have 2.5 to 5 mΩ: 2,560 to 5,120 A, and the fuse breaks 3 kA."""
    text = plan("", "").replace(",\n    resistance: 20 mΩ", "")
    text = text.replace("fuse: 60 A bolted", "fuse: {rating: 60 A, type: bolted, breaks: 3 kA}")
    asked = only(text)
    assert asked.at_worst == "fuse_breaks_too_little"
    assert asked.decided_by[0] == ("parts.leisure.resistance", pytest.approx(100.0))
    assert asked.do.startswith("measure the volts of leisure at rest and with 10 A taken")
