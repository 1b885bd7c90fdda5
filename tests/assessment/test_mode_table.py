"""Who feeds what in Alderford, mode by mode, as whoever built it says; and why something is not fed."""

import pytest

from loomwright import read_text
from loomwright.assessment.why_fed import WhyFed, mode_table
from loomwright.rules.check import check_plan
from tests.scenarios.lines import checked

JOB = checked("alderford", "").assessment
MODES, ROWS = mode_table(JOB.wiring, JOB.modes)
ON_S = ("roof_lights", "kitchen_strip", "bed_strip", "fan", "usb_kitchen", "usb_bed")
ON_L = ("fridge", "co_alarm")
SUN, TRICKLE = "regulator", "regulator.second"


def sources(thing: str, mode: str) -> set[str]:
    row = next(row for row in ROWS if row.id == thing)
    return set(row.cells[MODES.index(mode)].sources)


def live(point: str, mode: str) -> set[str]:
    return set(JOB.modes.figures[mode].live.at(point))


BAR_S, BAR_L = "U1/bar_s", "U1/bar_l"

#: By mode: what reaches the selected bar, what the leisure bar, what charges leisure and starter.
TOLD = {
    "parked_leisure": ({"leisure", SUN}, {"leisure", SUN}, {SUN}, {TRICKLE}),
    "parked_vehicle": ({"starter", TRICKLE}, {"leisure", SUN}, {SUN}, {TRICKLE}),
    "driving": ({"leisure", SUN, "b2b"}, {"leisure", SUN, "b2b"}, {SUN, "b2b"}, {TRICKLE, "alternator"}),
    "driving_vehicle": (
        {"starter", "alternator", TRICKLE}, {"leisure", SUN, "b2b"}, {SUN, "b2b"}, {TRICKLE, "alternator"},
    ),
    "hook_up": (
        {"leisure", SUN, "U1/charger"}, {"leisure", SUN, "U1/charger"}, {SUN, "U1/charger"}, {TRICKLE},
    ),
    "hook_up_vehicle": (
        {"starter", TRICKLE}, {"leisure", SUN, "U1/charger"}, {SUN, "U1/charger"}, {TRICKLE},
    ),
    "master_off": (set(), {"leisure", SUN}, {SUN}, {TRICKLE}),
}  # fmt: skip


@pytest.mark.parametrize("mode", TOLD)
def test_which_source_reaches_which_bar(mode: str):
    on_s, on_l, leisure, starter = TOLD[mode]
    for load in ON_S:
        assert sources(load, mode) == on_s, load
    for load in ON_L:
        assert sources(load, mode) == on_l, load
    assert sources("leisure", mode) == leisure
    assert sources("starter", mode) == starter


def test_the_vehicle_battery_feeds_nothing_but_its_own_while_the_selector_is_on_leisure():
    for mode in ("parked_leisure", "driving", "hook_up"):
        assert all("starter" not in sources(row.id, mode) for row in ROWS)


@pytest.mark.parametrize("mode", TOLD)
def test_never_are_the_batteries_joined(mode: str):
    """Live from two sides: no, in any mode; the charger reaches the vehicle battery by the trickle alone."""
    assert "leisure" not in live("starter.plus", mode)
    assert "starter" not in live("leisure.plus", mode)
    assert "U1/charger" not in live("starter.plus", mode)
    assert "b2b" not in live("starter.plus", mode)


def test_the_pump_is_held_off_while_the_engine_runs():
    for mode in ("driving", "driving_vehicle"):
        cell = next(row for row in ROWS if row.id == "pump").cells[MODES.index(mode)]
        assert not cell.sources
        assert cell.why is not None
        (stop,) = cell.why.stops
        assert (stop.device, stop.stands, stop.held) == ("U1/KP", "off", "U1/dp")
    for mode in ("parked_leisure", "parked_vehicle", "hook_up", "hook_up_vehicle"):
        assert sources("pump", mode) == sources("roof_lights", mode)


def test_with_the_master_off_the_selected_bar_is_dead_and_it_is_told_why():
    for load in ON_S:
        cell = next(row for row in ROWS if row.id == load).cells[MODES.index("master_off")]
        assert cell.why is not None
        (stop,) = cell.why.stops
        assert (stop.device, stop.waits) == ("U1/KM", ("S0.master",))
    figure = JOB.modes.figures["master_off"]
    assert figure.live.feeds("S0.plus", "S0.minus") >= {"leisure"}, "the panel stays alive"


def test_with_the_master_off_charging_goes_on():
    figure = JOB.modes.figure("off and driving", {**JOB.modes.figures["master_off"].sets,
                                                  "@engine": "running", "@ignition": "on"})  # fmt: skip
    assert figure.charges["leisure"] == {"b2b", SUN}
    hooked = JOB.modes.figure(
        "off on the pitch", {**JOB.modes.figures["master_off"].sets, "@hook_up": "there"}
    )
    assert hooked.charges["leisure"] == {"U1/charger", SUN}


def test_a_pulled_fuse_and_an_open_switch_stand_in_the_way():
    figure = JOB.modes.figure("dark", {"S3": "off", "fuse U1/ways_s.1": "pulled"})
    why = WhyFed(JOB.wiring, JOB.modes.net, figure).of_load("kitchen_strip")
    assert why is not None
    assert [stop.device for stop in why.stops] == ["fuse U1/ways_s.1", "S3"]


def test_a_return_that_is_open_is_told_too():
    """The lamp's plus is live; the switch in its return stands open."""
    text = """loomwright: 1
title: Switched in the return
region: eu
places: {seat: [-0.4, -0.4, 0.1]}
studs: {E1: {place: seat}}
parts:
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah}
  S1: {kind: switch, place: seat, rating: 10 A}
  lamp: {kind: lamp, place: seat, running: 2 A}
wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  C1: {from: leisure, fuse: 5 A high_breaking, to: lamp, area: 1.5 mm², length: 3 m, return: S1.in}
  C2: {from: S1.out, to: E1, area: 1.5 mm², length: 0.4 m}
"""
    job = check_plan(read_text(text)).assessment
    assert job.modes.figures["parked"].feeds["lamp"] == {"leisure"}
    figure = job.modes.figure("dark", {"S1": "off"})
    assert figure.feeds["lamp"] == frozenset()
    why = WhyFed(job.wiring, job.modes.net, figure).of_load("lamp")
    assert why is not None
    assert (why.source, [stop.device for stop in why.stops]) == ("leisure", ["S1"])
