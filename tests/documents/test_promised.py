"""The customer's page: promises against the daily balance, and the sentence that holds instead."""

from __future__ import annotations

from loomwright import read_text
from loomwright.assessment.energy.year import year_of
from loomwright.documents.promised import Promised, promised_of
from loomwright.plan.edit import Edit
from loomwright.plan.edited import edited
from loomwright.rules.check import check_plan
from tests.scenarios.lines import checked, text_of


def of(van: str, *edits: Edit) -> dict[str, Promised]:
    plan = edited(read_text(text_of(van, "")), edits) if edits else checked(van).assessment.plan
    done = check_plan(plan) if edits else checked(van)
    return dict(zip(plan.promises, promised_of(done), strict=True))


def test_rain_is_not_kept_and_a_day_is_promised_instead():
    """Mossgrove, three rainy October days: 47.5 Ah usable, 42.2 Ah taken, 3.4 Ah of sun: 1.2 days."""
    rain = of("mossgrove")["rain"]
    assert rain.verdict == "not kept"
    assert "last 1.2 days, 3 days are asked" in rain.often
    assert rain.instead == "1 day from full batteries, in rain, without driving, in October."
    told = dict(rain.hangs_on)
    assert told["Season"] == "October."
    assert told["Sun"].startswith("In rain: it brings 3.4 Ah of 42 Ah")
    assert told["Habit"].startswith("Of the 42 Ah a day: Fridge 40 l 30 Ah")
    driving = of("mossgrove")["driving"]
    assert (driving.verdict, "25 Ah are asked" in driving.often) == ("not kept", True)


def test_of_several_months_it_tells_which_keep_it():
    """Alderford's summer, mean days of average sun: July and August, not longer than the daily balance."""
    summer = of("alderford", Edit("promises.july.months", ["jul", "aug"]), Edit("promises.july.days", "4"))
    july = summer["july"]
    assert july.verdict == "not always"
    assert "kept in 1 of 2 months: in July." in july.often
    assert july.instead.endswith("in average sun, without driving, in August.")
    assert dict(july.hangs_on)["Season"] == "July and August; the figures are those of the worst."


def test_what_the_findings_call_missed_is_never_called_kept():
    for van in ("alderford", "highcol", "mossgrove", "planeshed", "saltpan"):
        missed = {one.where for one in checked(van).findings if one.rule.startswith("promised_")}
        for id, one in of(van).items():
            assert (id in missed) == (one.verdict in ("not always", "not kept")), (van, id)
            assert bool(one.instead) == (id in missed), (van, id)


def test_stays_that_are_kept_too_seldom_change_the_sentence():
    """A mean July lasts for three days; in years of weather one stay of four or so does not."""
    done = checked("alderford")
    july = promised_of(done, year_of(done.assessment, 8))[0]
    assert of("alderford")["july"].verdict == "kept"
    assert july.verdict == "not always"
    assert july.instead.endswith("from full batteries, in average sun, without driving, in July.")
    assert "in years of weather drawn by lot" in july.often


def test_a_promise_that_says_too_little():
    text = "loomwright: 1\ntitle: T\nregion: eu\npromises: {p: {says: Two days, days: 2}}\n"
    (one,) = promised_of(check_plan(read_text(text)))
    assert (one.verdict, one.instead, one.hangs_on) == ("not worked out", "", ())
