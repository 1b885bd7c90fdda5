"""Loops of small circuits, each summed up by hand from the plan format: what counts, where, how often.

Copper by IEC 60228, class 5, at 20 °C (mΩ/m): 1 mm² 19.5, 1.5 mm² 13.3, 2.5 mm² 7.98, 10 mm² 1.91. Joints
and fuses as each plan states them: crimp 0.5, lug 0.2, stud 0.3, body 1.2, switch 4, pin 1; blade 5 A 17,
10 A 7.5; bolted 40 A 1.7 mΩ.
"""

from __future__ import annotations

import pytest

from loomwright import assess, read_text
from loomwright.assessment.record import CircuitFigure

BASE = """loomwright: 1
title: By hand
region: eu
basis:
  copper: 20 °C
  contacts: {crimp: 0.5 mΩ, lug: 0.2 mΩ, stud: 0.3 mΩ, body: 1.2 mΩ, switch: 4 mΩ, pin: 1 mΩ}
  fuses: {blade: {5 A: 17 mΩ, 10 A: 7.5 mΩ}, bolted: {40 A: 1.7 mΩ}}
places: {seat_base: [0, 0, 0], kitchen: [1, 0, 0]}
studs: {E1: {place: seat_base}, E2: {place: kitchen}, E3: {place: kitchen}}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 90 Ah, resistance: 4 mΩ}
  lamp: {kind: lamp, place: kitchen, running: 2 A}
  PARTS
wiring:
  WIRING
"""
#: Of most wires here.
SIZE = "area: 1.5 mm², length: 3 m"


def circuits(wiring: str, parts: str = "", instead: tuple[str, str] = ("", "")) -> dict[str, CircuitFigure]:
    """Return the circuits of the base with these runs and parts; `instead` replaces words of the base."""
    text = BASE.replace(*instead)
    for place, entries in (("  PARTS\n", parts), ("  WIRING\n", wiring)):
        text = text.replace(place, "".join(f"  {line}\n" for line in entries.splitlines()))
    return dict(assess(read_text(text.replace("SIZE", SIZE))).circuits)


def loop_mohm(circuit: CircuitFigure) -> float:
    assert circuit.loop_resistance_ohm is not None
    return 1e3 * circuit.loop_resistance_ohm


def test_wire_return_to_the_battery():
    """Feed and return of one size and length, a crimp at each of four ends, one fuse."""
    (lamp,) = circuits("C: {from: leisure, fuse: 5 A, to: lamp, SIZE, return: wire}").values()
    assert loop_mohm(lamp) == pytest.approx(2 * (3 * 13.3 + 2 * 0.5) + 17)


def test_body_return_over_two_studs():
    """The steel lies between two studs once; a return to a stud is 0.3 m if not said otherwise."""
    wiring = """earth: {from: leisure.minus, to: E1, area: 10 mm², length: 0.5 m}
C: {from: leisure, fuse: 5 A, to: lamp, SIZE, return: {to: E2}}"""
    feed = 3 * 13.3 + 2 * 0.5 + 17
    back = 0.3 * 13.3 + 2 * 0.5 + 0.3
    earth = 0.3 + 0.5 * 1.91 + 2 * 0.2
    assert loop_mohm(circuits(wiring)["C"]) == pytest.approx(feed + back + 1.2 + earth)


def test_measured_steel_between_two_studs():
    wiring = """earth: {from: leisure.minus, to: E1, area: 10 mm², length: 0.5 m}
C: {from: leisure, fuse: 5 A, to: lamp, SIZE, return: {to: E2}}"""
    usual = loop_mohm(circuits(wiring)["C"])
    steel = ("E1: {place: seat_base}", "E1: {place: seat_base, body_to: {E2: 0.4 mΩ}}")
    measured = loop_mohm(circuits(wiring, instead=steel)["C"])
    assert measured == pytest.approx(usual - 1.2 + 0.4)


def test_what_stands_in_the_way_adds_its_contact_and_its_joints():
    """A switch and a pin: three pieces of feed, six crimps; the length is shared, not multiplied."""
    (lamp,) = circuits(
        "C: {from: leisure, fuse: 5 A, through: [S, X.1], to: lamp, SIZE, return: wire}",
        "S: {kind: switch, place: kitchen}\nX: {kind: plug, place: kitchen, pins: 2}",
    ).values()
    assert loop_mohm(lamp) == pytest.approx(3 * 13.3 + 6 * 0.5 + 17 + 4 + 1 + 3 * 13.3 + 2 * 0.5)


