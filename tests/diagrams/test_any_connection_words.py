"""What can be pointed at and read on a wiring sheet, whatever is connected with whatever."""

import pytest

from loomwright.drawing.scene import Symbol
from loomwright.plan.checks import terminal_problem
from loomwright.plan.kinds import terminals
from tests.diagrams.system_plans import VANS, van
from tests.diagrams.test_wiring import sheets


@pytest.mark.parametrize("name", VANS)
def test_a_terminal_on_a_sheet_is_named_as_a_plan_types_it(name: str):
    plan, seen = van(name).assessment.plan, set()
    for sheet in sheets(name):
        for item in sheet.items:
            if item.of and item.of.kind == "terminal":
                part, _, terminal = item.of.id.rpartition(".")
                assert terminal_problem(plan.parts[part], part, terminal, "from") is None
                seen.add(item.of.id)
    for id, part in plan.parts.items():
        if part.kind == "fuse_box":  # the free ones too
            assert {f"{id}.{way}" for way in terminals(part) if way.isdigit()} <= seen


def test_a_free_way_is_drawn_as_its_terminal():
    """Its dashed fuse is pointed at as well as its circle."""
    shown = [i for sheet in sheets("amberquay") for i in sheet.items if isinstance(i, Symbol) and i.of]
    assert {i.sign.name for i in shown if i.of and i.of.id == "P1.8"} == {"way_free", "terminal"}
