"""The plan that the cases of the rules stand on, and what a case is.

A battery, an earth and a fuse box whose wires, joints and fuses have no resistance, so that each limit is met
by the one figure that a case changes; the battery's own resistance is such that a blade breaks any short.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

ZERO_FUSES = ", ".join(f"{rating} A: 0 mΩ" for rating in (3, 5, 7.5, 10, 15, 20, 25, 30, 40, 60, 80, 100))
BASE = f"""\
loomwright: 1
title: One rule
region: eu
basis:
  cable_rating: vde_0298_4
  conductors: iec_60228_class_5
  insulation: PVC 70 °C
  temperature: 30 °C
  copper: 20 °C
  contacts: {{crimp: 0 mΩ, lug: 0 mΩ, stud: 0 mΩ, body: 0 mΩ, switch: 0 mΩ, pin: 0 mΩ, splice: 0 mΩ}}
  fuses: {{blade: {{{ZERO_FUSES}}}, bolted: {{{ZERO_FUSES}}}}}
places:
  seat_base: [-0.4, -0.4, 0.1]
  kitchen: [0.6, 0.7, 0.4]
studs:
  E1: {{place: seat_base}}
  E2: {{place: kitchen}}
parts:
  leisure: {{kind: battery, place: seat_base, chemistry: agm, capacity: 100 Ah, charge_limit: 20 A,
    resistance: 20 mΩ}}
  P1: {{kind: fuse_box, place: seat_base, ways: 6}}
PARTS
wiring:
  earth: {{from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m, resistance: 0 mΩ}}
  main: {{from: leisure.plus, fuse: 60 A bolted, to: P1, area: 16 mm², length: 0.5 m, resistance: 0 mΩ}}
WIRING
"""
#: A wire that has no resistance of its own, and its return.
WIRE = "area: 4 mm², length: 3 m, resistance: 0 mΩ, return: {to: E2, length: 0.4 m}"


def plan(parts: str, wiring: str) -> str:
    """Return the base with these parts and runs, one a line."""
    lines = {"PARTS": parts, "WIRING": wiring}
    text = BASE
    for word, entries in lines.items():
        indented = "\n".join(f"  {line.strip()}" for line in entries.strip().splitlines())
        text = text.replace(word, indented)
    return text


@dataclass(frozen=True, slots=True)
class Flip:
    """A figure that a rule turns on: the plan that has it, the limit, and the severity beyond it."""

    plan: Callable[[float], str]
    limit: float
    severity: str


@dataclass(frozen=True, slots=True)
class Case:
    """One rule: what trips it, what just passes, its figures, and an example in plain words."""

    trips: str
    passes: str
    severity: str
    example: str
    flips: tuple[Flip, ...] = ()