def test_two_way_switches_use_one_of_two_travellers():
    (lamp,) = circuits(
        "C: {from: leisure, fuse: 5 A, through: [S, T], to: lamp, SIZE, return: wire}",
        "S: {kind: two_way, place: kitchen}\nT: {kind: two_way, place: kitchen}",
    ).values()
    assert loop_mohm(lamp) == pytest.approx(3 * 13.3 + 6 * 0.5 + 17 + 2 * 4 + 3 * 13.3 + 2 * 0.5)


def test_joints_counted_by_hand_replace_those_of_feed_and_return():
    (lamp,) = circuits(
        "C: {from: leisure, fuse: 5 A, to: lamp, SIZE, joints: 3 at 0.7 mΩ, return: wire}"
    ).values()
    assert loop_mohm(lamp) == pytest.approx(2 * 3 * 13.3 + 3 * 0.7 + 17)


def test_a_fuse_at_both_ends_counts_twice_and_a_measured_one_as_measured():
    (lamp,) = circuits("C: {from: leisure, fuse: [5 A at both], to: lamp, SIZE, return: wire}").values()
    assert loop_mohm(lamp) == pytest.approx(2 * (3 * 13.3 + 2 * 0.5) + 2 * 17)
    (lamp,) = circuits(
        "C: {from: leisure, fuse: {rating: 5 A, resistance: 21 mΩ}, to: lamp, SIZE, return: wire}"
    ).values()
    assert loop_mohm(lamp) == pytest.approx(2 * (3 * 13.3 + 2 * 0.5) + 21)


def test_a_fuse_box_adds_the_fuse_of_the_way_and_its_feed():
    wiring = """main: {from: leisure, fuse: 40 A bolted, to: P1, area: 10 mm², length: 1 m}
C: {from: P1.2, fuse: 10 A, to: lamp, area: 2.5 mm², length: 3 m, return: {to: leisure.minus}}"""
    lamp = circuits(wiring, "P1: {kind: fuse_box, place: kitchen, ways: 2}")["C"]
    main = 1 * 1.91 + 2 * 0.2 + 1.7
    assert loop_mohm(lamp) == pytest.approx(main + 7.5 + 2 * (3 * 7.98 + 2 * 0.5))


def test_legs_join_at_the_end_of_the_run_and_have_joints_if_they_have_length():
    """The lamp's leg of 2 m goes there and back; the other's of 0 m adds nothing at all."""
    wiring = """C: {from: leisure, fuse: 10 A, to: {lamp: {length: 2 m}, fan: {}}, area: 2.5 mm², length: 3 m,
    return: wire}"""
    found = circuits(wiring.replace(",\n   ", ","), "fan: {kind: fan, place: kitchen, running: 1 A}")
    run = 7.5 + 2 * (3 * 7.98 + 2 * 0.5)
    leg = 2 * (2 * 7.98 + 2 * 0.5)
    assert loop_mohm(found["C.lamp"]) == pytest.approx(run + leg)
    assert loop_mohm(found["C.fan"]) == pytest.approx(run)
    assert found["C.lamp"].drop_run_v == pytest.approx(1e-3 * (2 * (run + leg) + 1 * run))


def test_loads_in_a_chain_feed_each_other():
    """The second load hangs on the first one's terminal; the returns still meet at one joint."""
    wiring = "C: {from: leisure, fuse: 10 A, to: {lamp: {length: 2 m}, fan: {length: 1 m}}, joined: chain,"
    wiring += " area: 2.5 mm², length: 3 m, return: wire}"
    found = circuits(wiring, "fan: {kind: fan, place: kitchen, running: 1 A}")
    run, first, second = (length * 7.98 + 2 * 0.5 for length in (3, 2, 1))
    assert loop_mohm(found["C.lamp"]) == pytest.approx(7.5 + 2 * run + 2 * first)
    assert loop_mohm(found["C.fan"]) == pytest.approx(7.5 + 2 * run + first + 2 * second)


