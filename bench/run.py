"""Print what every `bench_*` module beside this file measures, as one table.

A bench module has one function, `bench()`, that returns rows (what, figure, unit). A module that has a peer
to compare with measures it in the same run and adds the ratio as a row of its own, with the unit "x". Where
`TARGETS` names a row, the table shows the target and the share of it that was used; nothing is asserted, as
a slow machine is no broken program.
"""

from __future__ import annotations

import gc
import importlib
import os
import platform
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import cast

from rich.console import Console
from rich.table import Table

from loomwright.cli import ONE_THREAD, SELDOM_COLLECTED

Row = tuple[str, float, str]

#: What we want to reach on two cores, by the row's name: figure and unit. A ratio "x": or more.
TARGETS: dict[str, tuple[float, str]] = {
    "assess 60 circuits, 200 wires, warm": (50.0, "ms"),
    "check, fresh process": (800.0, "ms"),
    "wiring sheets, 200 wires, layout": (30.0, "ms"),
    "book of 110 wires": (3000.0, "ms"),
    "cures of 60 wires: the first": (300.0, "ms"),
    "cures of 60 wires: all": (3000.0, "ms"),
    "choose: 30 designs × 100 years": (5.0, "s"),
    "all modes of 60 circuits": (300.0, "ms"),
    "  and every state of its switches": (300.0, "ms"),
    "  a switch pressed in Play, drawn anew, p95": (150.0, "ms"),
    "short at every metre of 200 wires": (200.0, "ms"),
    "route and bundle 200 wires": (30.0, "ms"),
    "first weather year of a place": (300.0, "ms"),
    "one design, one hourly year, warm": (10.0, "ms"),
    "mains: all pitches, modes and faults": (300.0, "ms"),
    "mains: faults in a check": (10.0, "ms"),
    "ngspice's process / our solve": (10.0, "x"),
}


def modules() -> list[str]:
    """Return the names of the bench modules, in order."""
    return sorted(path.stem for path in Path(__file__).parent.glob("bench_*.py"))


def measure(name: str) -> list[Row]:
    """Return the rows of one module, objects collected as seldom as in the program itself."""
    gc.set_threshold(*SELDOM_COLLECTED)
    os.environ.setdefault(*ONE_THREAD)
    bench = cast("Callable[[], list[Row]]", importlib.import_module(f"bench.{name}").bench)
    return bench()


def against_target(what: str, figure: float, unit: str) -> tuple[str, str]:
    """Return the target of a row and how much of it was used, as texts; empty if it has none."""
    if what not in TARGETS or TARGETS[what][1] != unit:
        return "", ""
    target = TARGETS[what][0]
    used = target / figure if unit == "x" else figure / target
    return f"{target:g} {unit}", f"{used:.0%}"


def table(rows: Iterable[Row]) -> Table:
    """Lay the rows out."""
    shown = Table(box=None, pad_edge=False)
    for title in ("what", "measured", "", "target", "used"):
        shown.add_column(title, justify="left" if title in ("what", "") else "right", no_wrap=True)
    for what, figure, unit in rows:
        shown.add_row(what, f"{figure:,.4g}", unit, *against_target(what, figure, unit))
    return shown


def main() -> int:
    """Measure everything and print the table; return 1 if a module could not be measured."""
    console = Console(width=None if sys.stdout.isatty() else 120, highlight=False)
    console.print(f"Python {platform.python_version()}, {platform.machine()}, {os.cpu_count()} cores\n")
    rows: list[Row] = []
    failed = False
    for name in modules():
        began = time.perf_counter()
        try:
            rows += measure(name)
        except Exception as reason:
            failed = True
            console.print(f"{name} failed: {type(reason).__name__}: {reason}", markup=False)
            continue
        console.print(f"{name}: measured in {time.perf_counter() - began:.1f} s", style="dim")
    console.print()
    console.print(table(rows))
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
