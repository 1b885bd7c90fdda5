"""Questions of the workshop on who feeds what, asked as anybody would: a plan in, findings and modes out.

The plans are invented; what is asked is common practice of the trade unless a source stands beside it.
"""

from __future__ import annotations

import loomwright
from loomwright import read_text

HEAD = """loomwright: 1
title: A question
region: eu
places:
  seat: [-0.4, -0.4, 0.1]
  kitchen: [0.8, 0.7, 0.5]
  cab: [-0.9, 0.4, 0.1]
studs:
  E1: {place: seat}
  E2: {place: kitchen}
"""
HOUSE = "  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah}\n"
STARTER = "  starter: {kind: vehicle_battery, place: cab, chemistry: efb, capacity: 80 Ah}\n"
EARTH = "  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}\n"
BACK = "return: {to: E2, length: 0.4 m}"


def asked(parts: str, wiring: str, more: str = "") -> dict:
    """Return the check of a plan, as `loomwright check --json` prints it."""
    text = f"{HEAD}parts:\n{HOUSE}{parts}wiring:\n{EARTH}{wiring}{more}"
    return loomwright.check(read_text(text)).as_dict()


def found(done: dict, rule: str) -> list[dict]:
    return [finding for finding in done["findings"] if finding["rule"] == rule]


# 16. Do I need a fuse at both ends of this cable?

LINK = "area: 16 mm², length: 4 m"


def link(fuse: str, through: str = "") -> dict:
    """Two batteries and a cable between them, perhaps through a link that a person closes."""
    jump = "  jump: {kind: switch, place: seat, rating: 100 A}\n" if through else ""
    line = f"  link: {{from: starter.plus, fuse: {fuse}, {through}to: leisure.plus, {LINK}}}\n"
    return asked(STARTER + jump, line)


def test_a_cable_between_two_batteries_is_fused_at_both_ends():
    """Either end alone leaves the other battery to feed a short; a switch between them changes nothing."""
    for through in ("", "through: jump, "):
        for one_end in ("60 A high_breaking", "60 A high_breaking at to"):
            (missing,) = found(link(one_end, through), "missing_fuse")
            assert missing["severity"] == "danger"
            bare = "leisure" if "at to" not in one_end else "starter"
            assert bare in missing["says"]
        assert found(link("60 A high_breaking at both", through), "missing_fuse") == []


def test_a_cable_to_a_load_needs_one():
    done = asked(
        "  lamp: {kind: lamp, place: kitchen, running: 2 A}\n",
        f"  C1: {{from: leisure, fuse: 5 A high_breaking, to: lamp, area: 1.5 mm², length: 3 m, {BACK}}}\n",
    )
    assert found(done, "missing_fuse") == []
    assert done["modes"]["parked"]["feeds"]["lamp"] == ["leisure"]


# 22. Plus or minus switching for this dimmer?


def dimmer(switches: str, where: str) -> dict:
    feed = "through: D1, " if where == "feed" else ""
    back = "return: {to: E2, length: 0.4 m, through: D1}" if where == "return" else BACK
    return asked(
        f"  lamp: {{kind: lamp, place: kitchen, running: 1 A}}\n"
        f"  D1: {{kind: dimmer, place: kitchen, switches: {switches}}}\n",
        f"  C1: {{from: leisure, fuse: 3 A blade, {feed}to: lamp, area: 1.5 mm², length: 3 m, {back}}}\n",
    )


def test_a_lamp_that_returns_by_the_body_wants_a_dimmer_in_its_plus():
    assert found(dimmer("plus", "feed"), "dimmer_on_wrong_side") == []
    assert [one["severity"] for one in found(dimmer("minus", "feed"), "dimmer_on_wrong_side")] == ["fault"]


# 23. Which terminal gets which wire on this relay?


def relay(feed: str, load: str, plus: str, minus: str, diode: str = "yes") -> dict:
    """A lamp behind a relay; terminals after DIN 72552: 30 feed, 87 load, 85 and 86 coil (from memory)."""
    line = "area: 1.5 mm², length: 1 m"
    return asked(
        f"""  lamp: {{kind: lamp, place: kitchen, running: 2 A}}
  K1: {{kind: relay, place: seat, rating: 30 A, coil: 0.15 A, diode: {diode}}}
  S1: {{kind: switch, place: kitchen, rating: 5 A}}
""",
        f"""  C1: {{from: leisure, fuse: 5 A high_breaking, to: K1.{feed}, {line}}}
  C2: {{from: K1.{load}, to: lamp, {line}, {BACK}}}
  C3: {{from: leisure, fuse: 3 A high_breaking, through: S1, to: K1.{plus}, {line}}}
  C4: {{from: K1.{minus}, to: E1, {line}}}
""",
        "modes:\n  dark: {switches: {S1: off}}\n",
    )


