"""A short at every metre of every wire of a generated van: currents, opening times, what the cables stand."""

from __future__ import annotations

import time

from loomwright import Plan, read_text
from loomwright.assessment.assess import assess
from tests.plans import big_plan

TIMES = 5


def bench() -> list[tuple[str, float, str]]:
    """Return the time for a van of 200 wires that was assessed before, in all modes and without them."""
    big = read_text(big_plan(60, 200))
    return [
        ("short at every metre of 200 wires", min(_ms(big) for _ in range(TIMES)), "ms"),
        (
            "  of it as the consumers stand, no modes",
            min(_ms(big, modes=False) for _ in range(TIMES)),
            "ms",
        ),
    ]


def _ms(plan: Plan, *, modes: bool = True) -> float:
    """Return how long the shorts take once a van is assessed. [ms]"""
    faults = assess(plan).faults
    if not modes:
        faults.modes = list
    began = time.perf_counter()
    assert faults.along
    return (time.perf_counter() - began) * 1e3
