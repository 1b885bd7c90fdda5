"""The vehicle's lamp circuits and its trailer's socket: what counts as hanging there, and what does not."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from tests.rules.base import plan
from tests.rules.cases_topologies import alternator, d_plus, lamp_feed, trailer

LINK = "{from: starter.plus, fuse: 60 A bolted at both, through: split, to: leisure, area: 16 mm²}"
RELAY = "K1: {kind: relay, place: kitchen, coil: 3 A}"


def found(text: str, rule: str) -> list[Finding]:
    return [one for one in check_plan(read_text(text)).findings if one.rule == rule]


def of_lamps(text: str) -> list[Finding]:
    return found(text, "monitored_lamp_feed_loaded")


def test_whether_it_is_watched_is_asked_for():
    (one,) = of_lamps(lamp_feed(""))
    assert one.severity == "watch"
    assert "parts.reversing.monitored" in one.do


def test_a_lamp_circuit_that_nobody_watches_may_feed():
    assert of_lamps(lamp_feed(", monitored: no")) == []


def test_a_feed_that_is_no_lamp_circuit_may_feed():
    assert of_lamps(lamp_feed("").replace("live: reversing", "live: ignition")) == []


def test_pins_of_a_trailer_hang_on_a_lamp_circuit_too():
    text = plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah}
        lights: {kind: vehicle_feed, place: kitchen, live: lights, monitored: yes}
        tow: {kind: tow_socket, place: kitchen, pins: 13}""",
        "T5: {from: lights, fuse: 5 A, to: tow.5, area: 1.5 mm², length: 1 m}",
    )
    (one,) = of_lamps(text)
    assert one.also == ("tow.5",)


@pytest.mark.parametrize(
    "closes",
    ["", "through: relay, "],
    ids=["joined for good, which is another rule's", "joined by a relay while the engine charges"],
)
def test_a_house_battery_joined_to_the_vehicles_is_not_blamed(closes):
    text = trailer("starter").replace(
        "wiring:\n", f"wiring:\n  link: {{from: starter, fuse: 60 A bolted at both, {closes}to: leisure}}\n"
    )
    text = text.replace("parts:\n", "parts:\n  relay: {kind: sensing_relay, place: seat_base}\n")
    assert found(text, "trailer_fed_from_house") == []


def test_one_finding_names_all_pins():
    text = f"{trailer('leisure')}  T10: {{from: P1.2, fuse: 15 A, to: tow.10, area: 4 mm², length: 3 m}}\n"
    (one,) = found(text, "trailer_fed_from_house")
    assert "pins 9 and 10 of tow" in one.says
    assert set(one.also) == {"T9", "T10", "leisure"}


def test_coils_and_signals_are_what_d_plus_is_for():
    text = d_plus(1.9).replace("to: heater", "to: K1.86").replace("parts:\n", f"parts:\n  {RELAY}\n")
    text = text.replace("heater: {kind", "heater: {wired: no, kind")
    assert found(text, "d_plus_overloaded") == []


def test_loads_on_d_plus_are_summed():
    text = d_plus(1.5).replace("parts:\n", "parts:\n  lamp: {kind: lamp, place: kitchen, running: 1 A}\n")
    (one,) = found(text.replace("to: heater", "to: [heater, lamp]"), "d_plus_overloaded")
    assert one.value == pytest.approx(2.5)
    assert "heater, lamp take 2.5 A" in one.says or "lamp, heater take 2.5 A" in one.says


def test_what_a_house_battery_feeds_as_well_is_not_the_alternators():
    text = alternator(12.0).replace("wiring:\n", f"wiring:\n  link: {LINK}\n")
    text = text.replace(
        "parts:\n", "parts:\n  split: {kind: sensing_relay, place: seat_base, rating: 70 A}\n"
    )
    assert len(found(alternator(12.0), "alternator_overloaded")) == 1
    assert found(text, "alternator_overloaded") == []


def test_what_a_battery_feeds_as_well_is_not_counted_on_d_plus():
    text = d_plus(9.0).replace(
        "wiring:\n", "wiring:\n  C2: {from: P1.1, fuse: 15 A, to: heater, area: 4 mm²}\n"
    )
    assert found(text, "d_plus_overloaded") == []


def test_a_lead_battery_beside_a_lithium_one_holds_the_volts():
    """Two batteries that a relay joins while the engine runs: both would have to part from the alternator."""
    text = joined_by_relay("chemistry: lifepo4")
    assert found(text, "load_dump") == []
    both = text.replace("chemistry: flooded", "chemistry: lifepo4")
    assert [one.also for one in found(both, "load_dump")] == [("leisure", "starter")]


def joined_by_relay(leisure: str) -> str:
    """Return a van with a starter battery, an alternator and a sensing relay to the house battery."""
    text = plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah}
        alternator: {kind: alternator, charges: starter, current: 120 A, output: 14.2 V}
        relay: {kind: sensing_relay, place: seat_base, rating: 100 A}""",
        "L1: {from: starter.plus, fuse: 60 A bolted at both, through: relay, to: leisure.plus, area: 16 mm²}",
    )
    return text.replace("chemistry: agm", leisure)
