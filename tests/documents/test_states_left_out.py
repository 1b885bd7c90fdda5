"""What the report says where the states of a van are too many to visit each."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.documents.report import NOT_JUDGED, STATES_NOT_JUDGED, Report
from loomwright.rules.check import check_plan
from tests.plans import random_plan


@pytest.mark.parametrize(("seed", "too_many"), [(12, True), (13, False)])
def test_states_that_are_left_out_are_said(seed, too_many):
    """Ten switches whose lamps share their wires are too many; where none is left out, nothing is said."""
    report = Report(check_plan(read_text(random_plan(seed, 40))))
    totals = report.as_dict()["totals"]
    assert totals["not_judged"] == [*NOT_JUDGED, STATES_NOT_JUDGED][: None if too_many else -1]
    assert (STATES_NOT_JUDGED in report.as_text()) is too_many
