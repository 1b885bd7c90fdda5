"""What standard modes set, and the lamp circuits of the vehicle in them."""

from __future__ import annotations

from loomwright import assess, read_text
from loomwright.assessment.record import Assessment
from tests.rules.base import WIRE, plan
from tests.rules.cases_modes import mains_plan

SWITCHED = plan(
    """main_switch: {kind: master_switch, place: seat_base}
    S1: {kind: switch, place: kitchen}
    panel: {kind: control_panel, place: kitchen, outputs: {pump: {switches: plus}}}
    lamp: {kind: lamp, place: kitchen, running: 1 A}
    pump: {kind: water_pump, place: kitchen, running: 4 A}
    heater: {kind: air_heater, place: kitchen, running: 1 A}""",
    f"""C1: {{from: P1.1, fuse: 3 A, through: S1, to: lamp, {WIRE}}}
    C2: {{from: P1.2, fuse: 10 A, to: panel, {WIRE}}}
    C3: {{from: panel.pump, to: pump, {WIRE}}}
    C4: {{from: P1.3, fuse: 10 A, through: main_switch, to: heater, {WIRE}}}""",
)
LAMP_FEEDS = plan(
    """gear: {kind: vehicle_feed, place: kitchen, live: reversing}
    side: {kind: vehicle_feed, place: kitchen, live: lights}
    starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah}
    camera: {kind: camera, place: kitchen, running: 0.2 A}
    marker: {kind: lamp, place: kitchen, running: 0.2 A}""",
    f"""C1: {{from: gear, fuse: 3 A, to: camera, {WIRE}}}
    C2: {{from: side, fuse: 3 A, to: marker, {WIRE}}}""",
)


def assessed(text: str) -> Assessment:
    return assess(read_text(text))


def test_in_storage_every_switch_is_off_and_with_the_master_off_only_the_master():
    figures = assessed(SWITCHED).modes.figures
    assert figures["master_off"].sets == {"main_switch": "off"}
    assert figures["storage"].sets == {"main_switch": "off", "S1": "off", "panel.pump": "off"}
    assert figures["master_off"].feeds["lamp"]
    assert not figures["storage"].feeds["lamp"]


def test_on_the_inverter_its_battery_gives_what_it_takes():
    job = assessed(mains_plan("", "M2: {from: inverter, to: U1, area: 2.5 mm²}"))
    figures = job.modes.figures
    parked, running = (job.flows.of(figures[mode]).gives_a["leisure"] for mode in ("parked", "on_inverter"))
    assert running - parked > 300.0 / 12.8
    assert running - parked < 300.0 / 0.9 / 11.0


def test_lamp_circuits_follow_their_own_condition():
    modes = assessed(LAMP_FEEDS).modes
    driving = modes.figures["driving"]
    assert driving.feeds["marker"] == {"side"}
    assert not driving.feeds["camera"]
    backing = modes.figure("backing", {**driving.sets, "@reversing": "on"})
    assert backing.feeds["camera"] == {"gear"}


def test_a_mode_of_the_plan_sets_them_too():
    text = LAMP_FEEDS + "modes:\n  backing: {engine: running, reversing: yes, lights: no}\n"
    feeds = assessed(text).modes.figures["backing"].feeds
    assert feeds["camera"]
    assert not feeds["marker"]


def test_a_van_without_such_feeds_has_no_such_conditions():
    known = {one.id for one in assessed(SWITCHED).modes.net.devices}
    assert not known & {"@lights", "@reversing", "@brake"}
