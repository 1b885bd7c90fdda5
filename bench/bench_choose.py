"""Choosing among designs of an example van: the years of weather are made before."""

from __future__ import annotations

import time
from pathlib import Path

from loomwright import assess, read
from loomwright.assessment.energy.year_run import YearRun
from loomwright.sizing.choosing_goods import Goods
from loomwright.sizing.choosing_parts import grid, own_of
from loomwright.sizing.choosing_trials import Trials

PLAN = Path(__file__).resolve().parent.parent / "examples" / "alderford.yaml"
DESIGNS, YEARS = 30, 100


def bench() -> list[tuple[str, float, str]]:
    """Return the time of 30 designs of all chemistries and of all that are tried, and how many those are."""
    run = YearRun(assess(read(PLAN)), YEARS)
    own = own_of(run)
    every = list(grid(own, None))
    spread = every[:: len(every) // DESIGNS][:DESIGNS]
    rows: list[tuple[str, float, str]] = []
    for what, designs in (
        (f"choose: {DESIGNS} designs × {YEARS} years", spread),
        ("  all that are tried", every),
    ):
        began = time.perf_counter()
        Trials(run, own, Goods(own, "GBP")).run(designs, lambda done, of: None, lambda: False)
        rows.append((what, time.perf_counter() - began, "s"))
    return [*rows, ("  designs", float(len(every)), "")]