def test_feed_on_30_load_on_87_and_the_diode_the_right_way_round():
    done = relay("30", "87", "86", "85")
    assert done["modes"]["parked"]["feeds"]["lamp"] == ["leisure"]
    assert done["modes"]["dark"]["feeds"]["lamp"] == []
    assert done["modes"]["dark"]["stands"]["K1"] == "off"
    assert found(done, "coil_diode_reversed") == []
    ends = {(wire["from"], wire["to"]) for wire in done["wires"]}
    assert {("leisure", "K1.30"), ("K1.87", "lamp"), ("K1.85", "E1")} <= ends


def test_a_coil_with_a_diode_turned_round_is_a_short_and_one_without_is_none():
    assert [one["severity"] for one in found(relay("30", "87", "85", "86"), "coil_diode_reversed")] == [
        "fault"
    ]
    assert found(relay("30", "87", "85", "86", diode="no"), "coil_diode_reversed") == []


# 25. Can the inlet pins be live?


def inlet(mains: str, more: str = "") -> dict:
    return asked(
        f"""  inlet: {{kind: inlet, place: seat, lid: yes, notice: yes}}
  inverter: {{kind: inverter, place: seat, power: 300 W, efficiency: 90 %}}
  box: {{kind: breaker_box, place: seat, ways: 2, rcd: 30 mA 2-pole}}
  socket: {{kind: mains_socket, place: kitchen}}
{more}""",
        f"""  I1: {{from: leisure, fuse: 50 A bolted, to: inverter, area: 16 mm², length: 1 m, return: wire}}
  M3: {{from: box.1, breaker: 10 A B 2-pole, to: socket, area: 2.5 mm², length: 4 m}}
{mains}""",
    )


AREA = "area: 2.5 mm², length: 1 m"


def test_pins_are_live_without_a_change_over_and_dead_with_one():
    both = inlet(f"  M1: {{from: inlet, to: box, {AREA}}}\n  M2: {{from: inverter, to: box, {AREA}}}\n")
    (live,) = found(both, "inlet_live_from_inverter")
    assert live["severity"] == "danger"
    assert live["do"].lower().startswith("have a licensed person")
    assert live["cure"] is not None
    change = "  change: {kind: change_over, place: seat, poles: 2}\n"
    either = inlet(
        f"  M1: {{from: inlet, to: change.in_1, {AREA}}}\n  M2: {{from: inverter, to: change.in_2, {AREA}}}\n"
        f"  M4: {{from: change, to: box, {AREA}}}\n",
        change,
    )
    assert found(either, "inlet_live_from_inverter") == []


# 27. Does anything stay live with the master off, and should it?


def master(alarm_from: str) -> dict:
    return asked(
        """  master: {kind: master_switch, place: seat, rating: 100 A}
  bar: {kind: busbar, place: seat}
  lamp: {kind: lamp, place: kitchen, running: 2 A}
  gas: {kind: alarm, place: kitchen, running: 60 mA}
""",
        f"""  feed: {{from: leisure, fuse: 40 A bolted, through: master, to: bar, area: 10 mm², length: 1 m}}
  C1: {{from: bar, fuse: 5 A high_breaking, to: lamp, area: 1.5 mm², length: 3 m, {BACK}}}
  C2: {{from: {alarm_from}, fuse: 1 A high_breaking, to: gas, area: 0.75 mm², length: 3 m, {BACK}}}
""",
    )


def test_with_the_master_off_the_alarm_stays_and_all_else_is_dead():
    done = master("leisure")
    off = done["modes"]["master_off"]
    assert off["feeds"] == {"lamp": [], "gas": ["leisure"]}
    assert found(done, "permanent_supply_cut") == []
    assert found(done, "master_bypassed") == []


def test_an_alarm_behind_the_master_is_missed():
    done = master("bar")
    assert done["modes"]["master_off"]["feeds"]["gas"] == []
    (missed,) = found(done, "permanent_supply_cut")
    assert missed["severity"] == "fault"
    assert "master" in missed["says"]


# 28. May the heater be switched off here?


def heater(feed: str) -> dict:
    return asked(
        """  master: {kind: master_switch, place: seat, rating: 100 A}
  bar: {kind: busbar, place: seat}
  heater: {kind: air_heater, place: seat, running: 1.5 A, start: 9 A for 2 min}
  lamp: {kind: lamp, place: kitchen, running: 2 A}
""",
        f"""  feed: {{from: leisure, fuse: 40 A bolted, through: master, to: bar, area: 10 mm², length: 1 m}}
  C1: {{from: bar, fuse: 5 A high_breaking, to: lamp, area: 1.5 mm², length: 3 m, {BACK}}}
  H1: {{from: {feed}, fuse: 15 A high_breaking, to: heater, area: 4 mm², length: 2 m, return: {{to: E1}}}}
""",
    )


def test_a_heater_that_runs_on_is_fed_while_it_does():
    done = heater("leisure")
    assert done["modes"]["heater_purge"]["feeds"]["heater"] == ["leisure"]
    assert found(done, "permanent_supply_cut") == []


def test_a_heater_behind_the_master_may_not_be_switched_off_there():
    done = heater("bar")
    assert done["modes"]["heater_purge"]["feeds"]["heater"] == []
    (cut,) = found(done, "permanent_supply_cut")
    assert cut["where"] == "H1"
    assert cut["cure"] is not None
