"""Who feeds what in each mode, against what is written down by hand for the vans."""

from __future__ import annotations

from functools import cache

import pytest

from loomwright import assess, read_text
from loomwright.assessment.modes import ModeFigure
from loomwright.assessment.topology import topology_of
from loomwright.plan.pieces import take_apart
from loomwright.rules.check import check_plan
from tests.rules.cases_topologies import charger
from tests.scenarios.lines import EXAMPLES

#: What hangs on the selected bar of Alderford's combined unit, the pump apart, and on its leisure bar.
SELECTED = ("roof_lights", "kitchen_strip", "bed_strip", "usb_kitchen", "usb_bed", "fan")
LEISURE = ("fridge", "co_alarm")
#: Mode: what feeds the selected bar, what the leisure bar, whether the pump runs, what charges each battery.
ALDERFORD: dict[str, tuple[set[str], set[str], bool, set[str], set[str]]] = {
    "parked_leisure": (
        {"leisure", "regulator"},
        {"leisure", "regulator"},
        True,
        {"regulator.second"},
        {"regulator"},
    ),
    "parked_vehicle": (
        {"starter", "regulator.second"},
        {"leisure", "regulator"},
        True,
        {"regulator.second"},
        {"regulator"},
    ),
    "driving": (
        {"leisure", "regulator", "b2b"},
        {"leisure", "regulator", "b2b"},
        False,
        {"alternator", "regulator.second"},
        {"b2b", "regulator"},
    ),
    "driving_vehicle": (
        {"starter", "alternator", "regulator.second"},
        {"leisure", "regulator", "b2b"},
        False,
        {"alternator", "regulator.second"},
        {"b2b", "regulator"},
    ),
    "hook_up": (
        {"leisure", "regulator", "U1/charger"},
        {"leisure", "regulator", "U1/charger"},
        True,
        {"regulator.second"},
        {"regulator", "U1/charger"},
    ),
    "hook_up_vehicle": (
        {"starter", "regulator.second"},
        {"leisure", "regulator", "U1/charger"},
        True,
        {"regulator.second"},
        {"regulator", "U1/charger"},
    ),
    "master_off": (set(), {"leisure", "regulator"}, False, {"regulator.second"}, {"regulator"}),
}


