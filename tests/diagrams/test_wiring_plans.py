"""The wiring diagram of plans that no one drew before: random vans, awkward circuits, hostile names."""

import re
from functools import cache

import pytest

from loomwright.diagrams.wiring import wiring_sheets
from loomwright.diagrams.wiring.network import low_wires
from loomwright.drawing.scene import Drawn, Sheet, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing_wires import bend_faults, wire_crossings, wiring_violations
from loomwright.drawing.svg import to_svg
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan
from tests.plans import random_plan

#: Seed and number of wires of the random vans.
RANDOM = tuple((seed, 5 + 17 * seed % 116) for seed in range(16))

ALL_AT_ONCE = """
loomwright: 1
title: Four in one
region: eu
places: {seat_base: [-0.4, -0.45, 0.12], ceiling: [1.2, -0.3, 1.85], pod: [2.3, -0.75, 0.4]}
studs: {E1: {place: seat_base}, E2: {place: pod}}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 95 Ah}
  P1: {kind: fuse_box, place: seat_base, ways: 6}
  K1: {kind: relay, place: pod, rating: 30 A, coil: 0.15 A}
  S1: {kind: switch, place: ceiling}
  T1: {kind: two_way, place: ceiling}
  T2: {kind: two_way, place: pod}
  X3: {kind: plug, pins: 2, place: pod}
  pump: {kind: water_pump, place: pod, running: 6 A, start: 14 A for 80 ms, pressure_switch: yes}
  usb: {kind: usb, place: pod, running: 2 A}
  lamp: {kind: lamp, place: ceiling, running: 4 W}
  spare_alarm: {kind: alarm, place: pod, running: 20 mA}
  heater: {kind: air_heater, place: pod, running: 1.5 A, start: 9 A for 4 min}
wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  main: {from: leisure.plus, to: P1, fuse: 40 A bolted, area: 10 mm², length: 0.5 m}
  W1: {from: P1.1, fuse: 10 A, to: [pump, usb], area: 2.5 mm², length: 4 m, return: {to: E2, length: 0.5 m}}
  W2: {from: P1.2, fuse: 3 A, through: S1, to: K1.86, area: 0.75 mm², length: 5 m,
    return: {to: E2, length: 0.3 m}}
  W3: {from: P1.3, fuse: 15 A, through: K1, to: heater, area: 4 mm², length: 4 m,
    return: {to: E2, length: 0.5 m}}
  W4: {from: P1.4, fuse: 5 A, through: [T1, T2, X3.1], to: lamp, area: 1.5 mm², length: 7 m,
    return: {through: X3.2, to: E1, length: 3 m}}
"""

HOSTILE = (
    "</svg><script>x</script>",
    '" onload="x\' & <b>',
    "مضخة الماء",
    "pump 🚐💧",
    "=cmd|'/c x'!A1",
    "W" * 300,
    "a " * 150,
    "\u202ereversed",
)


def check(text: str) -> Checked:
    """Return a plan's text, checked."""
    return check_plan(read_plan(text))


@cache
def random_sheets(seed: int, wires: int) -> tuple[Checked, tuple[Sheet, ...]]:
    """Return a random van and its wiring diagram."""
    van = check(random_plan(seed, wires))
    return van, wiring_sheets(van)


def own(sheet: Sheet) -> tuple[Drawn, ...]:
    """Return what the diagram itself draws: not the border with its margin."""
    return tuple(
        item for item in sheet.items if not (isinstance(item, Text | Symbol) and _left(item) > 361.4)
    )


def _left(item: Text | Symbol) -> float:
    return item.box().left


@pytest.mark.parametrize(("seed", "wires"), RANDOM)
def test_random_vans_are_drawn_whole_and_apart(seed: int, wires: int):
    van, sheets = random_sheets(seed, wires)
    shown = {item.of.id for sheet in sheets for item in sheet.items if isinstance(item, Wire) and item.of}
    assert set(low_wires(van.assessment.wiring)) <= shown
    for sheet in sheets:
        assert [str(fault) for fault in wiring_violations(own(sheet))] == []
        assert bend_faults(sheet.items, 3) == ()


def test_crossings_of_random_vans_stay_few():
    """At most one for two columns over all of them; single crowded sheets may have more."""
    sheets = [sheet for seed, wires in RANDOM for sheet in random_sheets(seed, wires)[1]]
    assert sum(len(wire_crossings(sheet.items)) for sheet in sheets) <= 0.25 * 19 * len(sheets)


def test_shared_feed_relay_two_way_and_plug_on_one_sheet():
    sheets = wiring_sheets(check(ALL_AT_ONCE))
    assert len(sheets) == 1
    items = sheets[0].items
    assert [str(fault) for fault in wiring_violations(items)] == []
    assert len(wire_crossings(items)) <= 2
    signs = [item.sign.name for item in items if isinstance(item, Symbol) and item.layer != "frame"]
    assert signs.count("plug") == 2
    assert signs.count("two_way") == 2
    assert signs.count("relay_coil") == signs.count("relay_contact") == 1
    wires = {item.of.id for item in items if isinstance(item, Wire) and item.of}
    assert {"W1.pump", "W1.usb", "W1.return", "W4.T2.a", "W4.T2.b", "W4.X3.1", "W3.K1", "W2.S1"} <= wires
    texts = {text.text for item in items for text in texts_of(item)}
    assert any(text.startswith("coil ") for text in texts)
    assert any(re.fullmatch(r"\d+\.[A-F]", text) for text in texts)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_text_and_stay_within(name: str):
    quoted = name.replace("'", "''")
    text = ALL_AT_ONCE.replace("title: Four in one", f"title: '{quoted}'")
    for part in ("pump: {kind: water_pump", "P1: {kind: fuse_box", "leisure: {kind: battery"):
        text = text.replace(part, f"{part}, name: '{quoted}'")
    sheets = wiring_sheets(check(text))
    for sheet in sheets:
        assert [str(fault) for fault in wiring_violations(own(sheet))] == []
        drawn = to_svg(sheet, inline_fonts=False).decode()
        assert "<script" not in drawn
        assert drawn.count("</svg>") == 1


def test_long_ids_stay_readable():
    """An id of forty letters is broken or cut, never laid over something else."""
    long = "a_very_long_name_that_nobody_would_write_down"
    sheets = wiring_sheets(
        check(ALL_AT_ONCE.replace("  usb:", f"  {long}:").replace("[pump, usb]", f"[pump, {long}]"))
    )
    for sheet in sheets:
        assert [str(fault) for fault in wiring_violations(own(sheet))] == []


def test_a_plan_without_wires_is_an_empty_sheet():
    plan = "loomwright: 1\ntitle: Bare\nregion: uk\n"
    sheets = wiring_sheets(check(plan))
    assert len(sheets) == 1
    assert not any(isinstance(item, Wire) for item in sheets[0].items)
