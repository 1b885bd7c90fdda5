"""Where wires lie, however the plan says it: by run, leg or return, a pipe and then not, or by no word."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.rules.check import check_plan
from loomwright.sizing.cures import cures
from tests.rules.base import plan
from tests.rules.cases_zones import LAMP, MAINS, frost, lamp

ZONES = {"gas_locker": "wire_in_gas_locker", "airbag": "wire_along_airbag", "flue": "wire_by_flue"}
LEG = "area: 4 mm², length: 3 m"


def found(text: str, rule: str) -> list[tuple[str, str]]:
    return [(one.severity, one.where) for one in check_plan(read_text(text)).findings if one.rule == rule]


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize(
    "run",
    [
        f"to: lamp, {LEG}, via: bad, return: {{to: E2}}",
        f"to: lamp, {LEG}, return: {{to: E2, length: 0.4 m, via: bad}}",
        f"to: {{lamp: {{length: 0.5 m, via: bad}}, other: {{length: 1 m}}}}, {LEG}, return: {{to: E2}}",
    ],
    ids=["run", "return", "leg"],
)
def test_a_wire_is_found_and_led_past_by_whatever_names_the_path(zone: str, run: str):
    parts = f"{LAMP}\nother: {{kind: lamp, place: kitchen, running: 1 A}}"
    if "other:" not in run:
        parts = LAMP
    text = plan(parts, f"C1: {{from: P1.1, fuse: 3 A, {run}}}").replace(
        "studs:\n", f"paths:\n  bad: {{zones: [{zone}]}}\nstuds:\n", 1
    )
    severity = "watch" if zone == "flue" else "fault"
    assert found(text, ZONES[zone]) == [(severity, "C1")]
    [answer] = [one for one in cures(read_text(text)) if one.cure is not None]
    assert answer.cure is not None
    assert answer.cure.says == "C1 led past bad"


def test_a_mains_cable_in_a_pipe_first_and_then_not_is_a_danger():
    paths = "  pipe: {conduit: yes, zones: [gas_locker]}\n  open: {zones: [gas_locker]}\n"
    for via, severity in (("[pipe, open]", "danger"), ("[open, pipe]", "danger"), ("[pipe]", "watch")):
        cable = f"M1: {{from: inlet, to: S1, area: 2.5 mm², length: 2 m, via: {via}}}"
        assert found(lamp("", paths, MAINS, cable), "wire_in_gas_locker") == [(severity, "M1")]


def test_a_wire_that_nobody_leads_but_has_no_other_way_passes_the_flue():
    paths = "  bad: {along: [[-0.4, -0.4, 0.1], [0.6, 0.7, 0.4]], zones: [flue]}\n"
    assert found(lamp("", paths), "wire_by_flue") == [("watch", "C1")]


@pytest.mark.parametrize("via", ["pipe", "[sill, pipe]"])
def test_the_return_of_a_lamp_beside_mains_counts_too(via: str):
    paths = "  pipe: {conduit: yes}\n  sill: {}\n"
    back = f"return: {{to: E2, length: 1 m, via: {via}}}"
    wire = f"C2: {{from: P1.2, fuse: 3 A, to: other, area: 4 mm², length: 3 m, {back}}}"
    text = lamp(
        "",
        paths,
        f"{MAINS}\nother: {{kind: lamp, place: kitchen, running: 1 A}}",
        "M1: {from: inlet, to: S1, area: 2.5 mm², length: 2 m, via: pipe}\n" + wire,
    )
    assert found(text, "mains_beside_low_voltage") == [("fault", "M1")]


def test_only_the_metres_in_a_closed_pipe_need_no_clips():
    rule, clips = "clips_too_far_apart", ", via: pipe, clips: 0.9 m"
    along = "along: [[-0.4, -0.4, 0.1], [0.6, 0.7, 0.4]]"
    for pipe, severity in (
        ("", "watch"),  # nobody says how long the pipe is
        (", length: 2.5 m", "fault"),  # half a metre of the wire of 3 m lies outside
        (", length: 2.6 m", None),
        (f", {along}", None),  # from end to end
        (", along: [[-0.4, -0.4, 0.1], [0.1, 0.15, 0.25]]", "fault"),  # the pipe ends half-way
    ):
        text = lamp(clips, f"  pipe: {{conduit: yes{pipe}}}\n")
        assert found(text, rule) == ([(severity, "C1")] if severity else []), pipe
    mixed = lamp(", via: [pipe, sill], clips: 0.9 m", "  pipe: {conduit: yes}\n  sill: {}\n")
    assert found(mixed, rule) == [("fault", "C1")]


def test_a_way_by_a_pipe_alone_cures_no_clips():
    """The cable that is led past the gas locker lies in the pipe of unknown length that is left to it."""
    paths = "  pipe: {conduit: yes}\n  bad: {zones: [gas_locker]}\n"
    text = lamp(", via: [bad, pipe], clips: 0.9 m", paths)
    answers = {one.number: one.cure for one in cures(read_text(text))}
    rules = [one.rule for one in check_plan(read_text(text)).findings]
    past, clipped = (answers[rules.index(rule) + 1] for rule in ("wire_in_gas_locker", "clips_too_far_apart"))
    assert past is not None
    assert clipped is not None
    assert past.says == "C1 led past bad"
    assert clipped.says == "C1 fixed every 0.45 m"


def test_what_returns_over_a_moving_part_is_led_back_by_wire():
    door = "kitchen: {at: [0.6, 0.7, 0.4], zones: [moving]}"
    for back, more, expected in (
        ("return: {to: E2, length: 0.4 m}", "", ("fault", "return of C1 beside its feed")),
        ("return: body", "", ("watch", "return of C1 beside its feed")),
        ("return: wire", "", None),
        ("return: {to: E1, length: 3 m}", "", None),
        # a braid past the hinge
        ("return: {to: E2, length: 0.4 m}", "braid: {from: E2, to: E1, area: 6 mm², length: 1 m}", None),
    ):
        wire = f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {LEG}, {back}}}\n{more}"
        text = plan(LAMP, wire).replace("kitchen: [0.6, 0.7, 0.4]", door)
        told = found(text, "return_over_moving_part")
        assert told == ([(expected[0], "C1")] if expected else []), back
        if expected:
            rules = [one.rule for one in check_plan(read_text(text)).findings]
            number = rules.index("return_over_moving_part") + 1
            [cure] = {one.cure for one in cures(read_text(text)) if one.number == number}
            assert cure is not None
            assert cure.says == expected[1]


def test_what_lies_above_the_load_space_is_in_the_rising_roof():
    text = lamp("").replace(
        "basis:\n", "vehicle: {pop_top: yes, load_space: [2 m, 1.7 m, 0.3 m]}\nbasis:\n", 1
    )
    assert found(text, "return_over_moving_part") == [("watch", "C1")]
    assert found(text.replace("pop_top: yes", "pop_top: no"), "return_over_moving_part") == []
    assert found(text.replace("0.3 m]", "0.5 m]"), "return_over_moving_part") == []


def test_a_pipe_is_as_full_as_its_cores_together_make_it():
    """Thick-wall 4 mm² is 4.4 mm, 2.5 mm² 3.6 mm; NEC chapter 9, table 1: two wires 31 %, more 40 %."""
    rule = "pipe_too_full"
    paths = "  pipe: {conduit: yes, hole: BORE}\n"
    back = "return: {to: E2, length: 1 m, via: pipe}"
    two = lamp("", paths).replace("return: {to: E2, length: 0.4 m}", f"via: pipe, {back}")
    # √(2 · 4.4² / 0.31) = 11.18 mm
    assert found(two.replace("BORE", "11.1 mm"), rule) == [("watch", "pipe")]
    assert found(two.replace("BORE", "11.2 mm"), rule) == []
    assert found(two.replace("BORE", "11.1 mm").replace("4 mm²", "unknown"), rule) == []
    # three cores of a mains cable of 2.5 mm²: √(3 · 3.6² / 0.40) = 9.86 mm
    cable = lamp("", paths, MAINS, "M1: {from: inlet, to: S1, area: 2.5 mm², length: 2 m, via: pipe}")
    assert found(cable.replace("BORE", "9.8 mm"), rule) == [("watch", "pipe")]
    assert found(cable.replace("BORE", "9.9 mm"), rule) == []


def test_an_inlet_below_a_floor_of_unknown_height_is_told_at_the_worst_alone():
    for z, severity in ((1.0, None), (1.1, "watch"), (1.35, "fault")):
        inlet = f"inlet: {{kind: inlet, at: [0.6, 0.7, {z}], rating: 16 A, wired: no}}"
        told = found(lamp("", parts=inlet), "inlet_too_high")
        assert told == ([(severity, "inlet")] if severity else [])


def test_only_what_reaches_a_battery_charges_it_in_frost():
    rule, text = "lithium_charged_in_frost", frost(-5.0)
    assert found(text, rule) == [("fault", "leisure")]
    # the charger hangs on a lead battery of its own
    other = "other: {kind: battery, place: kitchen, chemistry: agm, capacity: 50 Ah}\n  charger:"
    apart = text.replace("charger:", other, 1).replace("to: leisure.plus, area: 4", "to: other.plus, area: 4")
    assert found(apart, rule) == []
    # and with a switch between the two, closed in some mode
    link = "link: {from: other.plus, fuse: 30 A bolted at both, through: K, to: leisure.plus, area: 10 mm²"
    joined = apart.replace("other:", "K: {kind: switch, place: kitchen}\n  other:", 1)
    assert found(f"{joined}  {link}, length: 1 m, return: wire}}\n", rule) == [("fault", "leisure")]
    # an inverter that charges does; one that only passes mains on does not
    for amps, told in (("10 A", [("fault", "leisure")]), ("0 A", [])):
        both = f"kind: inverter_charger, place: kitchen, power: 500 W, charge_current: {amps}"
        combined = text.replace("kind: mains_charger, place: kitchen, current: 10 A, output: 14.2 V", both)
        assert found(combined, rule) == told, amps
