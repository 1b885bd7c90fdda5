"""What may never be cut and what cuts it, chargers that keep a battery, dimmers on either side."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from tests.rules.base import WIRE, plan
from tests.rules.cases_static2 import LAMP, dimmed, solar, supplied

ALARM = "alarm: {kind: alarm, place: kitchen, running: 10 mA, voltage: 9..32 V}"
RUN = "area: 6 mm², length: 1 m, resistance: 0 mΩ"


def found(text: str, rule: str) -> list[Finding]:
    return [finding for finding in check_plan(read_text(text)).findings if finding.rule == rule]


def cut_by(text: str) -> list[tuple[str, ...]]:
    """Return what cuts each supply that may not be cut: the loads first, as the finding names them."""
    return [finding.also for finding in found(text, "permanent_supply_cut")]


def through_part(part: str, passage: str) -> str:
    return plan(f"{ALARM}\n{part}", f"C1: {{from: P1.1, fuse: 3 A, through: {passage}, to: alarm, {WIRE}}}")


# Supplies that nothing may cut


@pytest.mark.parametrize(
    ("part", "passage"),
    [
        ("D: {kind: switch, place: kitchen}", "D"),
        ("D: {kind: master_switch, place: kitchen}", "D"),
        ("D: {kind: low_voltage_cut, place: kitchen, cut_out: 11 V}", "D"),
        ("D: {kind: dimmer, place: kitchen}", "D"),
        ("D: {kind: selector, place: kitchen, positions: {off: none, on: com-a}, rests: on}", "D.a-com"),
    ],
)
def test_what_opens_cuts(part, passage):
    assert cut_by(through_part(part, passage)) == [("alarm", "D")]


def test_a_relay_cuts():
    text = (
        through_part("K1: {kind: relay, place: kitchen}", "K1").replace("WIRING", "")
        + "  K: {from: P1.2, fuse: 3 A, to: K1.86, area: 1 mm², length: 1 m, return: {to: E2}}\n"
    )
    assert cut_by(text) == [("alarm", "K1")]


@pytest.mark.parametrize(
    ("part", "passage"),
    [
        ("D: {kind: plug, place: kitchen, pins: 2}", "D.1"),
        ("D: {kind: shunt, place: kitchen}", "D"),
        ("D: {kind: busbar, place: kitchen}", "D"),
    ],
)
def test_what_has_no_hand_on_it_does_not_cut(part, passage):
    assert cut_by(through_part(part, passage)) == []


@pytest.mark.parametrize("kind", ["alarm", "tracker", "air_heater", "combi_heater"])
def test_the_kind_says_that_it_must_stay_on(kind):
    assert len(cut_by(supplied("through: S1, ").replace("kind: alarm", f"kind: {kind}"))) == 1


def test_the_plan_may_say_otherwise():
    text = supplied("through: S1, ")
    assert cut_by(text.replace("kind: alarm,", "kind: alarm, keep_on: no,")) == []
    fridge = text.replace("kind: alarm,", "kind: fridge,")
    assert cut_by(fridge) == []
    assert len(cut_by(fridge.replace("kind: fridge,", "kind: fridge, keep_on: yes,"))) == 1


def test_a_guard_of_the_battery_may_drop_a_fridge_but_no_alarm():
    text = through_part("D: {kind: low_voltage_cut, place: kitchen, cut_out: 11 V}", "D")
    assert cut_by(text.replace("kind: alarm,", "kind: fridge, keep_on: yes,")) == []


def test_a_master_in_the_return_cuts():
    text = plan(
        f"{ALARM}\nmaster: {{kind: master_switch, place: seat_base}}",
        f"C1: {{from: P1.1, fuse: 3 A, to: alarm, {WIRE}}}",
    ).replace("earth: {from: leisure.minus,", "earth: {from: leisure.minus, through: master,")
    (finding,) = found(text, "permanent_supply_cut")
    assert finding.also == ("alarm", "master")
    assert "return" in finding.do
    assert "feed" not in finding.do


def test_a_second_way_past_the_switch_is_enough():
    past = "C2: {from: P1.2, fuse: 3 A, to: alarm, area: 1 mm², length: 3 m}"
    text = plan(
        f"{ALARM}\nS1: {{kind: switch, place: kitchen}}",
        f"C1: {{from: P1.1, fuse: 3 A, through: S1, to: alarm, {WIRE}}}\n{past}",
    )
    assert cut_by(text) == []


@pytest.mark.parametrize(("position", "cuts"), [("com-a", []), ("none", [("alarm", "S1")])])
def test_a_selector_that_feeds_in_every_position_does_not_cut(position, cuts):
    text = plan(
        f"""{ALARM}
        S1: {{kind: selector, place: kitchen, positions: {{one: com-a, two: com-b, three: {position}}}}}""",
        f"""A: {{from: P1.1, fuse: 3 A, to: S1.a, {RUN}}}
        B: {{from: P1.2, fuse: 3 A, to: S1.b, {RUN}}}
        C1: {{from: S1.com, to: alarm, {WIRE}}}""",
    )
    assert cut_by(text) == cuts


def test_a_converter_hands_the_supply_on():
    converter = "converter: {kind: converter, place: kitchen, output: 12 V, current: 5 A}"
    text = plan(
        f"{ALARM}\n{converter}",
        f"""W1: {{from: P1.1, fuse: 10 A, to: converter, {RUN}, return: {{to: E2}}}}
        C1: {{from: converter, fuse: 3 A, to: alarm, {RUN}, return: wire}}""",
    )
    assert cut_by(text) == []
    switched = text.replace("fuse: 10 A, to: conv", "fuse: 10 A, through: S1, to: conv")
    switched = switched.replace("parts:\n", "parts:\n  S1: {kind: switch, place: kitchen}\n")
    assert cut_by(switched) == [("alarm", "S1")]


@pytest.mark.parametrize(("through", "cuts"), [("", []), ("through: master, ", [("alarm", "master")])])
def test_two_in_series_are_one_battery(through, cuts):
    text = plan(
        f"""{ALARM}
        upper: {{kind: battery, place: seat_base, chemistry: agm, capacity: 100 Ah}}
        master: {{kind: master_switch, place: seat_base}}
        bar: {{kind: busbar, place: seat_base}}""",
        f"""link: {{from: leisure.plus, to: upper.minus, {RUN}}}
        feed: {{from: upper.plus, fuse: 30 A bolted, {through}to: bar, {RUN}}}
        C1: {{from: bar, fuse: 3 A, to: alarm, {WIRE}}}""",
    )
    assert cut_by(text) == cuts


def test_a_charger_alone_is_no_supply():
    """Behind the master a charger feeds only while the engine runs or the sun shines."""
    text = solar("bar").replace(LAMP, ALARM).replace("to: lamp", "to: alarm")
    assert cut_by(text) == [("alarm", "master")]


def test_a_master_in_the_return_cuts_beside_a_vehicle_battery():
    """The body still meets a minus, but not that of the battery which feeds."""
    text = plan(
        f"""{ALARM}
        starter: {{kind: vehicle_battery, place: seat_base}}
        master: {{kind: master_switch, place: seat_base}}""",
        f"C1: {{from: P1.1, fuse: 3 A, to: alarm, {WIRE}}}",
    ).replace("earth: {from: leisure.minus,", "earth: {from: leisure.minus, through: master,")
    (finding,) = found(text, "permanent_supply_cut")
    assert finding.also == ("alarm", "master")
    assert finding.do == "bring its return to the battery side of master"


def test_two_switches_side_by_side_cut_together():
    text = plan(
        f"""{ALARM}
        S1: {{kind: switch, place: kitchen}}
        S2: {{kind: switch, place: kitchen}}""",
        f"""C1: {{from: P1.1, fuse: 3 A, through: S1, to: alarm, {WIRE}}}
        C2: {{from: P1.2, fuse: 3 A, through: S2, to: alarm, area: 1 mm², length: 3 m}}""",
    )
    ((load, *devices),) = cut_by(text)
    assert load == "alarm"
    assert sorted(devices) == ["S1", "S2"]


@pytest.mark.parametrize(("live", "cuts"), [("always", []), ("ignition", [("alarm", "live_feed")])])
def test_a_feed_of_the_vehicle_is_one_if_it_is_always_live(live, cuts):
    text = plan(
        f"""{ALARM}
        starter: {{kind: vehicle_battery, place: seat_base}}
        live_feed: {{kind: vehicle_feed, live: {live}}}""",
        f"C1: {{from: live_feed, fuse: 3 A, to: alarm, {WIRE}}}",
    )
    assert cut_by(text) == cuts


# Chargers left without a battery


def left_alone(text: str) -> list[tuple[str, tuple[str, ...]]]:
    return [(finding.where, finding.also) for finding in found(text, "source_without_battery")]


def test_the_master_is_named_with_what_it_leaves():
    assert left_alone(solar("bar")) == [("master", ("regulator",))]


def test_a_regulator_whose_panel_goes_with_it_is_not_left():
    text = solar("bar").replace("resistance: 0 mΩ, return: wire}", "resistance: 0 mΩ}")
    text = text.replace("master: {kind: master_switch,", "master: {kind: master_switch, poles: 2,")
    parted = text.replace(
        "W1: {from: panel, to", "W1: {from: panel, through: [master.in_2-out_2], return: wire, to"
    )
    assert left_alone(parted) == []


def test_another_battery_behind_the_switch_is_enough():
    text = solar("bar").replace(
        "parts:\n", "parts:\n  second: {kind: battery, place: kitchen, chemistry: agm, capacity: 100 Ah}\n"
    )
    text += f"  S: {{from: second.plus, fuse: 30 A bolted, to: bar, {RUN}}}\n"
    text += f"  S_minus: {{from: second.minus, to: E2, {RUN}}}\n"
    assert left_alone(text) == []


# Dimmers


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (dimmed("minus", feed="through: D1, "), "switches the minus and stands in the feed"),
        (dimmed("plus", back="through: D1, "), "switches the plus and stands in the return"),
        (dimmed("minus", back="through: D1, ", more=", case: minus"), "goes past it"),
    ],
)
def test_a_dimmer_that_cannot_dim_says_why(text, said):
    (finding,) = found(text, "dimmer_on_wrong_side")
    assert finding.where == "D1"
    assert "lamp" in finding.also
    assert said in finding.says


@pytest.mark.parametrize(
    "text",
    [
        dimmed("minus", back="through: D1, "),
        dimmed("plus", feed="through: D1, "),
        dimmed("plus", feed="through: D1, ", more=", case: minus"),
    ],
)
def test_a_dimmer_on_its_side_is_clean(text):
    assert found(text, "dimmer_on_wrong_side") == []
