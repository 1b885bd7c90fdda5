"""Choosing among designs of an example van: the years of weather are made before."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path

from loomwright import assess, read
from loomwright.assessment.energy.year_run import YearRun
from loomwright.energy import sweep, tank
from loomwright.sizing.choosing_goods import Goods
from loomwright.sizing.choosing_parts import Design, Own, grid, own_of
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
        rows.append((what, _s(run, own, designs), "s"))
    return [*rows, ("  designs", float(len(every)), ""), *_compared(run, own, spread)]


def _s(run: YearRun, own: Own, designs: Sequence[Design]) -> float:
    began = time.perf_counter()
    Trials(run, own, Goods(own, "GBP")).run(designs, lambda done, of: None, lambda: False)
    return time.perf_counter() - began


def _compared(run: YearRun, own: Own, designs: Sequence[Design]) -> list[tuple[str, float, str]]:
    """Return how much sooner compiled code runs the hours of the designs; nothing without a compiler."""
    if not tank.is_fast():
        return []
    lots = list(Trials(run, own, Goods(own, "GBP"))._lots(designs, lambda: False))
    found = []
    for is_fast in (tank.is_fast, lambda: False):
        sweep.is_fast = is_fast
        lots[0].run()
        began = time.perf_counter()
        for lot in lots:
            lot.run()
        found.append(time.perf_counter() - began)
    sweep.is_fast = tank.is_fast
    fast, slow = found
    return [("  their hours, compiled", fast, "s"), ("  numpy takes so many times that", slow / fast, "")]
