"""The wiring diagram of a generated van, from its finished assessment, and its writers."""

from __future__ import annotations

import time
from collections.abc import Callable

from loomwright import read_text
from loomwright.diagrams.wiring import wiring_sheets
from loomwright.drawing.dxf import to_dxf
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.svg import to_svg
from loomwright.rules.check import check_plan
from tests.plans import big_plan

TIMES = 5


def bench() -> list[tuple[str, float, str]]:
    """Return layout and the three writers, each alone."""
    checked = check_plan(read_text(big_plan(60, 200)))
    sheets = wiring_sheets(checked)
    return [
        ("wiring sheets, 200 wires, layout", _ms(lambda: wiring_sheets(checked)), "ms"),
        ("  as SVG", _ms(lambda: [to_svg(sheet, inline_fonts=False) for sheet in sheets]), "ms"),
        ("  as PDF", _ms(lambda: to_pdf(sheets), 2), "ms"),
        ("  as DXF", _ms(lambda: [to_dxf(sheet) for sheet in sheets], 2), "ms"),
    ]


def _ms(work: Callable[[], object], times: int = TIMES) -> float:
    """Return the shortest time of several runs. [ms]"""
    best = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best * 1e3
