"""What turns by itself and keeps its position: sensing relays, latching ones; and switches as devices."""

from __future__ import annotations

import pytest

from loomwright import assess, read_text
from loomwright.assessment.fall_back import fall_backs
from loomwright.assessment.record import Assessment
from loomwright.tables.batteries import charge_at
from tests.rules.base import WIRE, plan

LINE = "area: 4 mm², length: 1 m, resistance: 0 mΩ"


def assessed(text: str) -> Assessment:
    return assess(read_text(text))


def split(chemistry: str, limits: str) -> Assessment:
    """Return a van whose batteries a relay joins that senses the alternator's volts."""
    return assessed(_split(limits).replace("chemistry: agm", f"chemistry: {chemistry}"))


def _split(limits: str) -> str:
    return plan(
        f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah}}
        alternator: {{kind: alternator, charges: starter, current: 120 A, output: 14.2 V}}
        relay: {{kind: sensing_relay, place: seat_base, rating: 100 A{limits}}}""",
        f"L1: {{from: starter.plus, fuse: 60 A bolted at both, through: relay, to: leisure.plus, {LINE}}}",
    )


@pytest.mark.parametrize(
    ("chemistry", "limits", "stands"),
    [
        ("agm", ", cut_in: 13.3 V, cut_out: 12.8 V", "open"),
        ("lifepo4", ", cut_in: 13.3 V, cut_out: 12.8 V", "closed"),
        ("lifepo4", ", cut_in: 13.3 V, cut_out: 13.5 V", "open"),
        ("lifepo4", "", "open"),
    ],
)
def test_a_sensing_relay_that_a_battery_holds_stays_closed_after_driving(chemistry, limits, stands):
    """LiFePO4 rests at 13.2 V or more, a full lead battery below 12.8 V: above or below where it lets go."""
    modes = split(chemistry, limits).modes
    assert modes.figures["driving"].positions["relay"] == "closed"
    assert modes.figures["parked"].positions["relay"] == "open"
    assert modes.after(modes.figures["driving"], {}).positions["relay"] == stands


def test_how_long_a_lithium_battery_holds_a_sensing_relay():
    """From full to where 100 Ah of LiFePO4 rest at 12.8 V and a little, 85 Ah or more; a lamp takes 5 A."""
    text = _split(", cut_in: 13.3 V, cut_out: 12.8 V")
    lamp = "lamp: {kind: lamp, place: kitchen, running: 5 A}\nwiring:\n"
    feed = f"  C1: {{from: P1.1, fuse: 7.5 A, to: lamp, {WIRE}}}\n"
    text = text.replace("wiring:\n", f"  {lamp}") + feed
    job = assessed(text.replace("chemistry: agm", "chemistry: lifepo4"))
    (one,) = fall_backs(job)
    gone = 1.0 - charge_at("lifepo4", 12.8) / 100.0
    assert (one.relay, one.battery, one.mode) == ("relay", "leisure", "after driving")
    assert one.amps == pytest.approx(5.0, rel=0.02)
    assert gone * 100.0 / 5.0 == pytest.approx(one.hours, rel=0.1)
    assert list(fall_backs(assessed(text))) == []


@pytest.mark.parametrize(("latching", "stands"), [("yes", "on"), ("no", "off")])
def test_a_latching_relay_stays_as_it_was_left(latching, stands):
    modes = assessed(
        plan(
            f"""ignition: {{kind: vehicle_feed, place: seat_base, live: ignition}}
            K1: {{kind: relay, place: kitchen, rating: 20 A, coil: 0.1 A, latching: {latching}}}
            lamp: {{kind: lamp, place: kitchen, running: 1 A}}""",
            f"""C1: {{from: P1.1, fuse: 3 A, through: K1, to: lamp, {WIRE}}}
            C2: {{from: ignition, fuse: 3 A, to: K1.86, {LINE}, return: {{to: E1}}}}""",
        )
    ).modes
    on = modes.figure("ignition", {"@ignition": "on"})
    assert on.positions["K1"] == "on"
    assert modes.after(on, {"@ignition": "off"}).positions["K1"] == stands
    assert modes.figures["parked"].positions["K1"] == "off"


def test_a_coil_of_a_latching_relay_fed_the_other_way_round_lets_go():
    modes = assessed(
        plan(
            """S1: {kind: switch, place: kitchen}
            K1: {kind: relay, place: kitchen, rating: 20 A, coil: 0.1 A, latching: yes}
            lamp: {kind: lamp, place: kitchen, running: 1 A}""",
            f"""C1: {{from: P1.1, fuse: 3 A, through: K1, to: lamp, {WIRE}}}
            C2: {{from: P1.2, fuse: 3 A, through: S1, to: K1.85, {LINE}}}
            C3: {{from: K1.86, to: E2, {LINE}}}""",
        )
    ).modes
    held = modes.figure("held", {"S1": "off", "K1": "on"})
    assert held.feeds["lamp"]
    assert not modes.after(held, {"S1": "on"}).feeds["lamp"]


def test_contacts_of_doors_and_of_pressure_are_switches_that_a_mode_sets():
    modes = assessed(
        plan(
            """door: {kind: switch, name: Door contact, place: kitchen}
            pressure: {kind: switch, name: Pressure switch, place: kitchen}
            step: {kind: lamp, place: kitchen, running: 1 A}
            pump: {kind: water_pump, place: kitchen, running: 4 A}""",
            f"""C1: {{from: P1.1, fuse: 3 A, through: door, to: step, {WIRE}}}
            C2: {{from: P1.2, fuse: 10 A, through: pressure, to: pump, {WIRE}}}""",
        )
    ).modes
    shut = modes.figure("shut", {"door": "off", "pressure": "on"})
    assert (bool(shut.feeds["step"]), bool(shut.feeds["pump"])) == (False, True)


def test_a_change_over_that_a_panel_moves_is_judged_though_no_mode_names_it():
    job = assessed(
        plan(
            """starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 95 Ah}
            K1: {kind: relay, contact: change_over, place: kitchen, rating: 20 A}
            panel: {kind: control_panel, place: kitchen, outputs: {selector: {switches: plus}}}
            lamp: {kind: lamp, place: kitchen, running: 1 A}""",
            f"""C1: {{from: P1.1, fuse: 3 A, to: K1.87a, {LINE}}}
            C2: {{from: starter.plus, fuse: 3 A, to: K1.87, {LINE}}}
            C3: {{from: K1.30, to: lamp, {WIRE}}}
            C4: {{from: P1.2, fuse: 3 A, to: panel, {LINE}}}
            C5: {{from: panel.selector, to: K1.86, {LINE}, return: {{to: E2}}}}""",
        )
    )
    assert {mode: [one.feeder for one in by.values()] for mode, by in job.moved.circuits.items()} == {
        "panel.selector on": ["starter"]
    }
