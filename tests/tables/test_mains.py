"""Tables of the mains side: every region has its rows, every row says how far it was confirmed."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import pytest

from loomwright.errors import OutOfTableError
from loomwright.source import Checked
from loomwright.tables.flex_drop import TABLES
from loomwright.tables.iec_61008 import TIMES
from loomwright.tables.mains_clauses import clause, clauses, lead_area, read_rows, topics
from loomwright.tables.mains_supplies import REGIONS, SUPPLIES
from loomwright.tables.mains_tests import inspection_order

#: What every region has a row on, be it that nothing was found.
EVERYWHERE = (
    "rcd_trip", "rcd_poles", "poles", "main_isolator", "bonding_area", "least_area", "stranded",
    "lead_length", "inlet_height", "inlet_lid", "notice", "drop_lighting", "drop_other", "disconnection_tn",
    "c_min", "reading_factor", "socket_earth", "segregation", "gas_locker", "one_source", "inverter_bond",
    "test_order", "body_not_earth", "who_works",
)  # fmt: skip
#: What may not be printed on a sheet.
NEVER_SAID = ("complies", "certified", "safe", "approved")


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_has_the_main_topics(region):
    held = {row.topic for row in clauses(region)}
    assert set(EVERYWHERE) <= held
    assert SUPPLIES[region].region == region
    assert SUPPLIES[region].allowed_v.low < SUPPLIES[region].volts < SUPPLIES[region].allowed_v.high


def test_each_clause_stands_once_and_is_told_in_full():
    rows = list(read_rows("mains_clauses.csv"))
    assert max(Counter((row["topic"], row["region"]) for row in rows).values()) == 1
    assert {row["region"] for row in rows} == set(REGIONS)
    for row in rows:
        assert row["checked"] in get_args(Checked)
        assert row["says"]
        assert row["clause"]
        assert bool(row["limit"]) == bool(row["bound"]), row
        assert row["bound"] in ("", "least", "most", "exactly")
        assert not set(row["says"].lower().split()) & set(NEVER_SAID)


def test_only_a_clause_that_was_seen_goes_without_a_licensed_copy():
    told = [row for region in REGIONS for row in clauses(region)]
    assert all(row.to_check for row in told if row.source.checked in ("from memory", "one source"))
    assert not clause("disconnection_tn", "uk").to_check
    assert clause(
        "main_isolator", "uk"
    ).to_check  # the rule was told twice, the number of its clause not seen


@pytest.mark.parametrize(
    ("topic", "region", "limit", "unit"),
    [
        ("rcd_trip", "uk", 30.0, "mA"),
        ("inlet_height", "eu", 1.8, "m"),
        ("reading_factor", "uk", 0.8, ""),
        ("reading_factor", "eu", pytest.approx(2 / 3, abs=1e-6), ""),
        ("disconnection_tt", "uk", 0.2, "s"),
        ("drop_other", "au", 5.0, "%"),
        ("segregation", "na", 0.013, "m"),
        ("next_test", "nz", 4.0, "years"),
    ],
)
def test_limits_as_published(topic, region, limit, unit):
    """BS 7671 and HD 60364-7-721 by handbooks; NEC 552.10(C)(3); AS/NZS 3000 3.6.2; ESR 2010 regs 76, 77."""
    row = clause(topic, region)
    assert (row.limit, row.unit) == (limit, unit)


@pytest.mark.parametrize(("rating_a", "area_mm2"), [(16, 2.5), (10, 2.5), (32, 6.0), (63, 16.0)])
def test_leads_as_published(rating_a, area_mm2):
    """HD 60364-7-721, Table 721, by a lead maker's page."""
    assert lead_area(rating_a, "uk").limit == area_mm2


def test_what_is_not_held_is_said():
    with pytest.raises(OutOfTableError, match="no topic 'inlet_colour'; held: rcd_trip, "):
        clause("inlet_colour", "uk")
    with pytest.raises(
        OutOfTableError, match="nothing on 'gas_locker_height' for region 'na'; held for: uk, eu"
    ):
        clause("gas_locker_height", "na")
    with pytest.raises(OutOfTableError, match="no lead for 125 A in region 'uk'; ratings held: 16, 25"):
        lead_area(125, "uk")
    assert len(topics()) > 30


@pytest.mark.parametrize("region", REGIONS)
def test_dead_tests_come_before_live_ones(region):
    """BS 7671 643.2 to 643.11 by guides: continuity, insulation, polarity, then with the supply on."""
    steps = [step for step in inspection_order(region) if step.test != "report and schedule"]
    assert [step.live for step in steps] == sorted(step.live for step in steps)
    assert steps[0].test == "inspection"
    assert all(step.method and step.instrument and step.limit for step in steps)
    names = [step.test for step in steps]
    if region in ("uk", "eu"):
        assert names.index("insulation resistance") < names.index("polarity") < names.index("RCD")


def test_tables_fall_with_copper_and_with_current():
    for table in TABLES.values():
        drops = list(table.mv_per_a_m.values())
        assert drops == sorted(drops, reverse=True)
    for times in TIMES.values():
        latest = [time.at_most_s for time in times]
        assert latest == sorted(latest, reverse=True)
