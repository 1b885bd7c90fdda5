"""The table of kinds, against what the trade and the standards call terminals."""

from __future__ import annotations

import pytest

from loomwright.plan.columns import columns
from loomwright.plan.kinds import (
    KINDS,
    fields_of,
    has_terminal,
    is_consumer,
    is_mains_terminal,
    minus_of,
    passages,
    rest_state,
    side,
    states,
    terminals,
    usual,
    usual_passage,
    way_of,
)
from loomwright.plan.model import Part
from loomwright.plan.read import read_plan


def part(text: str) -> Part:
    """Read one part."""
    return read_plan(f"loomwright: 1\ntitle: Van\nregion: eu\nparts:\n  P: {{{text}}}\n").parts["P"]


def test_every_field_of_every_kind_is_in_the_table_of_fields():
    known = set(columns(Part))
    for kind in KINDS:
        assert set(fields_of(kind)) <= known, kind
        assert set(KINDS[kind].needed) <= set(fields_of(kind)), kind
    assert known == {name for kind in KINDS for name in fields_of(kind)}


def test_every_passage_joins_terminals_of_its_kind():
    for kind, row in KINDS.items():
        named = {end for closed in (row.always, *row.states.values()) for pair in closed for end in pair}
        extra = {"in_2", "out_2", "87a"}  # there with two poles, with a change-over contact
        assert named <= set(row.terminals) | extra, kind
        assert row.rests is None or row.rests in row.states, kind
        for end in (row.to, row.from_):
            assert not end or end in row.terminals, kind


def test_relay_terminals_are_those_of_din_72552():
    """DIN 72552: 30 in, 87 make, 87a break, 85 coil end, 86 coil begin (from memory)."""
    relay = part("kind: relay, contact: change_over")
    assert set(terminals(relay)) == {"30", "87", "87a", "85", "86"}
    assert states(relay) == {"off": (("30", "87a"),), "on": (("30", "87"),)}
    assert (rest_state(relay), usual_passage(relay)) == ("off", ("30", "87"))
    assert (minus_of(relay, "86"), minus_of(relay, "85"), minus_of(relay, "87")) == ("85", "86", None)
    assert states(part("kind: relay"))["off"] == ()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("kind: fuse_box, ways: 3", "in 1 2 3"),
        ("kind: fuse_box, ways: 1, minus_rail: yes", "in 1 minus"),
        ("kind: fuse_box, ways: unknown", "in"),
        ("kind: breaker_box, ways: 2", "in earth 1 2"),
        ("kind: plug, pins: 2", "1 2"),
        ("kind: busbar", ""),
        ("kind: switch", "in out"),
        ("kind: switch, poles: 2", "in out in_2 out_2"),
        ("kind: master_switch, by: relay", "in out coil_plus coil_minus"),
        ("kind: control_panel, outputs: {pump: {switches: minus}}", "plus minus pump"),
        ("kind: selector, positions: {a: com-a, off: none, both: [com-a, com-b]}", "com a b"),
        ("kind: electronics, terminals: {data: signal}", "plus minus data"),
        ("kind: unit, ports: {x: b}, inside: {parts: {b: {kind: busbar}}, wiring: {}}", "x"),
    ],
)
def test_terminals(text, expected):
    assert " ".join(terminals(part(text))) == expected


def test_any_way_fits_a_box_whose_ways_are_unknown():
    box = part("kind: fuse_box, ways: unknown")
    assert has_terminal(box, "17")
    assert not has_terminal(box, "0")
    assert not has_terminal(box, "x")


@pytest.mark.parametrize(
    ("text", "to", "from_"),
    [
        ("kind: lamp", "plus", None),
        ("kind: battery, chemistry: agm, capacity: 9 Ah", "plus", "plus"),
        ("kind: busbar", "", ""),
        ("kind: plug, pins: 1", None, None),
        ("kind: relay", "30", "87"),
        ("kind: vehicle_feed, live: ignition", None, "plus"),
        ("kind: mains_socket", "in", "in"),
    ],
)
def test_usual(text, to, from_):
    assert usual(part(text), "to") == to
    assert usual(part(text), "from") == from_


