"""What a plan accepts: watches are marked and stay, nothing else is hidden."""

from __future__ import annotations

import pytest

from loomwright import check, read_text
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from tests.rules.cases_static2 import BARE_BODY, NO_RETURN, STAYS, accepting


def found(text: str) -> dict[str, Finding]:
    return {finding.rule: finding for finding in check_plan(read_text(text)).findings}


def test_an_accepted_watch_stays_and_says_so():
    report = check(read_text(accepting(BARE_BODY, STAYS)))
    (watch,) = report.findings
    assert (watch.severity, watch.rule) == ("watch", "stud_not_named")
    assert watch.accepted == "an old stud stays (AB)"
    assert watch.as_dict()["accepted"] == watch.accepted
    assert "1 watch (1 accepted)." in report.as_text()
    assert "accepted: an old stud stays (AB)" in report.as_text()
    assert report.as_dict()["totals"]["accepted"] == 1


def test_the_same_watch_unaccepted_says_nothing():
    report = check(read_text(BARE_BODY))
    assert [finding.accepted for finding in report.findings] == [""]
    assert "accepted" not in report.as_text()
    assert report.as_dict()["totals"]["accepted"] == 0


def test_dates_stand_beside_the_reason():
    entry = f"{STAYS}, date: 2026-05-01, until: 2027-05-01"
    watch = found(accepting(BARE_BODY, entry, "2026-11-25"))["stud_not_named"]
    assert watch.accepted == "an old stud stays (AB, 2026-05-01; to be looked at again by 2027-05-01)"


def test_a_place_stands_for_what_is_found_there():
    """The lamp and its return are in the kitchen."""
    at_place = STAYS.replace("where: C1.return", "where: kitchen")
    assert found(accepting(BARE_BODY, at_place))["stud_not_named"].accepted
    elsewhere = found(accepting(BARE_BODY, STAYS.replace("where: C1.return", "where: seat_base")))
    assert not elsewhere["stud_not_named"].accepted
    assert elsewhere["accepted_not_found"].where == "seat_base"


def test_another_rule_or_wire_is_not_accepted():
    for other in (STAYS.replace("stud_not_named", "open_end"), STAYS.replace("C1.return", "main")):
        done = found(accepting(BARE_BODY, other))
        assert not done["stud_not_named"].accepted
        assert done["accepted_not_found"].severity == "note"


@pytest.mark.parametrize(
    ("date", "until", "stands"),
    [
        ("2026-11-25", "2026-11-24", True),
        ("2026-11-25", "2026-11-25", False),
        ("", "2020-01-01", False),  # no date in the plan: nobody knows
    ],
)
def test_past_its_date_the_watch_stands_again(date: str, until: str, stands: bool):
    done = found(accepting(BARE_BODY, f"{STAYS}, until: {until}", date))
    assert ("acceptance_ran_out" in done) is stands
    assert (done["stud_not_named"].accepted == "") is stands


def test_a_fault_stays_a_fault_and_signing_for_it_is_another():
    entry = "rule: open_return, where: lamp, because: no, by: AB"
    done = found(accepting(NO_RETURN, entry))
    assert done["open_return"].accepted == ""
    signed = done["cannot_be_accepted"]
    assert (signed.severity, signed.where) == ("fault", "lamp")
    assert "open_return" in signed.says
    assert "cannot be accepted" in signed.says


def test_a_danger_cannot_be_accepted():
    shorted = BARE_BODY.replace("accepted:", "").replace(
        "  earth:", "  short: {from: leisure.plus, to: E2, area: 4 mm², length: 1 m}\n  earth:"
    )
    danger = next(one for one in check_plan(read_text(shorted)).findings if one.rule == "battery_shorted")
    entry = f"rule: battery_shorted, where: {danger.where}, because: no, by: AB"
    assert found(accepting(shorted, entry))["cannot_be_accepted"].severity == "fault"


def test_a_note_needs_no_acceptance():
    unwired = BARE_BODY.replace("parts:\n", "parts:\n  fan: {kind: fan, place: kitchen, running: 1 A}\n")
    entry = "rule: not_wired, where: fan, because: comes next year, by: AB"
    done = found(accepting(unwired, entry))
    assert done["not_wired"].accepted == ""
    assert not {"cannot_be_accepted", "accepted_not_found"} & set(done)