def test_a_bar_lies_between_any_two_of_its_cables():
    wiring = """main: {from: leisure, fuse: 40 A bolted, to: bar, area: 10 mm², length: 1 m}
C: {from: bar, fuse: 5 A, to: lamp, SIZE, return: {to: leisure.minus}}"""
    lamp = circuits(wiring, "bar: {kind: busbar, place: kitchen, resistance: 0.6 mΩ}")["C"]
    main = 1 * 1.91 + 2 * 0.2 + 1.7
    assert loop_mohm(lamp) == pytest.approx(main + 0.6 + 17 + 2 * (3 * 13.3 + 2 * 0.5))


def test_two_ways_home_share_the_current_by_their_resistance():
    """A minus bar on the battery and on the body: the return on a stud divides between the two."""
    wiring = """earth: {from: leisure.minus, to: E1, area: 10 mm², length: 0.5 m}
strap: {from: leisure.minus, to: E3, area: 10 mm², length: 2 m}
C: {from: leisure, fuse: 5 A, to: lamp, SIZE, return: {to: E2}}"""
    feed = 3 * 13.3 + 2 * 0.5 + 17
    back = 0.3 * 13.3 + 2 * 0.5 + 0.3 + 0.6  # to the shell: half of the steel
    short, long = (0.6 + 0.3 + length * 1.91 + 2 * 0.2 for length in (0.5, 2.0))
    assert loop_mohm(circuits(wiring)["C"]) == pytest.approx(feed + back + short * long / (short + long))


def test_a_load_in_watts_takes_more_as_its_volts_fall():
    """24 W through R: v = 6 + sqrt(36 - 24 R) V."""
    wiring = "C: {from: leisure, fuse: 5 A, to: bulb, area: 1 mm², length: 5 m, return: wire}"
    bulb = circuits(wiring, "bulb: {kind: lamp, place: kitchen, running: 24 W}")["C"]
    ohm = 1e-3 * (2 * (5 * 19.5 + 2 * 0.5) + 17)
    volts = 6 + (36 - 24 * ohm) ** 0.5
    assert bulb.load_v == pytest.approx(volts)
    assert bulb.running_a == pytest.approx(24 / volts)


def test_a_dip_has_the_inside_of_the_battery_in_it():
    """20 A start through the main feed (4.01 mΩ) and the battery (4 mΩ); the lamp has the rest for itself."""
    wiring = """main: {from: leisure, fuse: 40 A bolted, to: P1, area: 10 mm², length: 1 m}
C: {from: P1.1, fuse: 5 A, to: lamp, SIZE, return: {to: leisure.minus}}
D: {from: P1.2, fuse: 10 A, to: pump, area: 2.5 mm², length: 3 m, return: {to: leisure.minus}}"""
    parts = """P1: {kind: fuse_box, place: kitchen, ways: 2}
pump: {kind: water_pump, place: kitchen, running: 5 A, start: 20 A for 80 ms}"""
    (dip,) = circuits(wiring, parts)["C"].dips
    assert dip.by_start_of == "pump"
    assert dip.dip_v == pytest.approx(20e-3 * (1 * 1.91 + 2 * 0.2 + 1.7 + 4.0))


def test_a_split_relay_passes_what_the_battery_accepts():
    """25 A through relay, wire and body from the cruising alternator's battery; the strap is the maker's."""
    wiring = """strap: {from: starter.minus, to: body, factory: yes, resistance: 0.5 mΩ}
link: {from: starter.plus, fuse: 40 A bolted, through: K, to: leisure.plus, area: 10 mm², length: 4 m}
earth: {from: leisure.minus, to: E1, area: 10 mm², length: 0.5 m}"""
    parts = """starter: {kind: vehicle_battery, place: kitchen, chemistry: flooded, capacity: 70 Ah}
K: {kind: sensing_relay, place: kitchen, resistance: 0.5 mΩ}"""
    accepts = ("resistance: 4 mΩ}", "resistance: 4 mΩ, charge_limit: 25 A}")
    link = circuits(wiring, parts, accepts)["link"]
    assert link.running_a == pytest.approx(25.0)
    feed = 4 * 1.91 + 4 * 0.2 + 1.7 + 0.5
    assert loop_mohm(link) == pytest.approx(feed + 0.5 * 1.91 + 2 * 0.2 + 0.3 + 1.2 + 0.5)
