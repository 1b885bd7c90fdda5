"""How sure a verdict is, in words and in the book."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.documents.book.citing import Citing
from loomwright.documents.book.found import found_rows
from loomwright.documents.reasons.expected import open_verdicts, spreads
from loomwright.rules.check import Checked, check_plan
from loomwright.sizing.nearest import Nearest
from tests.rules.test_deciding import SWITCHED
from tests.scenarios.lines import checked


@pytest.fixture
def unsure() -> Checked:
    return check_plan(read_text(SWITCHED.replace("length: 4 m", "length: 5 m")))


def test_a_band_that_a_limit_parts_is_told_in_words(unsure):
    """2 to 20 mΩ, worn, at 10 A are 0.17 to 1.7 % of 12 V."""
    for kind, id in (("wire", "C1"), ("part", "heater")):
        (one,) = spreads(unsure, kind, id)
        assert one.words == (
            "drop, running: 3.7 % at the least, typically 3.9 %, 5.2 % at the most; "
            "watch from 4.0 %, fault from 5.0 %"
        )
        low, typical, high = one.at
        (_, _, watch), (_, _, fault) = one.limits
        assert 0 < low < typical < watch < fault < high < 100


def test_what_would_settle_it_stands_beside(unsure):
    (asked,) = open_verdicts(unsure, "C1")
    assert asked.settles == unsure.findings[0].do
    assert asked.decides == ("parts.S1.resistance 100 %",)


def test_a_stud_shows_its_volts_where_they_decide():
    text = SWITCHED.replace("running: 10 A", "running: 150 A").replace(", stud: 0 mΩ", "")
    (one,) = spreads(check_plan(read_text(text)), "stud", "E2")
    assert one.what == "volts in its contact"
    assert (one.low, one.high) == ("0.045 V", "0.45 V")  # 0.3 mΩ fresh to 3 mΩ worn


@pytest.mark.parametrize("van", ["mossgrove", "saltpan"])
def test_where_every_figure_is_stated_no_band_is_shown(van):
    """The example vans state their joints and fuses; what little is left open decides nothing."""
    job = checked(van)
    told = [one for id in job.assessment.wires for one in spreads(job, "wire", id)]
    assert told == []


def test_the_book_tells_the_band_and_what_decides(unsure):
    (row,) = (one for one in found_rows(unsure, Citing(), {}, Nearest({}, (), ())) if one.expected)
    assert row.expected.startswith("Expected, drop, running: 3.7 %")
    assert row.expected.endswith("What decides it: parts.S1.resistance 100 %.")
