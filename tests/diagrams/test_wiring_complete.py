"""The check inside the wiring diagram that no wire is left out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from loomwright import read_text
from loomwright.diagrams.wiring.draw import _assert_complete, wiring_sheets
from loomwright.drawing.scene import Drawn, Link, Sheet, Wire
from loomwright.rules.check import check_plan
from tests.plans import random_plan

CHECKED = check_plan(read_text(random_plan(3, 40)))
SHEETS = wiring_sheets(CHECKED)
LINKS = [item.of for sheet in SHEETS for item in sheet.items if isinstance(item, Wire) and item.of]
WIRES = sorted({of.id for of in LINKS if of.kind == "wire"})


def _wire(item: Drawn, id: str) -> bool:
    return isinstance(item, Wire) and item.of == Link("wire", id)


def _without(id: str, instead: Iterable[Drawn] = ()) -> list[Sheet]:
    """Return the sheets without the lines of one wire, with other items instead."""
    left = [replace(sheet, items=tuple(i for i in sheet.items if not _wire(i, id))) for sheet in SHEETS]
    return [replace(left[0], items=(*left[0].items, *instead)), *left[1:]]


def test_the_sheets_as_drawn_are_complete():
    _assert_complete(CHECKED.assessment, SHEETS)


@pytest.mark.parametrize("id", [WIRES[0], WIRES[len(WIRES) // 2], WIRES[-1]])
def test_a_wire_that_is_left_out_is_noticed(id: str):
    with pytest.raises(AssertionError, match="wires that are not drawn: "):
        _assert_complete(CHECKED.assessment, _without(id))


def test_a_line_without_length_or_of_another_thing_is_not_the_wire():
    id = WIRES[0]
    point = Wire(((50.0, 50.0), (50.0, 50.0)), 1.0, of=Link("wire", id))
    lead = Wire(((50.0, 50.0), (50.0, 60.0)), 1.0, of=Link("stud", id))
    with pytest.raises(AssertionError, match=id):
        _assert_complete(CHECKED.assessment, _without(id, [point, lead]))