@pytest.mark.parametrize(
    ("text", "every", "the_usual"),
    [
        ("kind: switch", [("in", "out")], ("in", "out")),
        ("kind: switch, poles: 2", [("in", "out"), ("in_2", "out_2")], ("in", "out")),
        ("kind: shunt", [("load", "battery")], ("load", "battery")),
        ("kind: diode_splitter", [("in", "out_1"), ("in", "out_2")], None),
        ("kind: two_way", [("com", "a"), ("com", "b")], ("com", "a")),
        ("kind: intermediate", [("a1", "a2"), ("b1", "b2"), ("a1", "b2"), ("b1", "a2")], ("a1", "a2")),
        ("kind: busbar", [("", "")], ("", "")),
        ("kind: plug, pins: 2", [("1", "1"), ("2", "2")], None),
        ("kind: low_voltage_cut", [("in", "out")], ("in", "out")),
        ("kind: battery, chemistry: agm, capacity: 9 Ah", [], None),
    ],
)
def test_passages(text, every, the_usual):
    assert list(passages(part(text))) == every
    assert usual_passage(part(text)) == the_usual


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("kind: switch", "off"),
        ("kind: switch, rests: on", "on"),
        ("kind: master_switch", "on"),
        ("kind: two_way, rests: b", "b"),
        ("kind: selector, positions: {a: com-a, off: none}", "off"),
        ("kind: selector, positions: {a: com-a, b: com-b}, rests: b", "b"),
        ("kind: change_over", "0"),
        ("kind: low_voltage_cut", "closed"),
        ("kind: lamp", None),
    ],
)
def test_rest_state(text, state):
    assert rest_state(part(text)) == state


@pytest.mark.parametrize(
    ("text", "terminal", "where"),
    [
        ("kind: inverter, power: 900 W", "out", "mains"),
        ("kind: inverter, power: 900 W", "plus", "low"),
        ("kind: inverter, power: 900 W", "case", "earth"),
        ("kind: breaker_box, ways: 2", "1", "mains"),
        ("kind: breaker_box, ways: 2", "earth", "earth"),
        ("kind: fridge", "mains", "mains"),
        ("kind: fridge", "plus", "low"),
        ("kind: splice", "", "either"),
    ],
)
def test_side(text, terminal, where):
    assert side(part(text), terminal) == where
    assert is_mains_terminal(part(text), terminal) == (where == "mains")


@pytest.mark.parametrize(
    ("text", "terminal", "minus"),
    [
        ("kind: lamp", "plus", "minus"),
        ("kind: solar_regulator, regulation: mppt", "panel", "panel_minus"),
        ("kind: solar_regulator, regulation: mppt", "second", "battery_minus"),
        ("kind: converter, output: 12 V", "in", "minus"),
        ("kind: converter, output: 12 V", "out", "out_minus"),
        ("kind: sender", "signal", "minus"),
        ("kind: fuse_box, ways: 2", "in", None),
        ("kind: fuse_box, ways: 2, minus_rail: yes", "in", "minus"),
        ("kind: busbar", "", None),
        ("kind: fridge", "mains", None),
        ("kind: master_switch, by: relay", "coil_plus", "coil_minus"),
        ("kind: master_switch", "in", None),
    ],
)
def test_minus_of(text, terminal, minus):
    assert minus_of(part(text), terminal) == minus


def test_a_port_answers_for_the_part_inside():
    unit = part(
        "kind: unit, ports: {way: box.1, ac: charger.mains, dc: charger.plus}, inside: {parts: "
        "{box: {kind: fuse_box, ways: 2}, charger: {kind: mains_charger}}, wiring: {}}"
    )
    found = way_of(unit, "way")
    assert found is not None
    assert (found[0].id, found[1]) == ("box", "1")
    assert (side(unit, "ac"), side(unit, "dc"), minus_of(unit, "dc")) == ("mains", "low", "minus")


def test_consumers():
    assert is_consumer("lamp")
    assert not is_consumer("battery")
