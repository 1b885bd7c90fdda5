"""The loom of a van of 200 wires in the paths of a long body: ways, what lies together, how thick it is."""

from __future__ import annotations

import time

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.loom import Loom
from loomwright.assessment.routes import Routes
from loomwright.plan.changes.bodies import SHELLS, usual_paths
from loomwright.plan.pieces import take_apart
from tests.plans import big_plan

TIMES = 7


def bench() -> list[tuple[str, float, str]]:
    """Return the time of all routes and bundles, without and with the sizes that they need."""
    plan = read_text(with_paths(big_plan(60, 200)))
    wiring, wires = take_apart(plan), assess(plan).wires
    best = float("inf")
    for _ in range(TIMES):
        began = time.perf_counter()
        sections = Loom(Routes(wiring), wires).sections
        best = min(best, time.perf_counter() - began)
    assert len(sections) > 10
    return [("route and bundle 200 wires", 1e3 * best, "ms")]


def with_paths(text: str) -> str:
    """Return a plan's text with the usual paths of a long van."""
    lines = ["paths:"]
    for name, corners in usual_paths(SHELLS["long van, high roof"]).items():
        along = ", ".join(f"[{', '.join(f'{value:g}' for value in corner)}]" for corner in corners)
        lines.append(f"  {name}: {{along: [{along}]}}")
    return text.replace("\nstuds:\n", "\n" + "\n".join(lines) + "\nstuds:\n", 1)
