"""Questions of the workshop on what goes wrong in a short, and which fuse ends it: a plan in, answers out.

The plans are invented; what is asked is common practice of the trade unless a source stands beside it.
"""

from __future__ import annotations

import math

import pytest

import loomwright
from loomwright import read_text
from tests.scenarios.lines import text_of

HEAD = """loomwright: 1
title: A question
region: eu
basis: {copper: 20 °C, contacts: {crimp: 0.5 mΩ, lug: 0.2 mΩ, stud: 0.3 mΩ, body: 1.5 mΩ}}
places:
  seat: [-0.4, -0.4, 0.1]
  rear: [2.3, -0.7, 0.5]
studs:
  E1: {place: seat}
  E2: {place: rear}
parts:
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah, resistance: 5 mΩ}
  P1: {kind: fuse_box, place: seat, ways: 6, fuse_type: blade}
"""
WIRING = """wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  main: {from: leisure.plus, fuse: 60 A high_breaking, to: P1, area: 16 mm², length: 0.6 m}
"""
BACK = "return: {to: E2, length: 0.4 m}"
PUMP = "  pump: {kind: water_pump, place: rear, running: 6 A, start: 14 A for 80 ms}\n"


def plan(parts: str, wiring: str, more: str = "") -> str:
    return f"{HEAD}{parts}{WIRING}{wiring}{more}"


def checked(text: str) -> dict:
    """Return the check of a plan, as `loomwright check --json` prints it."""
    return loomwright.check(read_text(text)).as_dict()


def wire(done: dict, id: str) -> dict:
    return next(one for one in done["wires"] if one["id"] == id)


def found(done: dict, rule: str, severity: str = "") -> list[dict]:
    return [f for f in done["findings"] if f["rule"] == rule and severity in ("", f["severity"])]


def pumped(fuse: str, area: str = "1.5 mm²") -> str:
    return plan(
        PUMP,
        f"  W4: {{from: P1.1, fuse: {fuse}, to: pump, area: {area}, length: 6 m, {BACK}}}\n",
    )


# 10. Why do the lights dip when the pump starts?


def test_the_dip_is_told_element_by_element():
    """Mossgrove: lamps and pump share W4 of 1 mm²; by hand it takes nearly all of the dip."""
    done = checked(text_of("mossgrove", ""))
    (lamps,) = [one for one in done["circuits"] if one["load"] == "lamps"]
    (dip,) = [one for one in lamps["dips"] if one["by_start_of"] == "pump"]
    assert dip["dip_v"] == pytest.approx(sum(share["volts"] for share in dip["shares"]), rel=0.02)
    in_w4 = sum(share["volts"] for share in dip["shares"] if share["of"].startswith(("W4", "P1.2")))
    assert in_w4 / dip["dip_v"] > 0.8
    assert found(done, "dip_at_other_load", "fault")


# 13. What fuse for this wire and that pump?


def test_a_fuse_between_the_start_of_the_pump_and_the_wire():
    """6 A for good ask for 7.5 A (80 %), 1.5 mm² carries 24 A: 7.5, 10, 15 and 20 A are free of findings.

    5 A is overloaded, 25 A is above the wire (DIN VDE 0298-4, single core in free air, from memory).
    """
    tell = {
        amps: {f["rule"] for f in checked(pumped(f"{amps} A"))["findings"]} for amps in (5, 7.5, 10, 20, 25)
    }
    assert "fuse_overloaded" in tell[5]
    assert not tell[7.5] & {"fuse_overloaded", "fuse_opens_at_start", "fuse_above_cable_rating"}
    assert not tell[20] & {"fuse_overloaded", "fuse_above_cable_rating"}
    assert "fuse_above_cable_rating" in tell[25]


def test_left_to_the_program_the_fuse_is_the_smallest_that_lasts():
    done = checked(pumped("auto"))
    (fuse,) = wire(done, "W4")["fuses"]
    assert fuse["rating_a"] == 7.5
    assert wire(done, "W4")["clears"]["verdict"] == "fast"


# 14. What happens if this wire chafes to the body here?


def test_a_chafe_draws_less_the_further_it_is_and_its_fuse_opens_at_once():
    """By hand: 12.8 V over 5 mΩ of battery, 3.5 of main, earth and fuse, 4.8 of the blade, 13.3 a metre."""
    job = loomwright.assess(read_text(pumped("15 A")))
    chafe = job.faults.along["W4"]
    near, middle, far = (chafe.at(metres)[1] for metres in (0.0, 3.0, 6.0))
    assert near > middle > far
    assert (12.8 / far - 12.8 / middle) / 3.0 == pytest.approx(0.0133, rel=0.1)
    assert chafe.word == "under 0.1 s"
    assert not chafe.harmed
    assert chafe.order[0].at == "P1.1"


def test_a_chafe_that_no_fuse_ends_is_a_danger():
    bare = plan(
        PUMP,
        f"  W4: {{from: leisure.plus, fuse: none, to: pump, area: 1.5 mm², length: 6 m, {BACK}}}\n",
    )
    done, job = checked(bare), loomwright.assess(read_text(bare))
    assert wire(done, "W4")["clears"] == {"verdict": "never", "at_most_s": None}
    assert job.faults.along["W4"].harmed
    (danger,) = found(done, "missing_fuse", "danger")
    assert danger["where"] == "W4"
    assert not found(done, "short_outlasts_cable"), "one wire, one danger"


def test_a_source_that_folds_back_is_a_note():
    """A converter of 10 A never opens a 15 A blade, and 2.5 mm² carries 10 A for good."""
    text = plan(
        "  converter: {kind: converter, place: seat, output: 12 V, current: 10 A, efficiency: 90 %}\n"
        "  radio: {kind: radio, place: rear, running: 3 A}\n",
        "  W2: {from: P1.2, fuse: 15 A, to: converter, area: 4 mm², length: 0.5 m, return: E1}\n"
        "  W3: {from: converter, fuse: 15 A, to: radio, area: 2.5 mm², length: 5 m, return: E2}\n",
    )
    done = checked(text)
    (note,) = found(done, "short_folds_back")
    assert (note["severity"], note["where"], note["value"]) == ("note", "converter", 10.0)
    assert wire(done, "W3")["clears"]["verdict"] == "folds_back"
    assert math.isinf(loomwright.assess(read_text(text)).faults.along["W3"].at_most_s)


# 15. Which fuse blows first?


def test_the_branch_opens_before_the_main():
    job = loomwright.assess(read_text(pumped("15 A")))
    assert [fuse.rating_a for fuse in job.faults.along["W4"].order] == [15.0, 60.0]
    assert not found(checked(pumped("15 A")), "fuse_before_opens_first")


def test_a_main_that_opens_before_its_branch_is_found():
    """A bolted 60 A before a bolted 100 A, with a lamp beside: the main opens, and the lamp goes out too."""
    text = plan(
        PUMP + "  lamp: {kind: lamp, place: rear, running: 1 A}\n",
        f"  W4: {{from: P1.1, fuse: 100 A bolted, to: pump, area: 35 mm², length: 3 m, {BACK}}}\n"
        f"  W5: {{from: P1.2, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m, {BACK}}}\n",
    ).replace("60 A high_breaking", "60 A bolted")
    (late,) = found(checked(text), "fuse_before_opens_first")
    assert late["where"] == "W4"
    assert "60 A" in late["says"]
