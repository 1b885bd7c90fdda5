"""The same van on every pitch: all pitches, earths, polarities, modes and faults of an example van."""

from __future__ import annotations

import time

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.mains.tried import tried
from loomwright.web.examples import example_text
from tests.mains.cases import every_case

TIMES = 5


def bench() -> list[tuple[str, float, str]]:
    """Return the time of all cases of a van, and that of the faults which every check works out."""
    plan = read_text(example_text("amberquay"))
    all_ms, check_ms, count = [], [], 0
    for _ in range(TIMES):
        side = assess(plan).mains
        began = time.perf_counter()
        assert side.faults
        check_ms.append((time.perf_counter() - began) * 1e3)
        side = assess(plan).mains
        cases = list(every_case(side))
        began = time.perf_counter()
        count = sum(bool(tried(side.case_nets, case).touches) for case in cases)
        all_ms.append((time.perf_counter() - began) * 1e3)
    return [
        ("mains: all pitches, modes and faults", min(all_ms), "ms"),
        ("  so many cases", float(count), ""),
        ("mains: faults in a check", min(check_ms), "ms"),
    ]
