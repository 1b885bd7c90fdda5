"""A whole van worked out and judged, warm: a generated one of 60 circuits and 200 wires, and the demo van."""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

from loomwright import read_text
from loomwright.assessment.assess import Corners, assess
from loomwright.assessment.banded import bands_of
from loomwright.assessment.modes import Modes
from loomwright.assessment.weak_joints import weak_joints
from loomwright.rules.check import check_plan
from loomwright.rules.registry import Job, run_rules
from tests.plans import big_plan, random_plan

DEMO = Path(__file__).resolve().parent.parent / "examples" / "alderford.yaml"
TIMES = 9


def bench() -> list[tuple[str, float, str]]:
    """Return reading, working out and judging, each alone and together; and what choosing costs."""
    text, demo = big_plan(60, 200), DEMO.read_text(encoding="utf-8")
    big, small = read_text(text), read_text(demo)
    turn = count()  # a text that was just read is not parsed again
    fresh = iter([assess(big) for _ in range(6)])
    corners = Corners(big)
    done, chosen = assess(big), read_text(random_plan(4, 40))
    return [
        ("assess 60 circuits, 200 wires, warm", _ms(lambda: check_plan(big)), "ms"),
        ("  of it the figures at one end", _ms(lambda: assess(big)), "ms"),
        ("  of it the rules, once", _ms(lambda: list(run_rules(Job(done)))), "ms"),
        ("bands of all its figures", _ms(lambda: bands_of(corners), 5), "ms"),
        ("all modes of 60 circuits", _ms(lambda: Modes(done.wiring, done.standing).figures), "ms"),
        ("  and every state of its switches", _ms(lambda: Modes(done.wiring, done.standing).sweep), "ms"),
        (
            "  and what flows in each",
            _ms(lambda: [done.flows.of(one) for one in done.modes.figures.values()], 3),
            "ms",
        ),
        ("every break of 60 circuits", _ms(lambda: list(next(fresh).breaks.every), 3), "ms"),
        ("  and every joint worn", _ms(lambda: weak_joints(next(fresh)), 3), "ms"),
        ("read its text (60 circuits)", _ms(lambda: read_text(f"{text}# {next(turn)}\n"), 3), "ms"),
        ("assess the demo van, warm", _ms(lambda: check_plan(small)), "ms"),
        ("assess and choose, 40 wires, warm", _ms(lambda: check_plan(chosen)), "ms"),
    ]


def _ms(work: Callable[[], object], times: int = TIMES) -> float:
    """Return the shortest time of several runs. [ms]"""
    best = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best * 1e3
