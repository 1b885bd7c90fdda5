"""Vans for the tests of changes: the examples, random ones, and a bare one with a part of most kinds."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from tests.plans import random_plan

ROOT = Path(__file__).resolve().parents[3]
EXAMPLES = tuple(sorted(path.stem for path in (ROOT / "examples").glob("*.yaml")))
RANDOM = tuple(f"random {seed}" for seed in range(6))

BARE = """\
loomwright: 1
title: Bare   # nothing is wired
region: eu

places:
  bay: {at: [-1.8, -0.5, 0.4], zones: [engine_bay]}
  seat: [-0.4, -0.45, 0.12]
  kitchen: [0.6, 0.7, 0.4]

studs:
  E1: {place: seat}
  E2: {place: kitchen}   # behind the sink

parts:
  starter: {kind: vehicle_battery, place: bay}
  alternator: {kind: alternator, charges: starter}
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah}
  b2b: {kind: b2b, place: seat, current: 25 A, start_on: engine}
  split: {kind: sensing_relay, place: seat}
  P1: {kind: fuse_box, place: seat, ways: 3}
  P2: {kind: fuse_box, place: kitchen, ways: 2}
  plus_bar: {kind: busbar}
  minus_bar: {kind: busbar}
  pump: {kind: water_pump, name: Fresh pump, place: kitchen, running: 4 A}
  S1: {kind: switch}
  S2: {kind: two_way}
  S3: {kind: two_way}
  K1: {kind: relay}
  panel: {kind: solar_panel, power: 100 Wp}
  reg: {kind: solar_regulator, regulation: mppt, current: 10 A}
  inv: {kind: inverter, power: 500 W}
  chg: {kind: mains_charger, current: 20 A}
  inlet: {kind: inlet}
  U1: {kind: breaker_box, ways: 2}
  sock: {kind: mains_socket}
  gauge: {kind: gauge}
  tank: {kind: sender}
  shunt: {kind: shunt}
  X5: {kind: plug, pins: 2}
"""


@cache
def text_of(name: str) -> str:
    """Return the text of a van by its name."""
    if name == "bare":
        return BARE
    if name.startswith("random "):
        return random_plan(int(name.split()[1]), 20)
    return (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")


@cache
def plan_of(name: str) -> Plan:
    """Return the plan of a van by its name."""
    return read_plan(text_of(name))


def changed(text: str, edits: tuple[Edit, ...]) -> Plan:
    """Return the plan after some edits, which has to read without errors; every comment has to be there."""
    after = apply_edits(text, edits)
    for line in text.splitlines():
        if "#" in line:
            assert line[line.index("#") :] in after
    return read_plan(after)
