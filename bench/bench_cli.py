"""The command line as a user meets it: whole processes, from the key press to the prompt."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DEMO = "examples/alderford.yaml"
TIMES = 7


def milliseconds(*command: str) -> float:
    """Return the median time of a process that ends with 0 or 1. [ms]"""
    taken = []
    for _ in range(TIMES):
        began = time.perf_counter()
        done = subprocess.run([sys.executable, *command], cwd=ROOT, capture_output=True, check=False)
        taken.append(time.perf_counter() - began)
        if done.returncode not in (0, 1) or b"Traceback" in done.stderr:
            raise RuntimeError(done.stderr.decode(errors="replace")[-500:])
    return 1000.0 * statistics.median(taken)


def bench() -> list[tuple[str, float, str]]:
    """Return `check` as a fresh process and an empty Python beside them."""
    empty = milliseconds("-c", "pass")
    check = milliseconds("-c", "from loomwright.cli import main; main()", "check", DEMO)
    return [
        ("an empty Python process", empty, "ms"),
        ("check, fresh process", check, "ms"),
        ("check / empty Python", check / empty, "x"),
    ]
