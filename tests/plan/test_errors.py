"""Every kind of error, with its exact place and its words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loomwright.errors import PlanError
from loomwright.plan.read import read_plan

HEAD = "loomwright: 1\ntitle: Van\nregion: eu\n"
VAN = (
    HEAD
    + """places: {a: {}}
paths: {p: {}}
studs: {E1: {place: a}}
parts:
  leisure: {kind: battery, chemistry: agm, capacity: 95 Ah}
  P1: {kind: fuse_box, ways: 6}
  lamp: {kind: lamp}
  S1: {kind: switch}
  X5: {kind: plug, pins: 2}
  bar: {kind: busbar}
  K1: {kind: relay}
  inlet: {kind: inlet}
  S0: {kind: control_panel, outputs: {light: {switches: plus}}}
  sel: {kind: selector, positions: {a: com-a, off: none}}
  U1: {kind: unit, ports: {light: box.1}, inside: {parts: {box: {kind: fuse_box, ways: 1}}, wiring: {}}}
  two: {kind: two_way}
  zwo: {kind: two_way}
  mid: {kind: intermediate}
  U2: {kind: breaker_box, ways: 2}
  inverter: {kind: inverter, power: 900 W}
  standby: {kind: standby, running: 0.1 A}
  split: {kind: diode_splitter}
"""
)
BEFORE = {"NOTHING": "", "HEAD": HEAD, "VAN": VAN}
CASE = re.compile(r"^== ([^\n]+): after (\w+)\n(.*?)\n=> ([^\n]+)$", re.MULTILINE | re.DOTALL)

#: What is typed (a tab as →), and the one line that comes back, by the name of the case.
ERRORS = {
    name: (BEFORE[before] + typed.replace("→", "\t") + "\n", says)
    for name, before, typed, says in CASE.findall(
        Path(__file__).with_name("errors.txt").read_text(encoding="utf-8")
    )
}


@pytest.mark.parametrize("name", ERRORS)
def test_error_with_its_place(name):
    text, says = ERRORS[name]
    with pytest.raises(PlanError) as wrong:
        read_plan(text, "van.yaml")
    assert str(wrong.value) == f"van.yaml:{says}"


def test_all_cases_are_found():
    text = Path(__file__).with_name("errors.txt").read_text(encoding="utf-8")
    assert len(ERRORS) == text.count("\n== ") > 90


def test_the_van_of_these_tests_is_sound():
    assert read_plan(VAN).parts


BEGINNER = """loomwright: 1
title: My first van
region: eu
places:
  bench: [1.1, -0.6, 0.2]
studs:
  E1: {place: bench}
parts:
  house: {kind: battery, place: bench, chemistry: agm, capacity: 95}
  box: {kind: fuse_box, place: bensh, ways: 4}
  lamp: {kind: light, place: bench}
  pump: {kind: water_pump, running: 4 A}
wiring:
  main: {from: house.plus, to: box, fuse: 40 A, area: 10 mm2}
  L1: {from: box.1, to: pmup, area: 1.5, return: E1}
"""


def test_five_mistakes_of_a_beginner_come_at_once():
    with pytest.raises(PlanError) as wrong:
        read_plan(BEGINNER, "first.yaml")
    assert str(wrong.value).splitlines() == [
        'first.yaml:9:66  parts.house.capacity: "95" has no unit. Write 95 Ah.',
        'first.yaml:10:32  parts.box.place: no place "bensh". Did you mean "bench"?',
        'first.yaml:11:16  parts.lamp.kind: no kind of part "light". Write lamp.',
        'first.yaml:15:25  wiring.L1.to: no part or stud "pmup". Did you mean "pump"?',
        'first.yaml:15:37  wiring.L1.area: "1.5" has no unit. Write 1.5 mm² (or AWG).',
    ]


def test_a_name_twice_does_not_hide_the_other_errors():
    text = BEGINNER.replace("  pump: {kind", "  box: {kind: lamp}\n  pump: {kind")
    with pytest.raises(PlanError) as wrong:
        read_plan(text, "first.yaml")
    assert len(wrong.value.problems) == 6
    assert "parts.box stands twice (first in line 10)" in str(wrong.value)


def test_fifty_are_printed_and_the_rest_counted():
    with pytest.raises(PlanError) as wrong:
        read_plan(HEAD + "parts:\n" + "".join(f"  p{number}: {{kind: lmp}}\n" for number in range(60)))
    assert len(wrong.value.problems) == 60
    assert str(wrong.value).endswith("... and 10 more.")
