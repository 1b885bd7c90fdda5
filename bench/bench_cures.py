"""The cures of a generated plan of 60 wires and 30 findings: the first, and all of them."""

from __future__ import annotations

import re
import time

from loomwright import read_text
from loomwright.rules.check import Checked, check_plan
from loomwright.sizing.cures import cures_of
from tests.plans import big_plan

FINDINGS = 30


def bench() -> list[tuple[str, float, str]]:
    """Return the time of the first and of all cures, how many were sought and how many found."""
    checked = ailing()
    began, times, found = time.perf_counter(), [], {}
    for answer in cures_of(checked):
        times.append(time.perf_counter() - began)
        found[answer.number] = answer.cure
    return [
        ("cures of 60 wires: the first", times[0] * 1e3, "ms"),
        ("cures of 60 wires: all", times[-1] * 1e3, "ms"),
        ("  findings of them", float(len(found)), ""),
        ("  without a cure", float(sum(cure is None for cure in found.values())), ""),
    ]


def ailing() -> Checked:
    """Return a checked plan of 60 wires, its circuits made thin one by one until it has 30 findings."""
    text = big_plan(22, 60)
    while True:
        checked = check_plan(read_text(text))
        graded = sum(one.severity != "note" for one in checked.findings)
        thinner, changed = re.subn(
            r"(\n  C\d+: \{.*?area: )(?!0.5)[\d.]+ mm²", r"\g<1>0.5 mm²", text, count=1
        )
        if graded >= FINDINGS or not changed:
            return checked
        text = thinner
