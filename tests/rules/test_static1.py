"""Colours, terminals, studs and leads: what must be found beside the cases, and what must not.

Green-yellow for protective earth alone: IEC 60445. Letters of colours and their order: IEC 60757. 85 and 86
of a coil: DIN 72552. Ratings: DIN VDE 0298-4, one core in free air. The rest is common practice.
"""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.rules import colours, leads, studs, terminals
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from loomwright.rules.registry import RULES
from tests.plans import random_plan
from tests.rules.base import WIRE, plan
from tests.rules.cases_static1 import LAMP, LEFT, SOUND, _coloured, _lead, _relay, _sensor, _takes, with_path
from tests.scenarios.lines import EXAMPLES, VANS

MODULES = {module.__name__ for module in (colours, leads, studs, terminals)}
OWN = {name for name, rule in RULES.items() if rule.check.__module__ in MODULES}


def found(text: str) -> list[Finding]:
    """Return the findings of a plan that these rules bring."""
    return [one for one in check_plan(read_text(text)).findings if one.rule in OWN or one.at_worst in OWN]


def rules_found(text: str) -> list[tuple[str, str]]:
    return [(one.rule, one.severity) for one in found(text)]


@pytest.mark.parametrize("van", VANS)
def test_sound_vans_have_nothing(van):
    assert found((EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("seed", range(40))
def test_random_vans_have_nothing(seed):
    assert found(random_plan(seed, 5 + seed)) == []


# Poles


def test_poles_of_a_switched_feed_and_a_switched_minus():
    text = plan(
        f"{LAMP}\nS1: {{kind: switch, place: kitchen}}\nS2: {{kind: switch, place: kitchen}}",
        "C1: {from: P1.1, fuse: 3 A, through: S1, to: lamp, area: 1 mm², length: 1 m,"
        " return: {through: S2, to: E2}}",
    )
    job = assess(read_text(text))
    poles = {piece.id: job.poles.of(piece) for piece in job.wiring.pieces()}
    assert poles == {
        "earth": "minus",
        "main": "plus",
        "C1.S1": "plus",
        "C1": "plus",
        "C1.return.S2": "minus",
        "C1.return": "minus",
    }


def test_the_middle_of_two_batteries_has_no_pole():
    job = assess(read_text((EXAMPLES / "saltpan.yaml").read_text(encoding="utf-8")))
    (link,) = (piece for piece in job.wiring.pieces() if piece.id == "link")
    assert job.poles.of(link) == ""


# Colours


def test_all_feeds_red_is_usual():
    wiring = "\n".join(f"C{k}: {{from: P1.{k}, fuse: 3 A, to: lamp_{k}, {LEFT}, colour: RD}}" for k in (1, 2))
    parts = "\n".join(f"lamp_{k}: {{kind: lamp, place: kitchen, running: 1 A}}" for k in (1, 2))
    assert found(with_path(plan(parts, wiring))) == []


def test_red_and_black_of_two_circuits_that_share_a_path():
    """C1 is red for plus; in C2 somebody took red for the return."""
    parts = "\n".join(f"lamp_{k}: {{kind: lamp, place: kitchen, running: 1 A}}" for k in (1, 2))
    beside = LEFT.replace("return: {to: E2, length: 0.4 m}", "return: {to: P1.minus, colour: BK}")
    wiring = f"""C1: {{from: P1.1, fuse: 3 A, to: lamp_1, {beside}, colour: RD}}
        C2: {{from: P1.2, fuse: 3 A, to: lamp_2, {beside.replace("BK", "RD")}, colour: WH}}
        rail: {{from: P1.minus, to: E1, area: 6 mm², length: 1 m}}"""
    text = with_path(plan(parts, wiring)).replace("ways: 6}", "ways: 6, minus_rail: yes}")
    (one,) = found(text)
    assert (one.rule, one.severity, one.where) == ("colour_at_both_poles", "watch", "C2")
    assert one.also == ("C2.return", "C1")
    assert "both in left" in one.says
    apart = text.replace(
        "via: left, return: {to: P1.minus, colour: RD}", "return: {to: P1.minus, colour: RD}"
    )
    assert found(apart) == []


def test_one_colour_through_one_plug():
    parts = f"""{LAMP}
        fan: {{kind: fan, place: kitchen, running: 1 A}}
        X1: {{kind: plug, place: kitchen, pins: 4}}"""
    wiring = f"""C1: {{from: P1.1, fuse: 3 A, through: X1.1, to: lamp, {WIRE}, colour: BN}}
        C2: {{from: P1.2, fuse: 3 A, to: fan, area: 4 mm², length: 3 m, resistance: 0 mΩ,
        return: {{through: X1.2, to: E2, length: 0.4 m, colour: BN}}}}""".replace(",\n", ",")
    (one,) = found(plan(parts, wiring))
    assert (one.rule, one.where) == ("colour_at_both_poles", "C1")
    assert "both in X1" in one.says


def test_yellow_green_is_green_yellow():
    assert ("green_yellow_not_earth", "fault") in rules_found(_coloured("YEGN"))
    assert ("green_yellow_not_earth", "fault") in rules_found(
        SOUND.replace("  copper:", "  colours: {lamp: GNYE}\n  copper:")
    )


def test_bonds_are_green_yellow():
    """A case to a bar, the bar to a stud, and stud to stud: that is what green-yellow is for."""
    parts = """inverter: {kind: inverter, place: kitchen, power: 500 W}
        bar: {kind: busbar, place: kitchen}"""
    wiring = """I1: {from: leisure.plus, fuse: 60 A, to: inverter, area: 16 mm², length: 1 m, return: wire}
        B1: {from: inverter.case, to: bar, area: 6 mm², length: 1 m, colour: GNYE}
        B2: {from: bar, to: E2, area: 6 mm², length: 1 m, colour: GNYE}
        B3: {from: E2, to: E1, area: 6 mm², length: 3 m, colour: GNYE}"""
    assert found(plan(parts, wiring)) == []
    assert rules_found(plan(parts, wiring.replace("return: wire", "return: wire, colour: GNYE"))) == [
        ("green_yellow_not_earth", "fault")
    ]


# Terminals


def test_a_wire_too_thin_for_its_terminal():
    text = SOUND.replace("running: 1 A}", "running: 1 A, takes: 6..16 mm²}")
    assert rules_found(text) == [("wire_outside_terminal", "fault")] * len(found(text))
    assert {one.also[0] for one in found(text)} == {"C1", "C1.return"}


def test_one_figure_is_the_largest_that_a_terminal_takes():
    assert found(_takes(4.0).replace("0.5..4.0 mm²", "6 mm²")) == []
    assert found(_takes(4.0).replace("0.5..4.0 mm²", "2.5 mm²")) != []


def test_coils_and_signals_take_thinner_wires():
    assert found(_relay(", takes: 2.5..6 mm²")) == []


def test_the_feed_of_a_fuse_box_may_have_a_stud_of_its_own():
    text = SOUND.replace("ways: 6}", "ways: 6, takes: 0.5..6 mm²}")
    (one,) = found(text)
    assert (one.rule, one.severity, one.where) == ("wire_outside_terminal", "watch", "main")
    assert found(text.replace("0.5..6", "0.5..2.5"))[0].where == "C1"  # a way has none


@pytest.mark.parametrize(
    ("more", "plus", "minus", "is_wrong"),
    [
        ("", "85", "86", False),
        (", diode: yes", "86", "85", False),
        (", diode: yes", "85", "86", True),
        (", diode: yes, coil_plus: 85", "85", "86", False),
        (", diode: yes, coil_plus: 85", "86", "85", True),
    ],
)
def test_polarity_of_a_coil(more, plus, minus, is_wrong):
    rules = rules_found(_relay(more, plus, minus))
    assert rules == ([("coil_diode_reversed", "fault")] if is_wrong else [])


@pytest.mark.parametrize(("plus", "is_wrong"), [("86", False), ("85", True)])
def test_polarity_of_a_coil_whose_minus_a_panel_switches(plus, is_wrong):
    parts = f"""{LAMP}
        S0: {{kind: control_panel, place: kitchen, outputs: {{k: {{switches: minus, rating: 0.3 A}}}}}}
        K1: {{kind: relay, place: kitchen, coil: 0.15 A, rating: 30 A, diode: yes}}"""
    wiring = f"""C1: {{from: P1.1, fuse: 3 A, through: K1, to: lamp, {WIRE}}}
        C2: {{from: P1.2, fuse: 3 A, to: S0.plus, {WIRE}}}
        C3: {{from: P1.3, fuse: 3 A, to: K1.{plus}, area: 1 mm², length: 1 m, return: {{to: S0.k}}}}"""
    assert bool(found(plan(parts, wiring))) is is_wrong


def test_a_coil_without_a_diode_is_never_reversed():
    """Its two wires are both typed as feeds, plus on 85."""
    text = _relay("", "85", "86").replace("from: K1.86, to: E2", "from: E2, to: K1.86")
    assert [one.rule for one in check_plan(read_text(text)).findings] == []


# Studs


@pytest.mark.parametrize(
    ("words", "severity"),
    [
        ("bolt: seat", "fault"),
        ("bolt: door", "fault"),
        ("bolt: brake, factory: yes", None),
        ("note: on the seat belt bolt", "watch"),
        ("note: bolt of the seat", "watch"),
        ("note: 'a stud of its own, not the seat-belt bolt'", None),
        ("note: under the seat", None),
        ("note: on the seat belt bolt, bolt: own", None),
    ],
)
def test_bolts_that_hold_something_else(words, severity):
    severities = [
        one.severity for one in found(SOUND.replace("E2: {place: kitchen", f"E2: {{place: kitchen, {words}"))
    ]
    assert severities == ([severity] if severity else [])


@pytest.mark.parametrize(("zones", "is_asked"), [("living", False), ("outside", True), ("underfloor", True)])
def test_whether_a_stud_is_sealed_matters_where_water_comes(zones, is_asked):
    text = SOUND.replace("kitchen: [0.6, 0.7, 0.4]", f"kitchen: {{zones: [{zones}]}}")
    asked = found(text.replace("E2: {place: kitchen}", "E2: {place: kitchen, sealed: unknown}"))
    assert [one.rule for one in asked] == (["stud_not_sealed"] if is_asked else [])


def test_a_sender_beside_its_gauge_or_the_battery():
    """Sender and gauge on one stud see the same volts; the battery's earth is what all is measured from."""
    assert found(_sensor(12.0)) != []
    assert found(_sensor(12.0).replace("to: E1, length: 0.4 m", "to: E2, length: 0.4 m")) == []
    assert found(_sensor(12.0, sender_to="E1")) == []
    gauge_on_it = _sensor(12.0, sender_to="E1").replace("{to: E1, length: 0.4 m}", "{to: E2, length: 0.4 m}")
    assert [one.also[0] for one in found(gauge_on_it)] == ["C2.return"]


def test_a_start_counts_beside_a_sender():
    text = _sensor(4.0).replace("running: 4.0 A}", "running: 4.0 A, start: 14 A for 80 ms}")
    (one,) = found(text)
    assert one.value == pytest.approx(14.0)


# Leads


def test_a_lead_thinner_than_the_table_carries_no_more_than_its_thinnest_row():
    """0.5 mm² carries 11 A by DIN VDE 0298-4; nobody knows less of 0.35 mm², and 15 A is more than that."""
    (one,) = found(_lead(15.0).replace("0.75 mm²", "0.35 mm²"))
    assert (one.severity, one.limit) == ("fault", 11.0)
    assert found(_lead(10.0).replace("0.75 mm²", "0.35 mm²")) == []


def test_a_fuse_of_its_own_guards_the_lead_of_one_lamp():
    text = _lead(20.0).replace("to: lamp, ", "to: {lamp: {fuse: 5 A}}, ")
    assert found(text) == []


def test_the_fuse_before_a_run_without_one_guards_its_leads():
    parts = f"{LAMP[:-1]}, lead: 0.5 mm²}}\nbar: {{kind: busbar, place: kitchen}}"
    wiring = f"""feed: {{from: P1.1, fuse: 20 A, to: bar, area: 4 mm², length: 3 m, resistance: 0 mΩ}}
        C1: {{from: bar, to: lamp, {WIRE}}}"""
    (one,) = found(plan(parts, wiring))
    assert (one.rule, one.value, one.limit) == ("fuse_above_lead_rating", 20.0, 11.0)
