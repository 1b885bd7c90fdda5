"""What is to be done on the mains side begins with who does it; its cures say the same of the work."""

from __future__ import annotations

import pytest

from tests.rules.cases_mains import MAINS
from tests.scenarios.lines import VANS, checked

#: What anybody may do: run less, take another lead, put up a notice, choose another pitch.
ANYBODY = {
    "pitch_overloaded",
    "pitch_full_for_hours",
    "start_opens_pitch",
    "lead_too_thin",
    "lead_left_wound",
}
ANYBODY |= {"inlet_without_notice", "case_bond_burns", "pitch_of_other_volts"}


@pytest.mark.parametrize("van", VANS)
def test_work_on_the_mains_is_for_a_licensed_person(van):
    job = checked(van)
    runs = job.assessment.wiring.runs
    for one in job.findings:
        flat = runs.get(one.where.split(".")[0])
        if (one.rule in MAINS and one.rule not in ANYBODY) or (flat is not None and flat.mains):
            assert one.do.lower().startswith("have a licensed person"), (one.rule, one.do)