@cache
def modes(van: str) -> dict[str, ModeFigure]:
    text = (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")
    return topology_of(take_apart(read_text(text))).modes.figures


@pytest.mark.parametrize("mode", ALDERFORD)
def test_alderford_is_fed_as_its_mode_table_says(mode):
    selected, leisure, pump, starter_by, leisure_by = ALDERFORD[mode]
    figure = modes("alderford")[mode]
    assert {load: set(figure.feeds[load]) for load in SELECTED} == dict.fromkeys(SELECTED, selected)
    assert {load: set(figure.feeds[load]) for load in LEISURE} == dict.fromkeys(LEISURE, leisure)
    assert bool(figure.feeds["pump"]) == pump
    assert set(figure.charges["starter"]) == starter_by
    assert set(figure.charges["leisure"]) == leisure_by
    assert figure.chatters == ()


@pytest.mark.parametrize(
    ("van", "mode", "joined"),
    [
        ("mossgrove", "parked", False),
        ("mossgrove", "driving", True),
        ("amberquay", "parked", False),
        ("amberquay", "driving", True),
        ("saltpan", "parked", False),
        ("saltpan", "driving", True),
    ],
)
def test_a_split_relay_joins_the_batteries_while_the_engine_runs(van, mode, joined):
    feeds = modes(van)[mode].feeds
    assert any("starter" in sources for sources in feeds.values()) == joined


def test_batteries_in_series_feed_together():
    """The radio hangs on the tap between Saltpan's two batteries, the alarm on both."""
    feeds = modes("saltpan")["parked"].feeds
    assert {"lower", "upper"} <= feeds["co_alarm"]
    assert feeds["radio"] == {"lower"}


@pytest.mark.parametrize(("van", "left"), [("highcol", "regulator"), ("saltpan", "regulator")])
def test_with_the_master_off_the_panel_feeds_alone(van, left):
    """The battery is cut off, the regulator goes on: what it feeds then has no battery behind it."""
    fed = [sources for sources in modes(van)["master_off"].feeds.values() if left in sources]
    assert fed
    assert not any({"leisure", "upper"} & sources for sources in fed)


@pytest.mark.parametrize(
    ("starts", "signal", "gives"),
    [
        ("d_plus", True, "on"),
        ("d_plus", False, "off"),
        ("ignition", False, "off"),
        ("engine", True, "on"),
        ("engine", False, "on"),
    ],
)
def test_a_charger_starts_by_its_signal_or_sees_that_the_engine_runs(starts, signal, gives):
    """One that starts with the engine needs no wire for it: its input rises to charging volts."""
    text = charger(12.0).replace("start_on: d_plus", f"start_on: {starts}")
    lines = (line for line in text.splitlines() if signal or not line.startswith("  W4:"))
    figures = assess(read_text("\n".join(lines))).modes.figures
    assert figures["driving"].positions["b2b"] == gives
    assert figures["parked"].positions["b2b"] == "off"


PLAN = """loomwright: 1
title: A master, a switch, an inverter
region: eu
places: {seat: [-0.4, -0.4, 0.1]}
studs: {E1: {place: seat}}
parts:
  leisure: {kind: battery, place: seat, chemistry: lifepo4, capacity: 100 Ah}
  master: {kind: master_switch, place: seat, rating: 100 A}
  bar: {kind: busbar, place: seat}
  S1: {kind: switch, place: seat, rating: 10 A}
  lamp: {kind: lamp, place: seat, running: 2 A}
  heater: {kind: air_heater, place: seat, running: 1.5 A}
  inverter: {kind: inverter, place: seat, power: 300 W, efficiency: 90 %}
wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  feed: {from: leisure, fuse: 60 A high_breaking, through: master, to: bar, area: 16 mm², length: 0.8 m}
  C1: {from: bar, fuse: 5 A blade, through: S1, to: lamp, area: 2 mm², length: 3 m, return: {to: E1}}
  H1: {from: bar, fuse: 15 A high_breaking, to: heater, area: 4 mm², length: 2 m, return: {to: E1}}
  I1: {from: bar, fuse: 50 A high_breaking, to: inverter, area: 16 mm², length: 1 m, return: {to: E1}}
modes:
  evening: {running: [lamp]}
"""


def test_standard_modes_stand_where_their_parts_are():
    job = check_plan(read_text(PLAN)).assessment
    assert list(job.modes.figures) == [
        "parked", "on_inverter", "master_off", "storage", "heater_purge", "evening"
    ]  # fmt: skip


def test_in_storage_switches_are_off_too():
    figures = check_plan(read_text(PLAN)).assessment.modes.figures
    assert (figures["master_off"].positions["S1"], figures["storage"].positions["S1"]) == ("on", "off")
    assert figures["heater_purge"].feeds["heater"] == frozenset()


def test_on_inverter_the_inverter_takes_its_current():
    """300 W at 90 % from a battery of some 13 V: about 26 A more than parked."""
    job = check_plan(read_text(PLAN)).assessment
    parked, inverting = (job.flows.of(job.modes.figures[mode]) for mode in ("parked", "on_inverter"))
    more = inverting.branch_a["feed.master"] - parked.branch_a["feed.master"]
    assert abs(more) == pytest.approx(300 / 0.9 / inverting.loads["inverter"].volts, rel=0.01)


def test_a_mode_of_the_plan_says_what_is_on():
    job = check_plan(read_text(PLAN)).assessment
    assert set(job.flows.of(job.modes.figures["evening"]).loads) == {"lamp"}


def test_what_charges_the_upper_of_two_in_series_charges_the_lower():
    """Saltpan: the regulator stands on the plus of the upper one, and its current goes through both."""
    figures = modes("saltpan")
    assert figures["parked"].charges["lower"] == figures["parked"].charges["upper"] == {"regulator"}
    assert figures["driving"].charges["lower"] == {"alternator", "regulator"}
    assert modes("planeshed")["driving"].charges["battery_a"] == frozenset()
