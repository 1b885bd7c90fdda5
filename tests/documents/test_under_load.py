"""Batteries under load in a report: the table for people, and JSON."""

from __future__ import annotations

from loomwright import check, read_text
from loomwright.documents.under_load import under_load_table
from tests.scenarios.lines import EXAMPLES, checked


def test_planeshed_by_charge_and_temperature():
    """By its page: 11.60, 11.15 and 10.87 V warm, 11.35, 10.89 and 10.59 V cold."""
    lines = under_load_table(checked("planeshed").assessment).splitlines()
    assert lines[0].split("  ")[0] == "load"
    warm, cold = lines[2:]
    assert warm.split() == [
        *("inverter", "25", "°C", "11.60", "V,", "2,000", "W", "11.15", "V,", "2,000", "W"),
        *("10.87", "V,", "1,818", "W", "10.12", "V,", "1,001", "W"),
    ]
    assert cold.split()[:7] == ["inverter", "-5", "°C", "11.35", "V,", "2,000", "W"]


def test_a_van_without_large_loads_has_no_such_table():
    assert under_load_table(checked("mossgrove").assessment) == ""
    assert "Large loads" not in check(read_text((EXAMPLES / "mossgrove.yaml").read_text("utf-8"))).as_text()
    assert "Large loads" in check(read_text((EXAMPLES / "planeshed.yaml").read_text("utf-8"))).as_text()


def test_a_bank_tells_what_each_battery_gives():
    done = check(read_text((EXAMPLES / "planeshed.yaml").read_text("utf-8"))).as_dict()
    (bank,) = done["batteries"]["banks"]
    whole = sum(bank["gives_a"].values())
    assert round(100.0 * bank["gives_a"]["battery_a"] / whole, 1) == 54.8
    assert bank["limits_a"] == {"battery_a": None, "battery_b": None}
    assert bank["opens"] == []
