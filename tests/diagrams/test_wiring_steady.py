"""Steadiness: a circuit more at its way moves only what is to its right, on the vans and on random plans.

Planeshed has no fuse box and Saltpan no free way.
"""

from __future__ import annotations

import pytest

from loomwright.diagrams.wiring import wiring_sheets
from loomwright.drawing.scene import Sheet, Wire
from loomwright.plan.edit import apply_edits, edits_from_data
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from tests.plans import random_plan, with_circuit_inserted
from tests.scenarios.lines import EXAMPLES

#: Half of a column: what stands nearer belongs to the new circuit. [mm]
HALF_MM = 9.0
WIDE_MM = 1e4


def with_fan(van: str, way: str, back: str) -> tuple[str, str]:
    """Return a van's text, and the same with a fan on a free way."""
    text = (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")
    run = {
        "from": way,
        "fuse": "3 A",
        "to": "new_fan",
        "area": "1 mm²",
        "length": "2 m",
        "return": {"to": back},
    }
    edits = [
        {"at": "parts.new_fan", "write": {"kind": "fan", "running": "1 A"}},
        {"at": "wiring.new_1", "write": run},
    ]
    return text, apply_edits(text, edits_from_data(edits))


def sheets_of(text: str) -> list[Sheet]:
    return list(wiring_sheets(check_plan(read_plan(text))))


def wires_left_of(sheet: Sheet, x: float) -> set[tuple[object, ...]]:
    """Return the wires that lie wholly left of a line, with their points."""
    wires = (item for item in sheet.items if isinstance(item, Wire) and item.of)
    return {
        (wire.of.id if wire.of else "", tuple((round(px, 2), round(py, 2)) for px, py in wire.points))
        for wire in wires
        if max(px for px, _ in wire.points) < x
    }


def moved_left_of_the_new(before: str, after: str) -> set[tuple[object, ...]]:
    """Return the wires before the new circuit that are not drawn where they were."""
    old, new = sheets_of(before), sheets_of(after)
    starts = [
        (number, min(px for px, _ in item.points))
        for number, sheet in enumerate(new)
        for item in sheet.items
        if isinstance(item, Wire) and item.of and item.of.id.startswith("new_1")
    ]
    assert starts
    number, x = min(starts)
    moved: set[tuple[object, ...]] = set()
    for k in range(number + 1):
        limit = x - HALF_MM if k == number else WIDE_MM
        was = wires_left_of(old[k], limit) if k < len(old) else set()
        moved |= was ^ wires_left_of(new[k], limit)
    return moved


@pytest.mark.parametrize(
    ("van", "way", "back"),
    [
        ("mossgrove", "P1.4", "E2"),
        ("amberquay", "P1.7", "minus_bar"),
        ("highcol", "P1.4", "minus_bar"),
        ("alderford", "FC1.3", "E1"),
    ],
)
def test_a_fan_more_on_a_van(van, way, back):
    assert moved_left_of_the_new(*with_fan(van, way, back)) == set()


@pytest.mark.parametrize(
    ("seed", "wires"),
    [(1, 22), (2, 18), (3, 30), (4, 16), (5, 24), (6, 20), (7, 35), (8, 25), (14, 11), (21, 14)],
)
def test_a_circuit_more_on_a_random_plan(seed, wires):
    text = random_plan(seed, wires)
    assert moved_left_of_the_new(text, with_circuit_inserted(text, 10_000)) == set()
