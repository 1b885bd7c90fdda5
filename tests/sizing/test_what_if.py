"""What if: what is shown is what the plan would have if it were written so, under the same weather."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from loomwright import assess, read, read_text
from loomwright.assessment.energy.year import figures_of
from loomwright.assessment.energy.year_record import Year
from loomwright.assessment.energy.year_run import Supposed, YearRun
from loomwright.documents.what_if import differences, supposed
from loomwright.energy.spells import dull_days, longer, of_days
from loomwright.plan.edit import apply_edits
from loomwright.sizing.what_if import Tried, WhatIf
from tests.scenarios.lines import EXAMPLES, text_of

YEARS = 2


@cache
def what_if(van: str) -> WhatIf:
    return WhatIf(assess(read(EXAMPLES / f"{van}.yaml")))


@cache
def tried(van: str, **values: float) -> Tried:
    return what_if(van).suppose(values, YEARS)


def year_of_text(text: str) -> Year:
    run = YearRun(assess(read_text(text)), YEARS)
    return figures_of(run, run.whole())


def test_as_planned_it_is_the_plans_own_year():
    own = year_of_text(text_of("alderford", ""))
    assert tried("alderford").changed == ()
    assert tried("alderford").edits == ()
    assert np.array_equal(tried("alderford").year.held_pct, own.held_pct)


@pytest.mark.parametrize("van", ["alderford", "saltpan"])
def test_what_is_written_is_what_was_shown(van):
    """All sizes at once; batteries in series grow alike, and what a label states grows with them."""
    knobs = what_if(van).knobs
    values = {name: knob.least + knob.step for name, knob in knobs.items() if knob.parts}
    one = what_if(van).suppose(values, YEARS)
    written = apply_edits(text_of(van, ""), one.edits)
    assert np.array_equal(year_of_text(written).held_pct, one.year.held_pct)
    now = WhatIf(assess(read_text(written))).knobs
    assert {name: now[name].now for name in values} == pytest.approx(values, rel=1e-3)


def test_a_spell_gets_longer_and_no_day_brighter():
    """By hand: days 1, 2 and 5 are dull; two more days each, where they are not dull by themselves."""
    ghi = np.full((1, 8760), 100.0)
    for day in (1, 2, 5):
        ghi[0, 24 * day : 24 * day + 24] = 10.0 + day
    dull = dull_days(ghi)
    assert np.flatnonzero(dull[0]).tolist() == [1, 2, 5]
    whose = longer(dull, 2)
    assert whose[0, :9].tolist() == [0, 1, 2, 2, 2, 5, 5, 5, 8]
    assert (of_days(ghi, whose) <= ghi).all()
    assert np.array_equal(longer(dull, 0)[0], np.arange(365))


def test_what_is_beside_the_plan_does_what_it_says():
    """More dull days bring less sun; a warmer fridge takes (air - 6) / (air - 5) of what it took."""
    job = assess(read(EXAMPLES / "alderford.yaml"))
    own, dark = YearRun(job, YEARS), YearRun(job, YEARS, supposed=Supposed(dull_days=2))
    assert dark.clear_a.sum() < 0.97 * own.clear_a.sum()
    assert np.array_equal(dark.schedule.load_a, own.schedule.load_a)
    warmer = YearRun(job, YEARS, supposed=Supposed(warmer_c=1.0))
    saved = next(one for one in own.habits(0.0) if one.habit == "fridge_one_degree_warmer").saved_ah
    per_day = (own.schedule.load_a - warmer.schedule.load_a).sum() / 365.0
    assert 0.0 < per_day <= saved  # which is for days of use


def test_it_is_told_beside_the_plans_own_figures():
    more = what_if("alderford").suppose({"panel": 390.0, "dull": 1.0, "warmer": 2.0}, YEARS)
    assert supposed(more) == (
        "Panels 390 Wp instead of 180 Wp; each dull spell longer by 1 day; fridge set warmer by 2 °C"
    )
    said = differences(more, tried("alderford").year)
    was, now = (round(one.flat_nights[0]) for one in (tried("alderford").year, more.year))
    assert said[0] == f"{was - now} fewer flat nights a year: {now} instead of {was}."
    assert any("no more than its 15 A" in one for one in said)
    assert any("not for food that has to stay cold" in one for one in said)
    same = differences(tried("alderford"), tried("alderford").year)
    assert same[0] == f"As many flat nights a year as now: {was}."


def test_knobs_are_for_what_the_plan_states():
    """Amberquay has no panel and no charger of a known current: only its battery can be written otherwise."""
    assert list(what_if("amberquay").knobs) == ["battery"]
    with pytest.raises(ValueError, match="no such question"):
        what_if("amberquay").suppose({"panel": 100.0}, YEARS)
    with pytest.raises(ValueError, match="55 to 240"):
        what_if("amberquay").suppose({"battery": 1000.0}, YEARS)
