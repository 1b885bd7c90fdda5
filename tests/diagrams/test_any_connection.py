"""Vans to which wires were added from any part to any other, sense or none: all of it is drawn, and apart."""

from functools import cache
from pathlib import Path
from random import Random

import pytest

from loomwright.diagrams.wiring import wiring_sheets
from loomwright.diagrams.wiring.network import low_wires
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import box_of_points
from loomwright.drawing.scene import Sheet, Wire
from loomwright.drawing.spacing_wires import wiring_violations
from loomwright.errors import PlanError
from loomwright.plan.changes.candidates import candidates
from loomwright.plan.changes.connect import connect
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
SEEDS = range(36)
#: A load fed twice, wires out of a combined unit and in again, a feed into a way, a ring of feeds, a panel's
#: minus on a stud, a load on the alternator alone: each once broke a sheet.
AWKWARD = (
    ("alderford", ("U1.way_11", "bed_strip")),
    ("alderford", ("U1.VB", "U1.way_5")),
    ("alderford", ("FC1.in", "U1.way_4")),
    ("highcol", ("S2", "plus_bar")),
    ("mossgrove", ("panel.minus", "E1")),
    ("planeshed", ("lamps", "alternator.plus")),
)
#: What words and their signs take is another matter, with tests of its own.
OF_WORDS = ("text on ink", "text on text", "sign on something", "symbol on symbol")


@cache
def connected(van: str, *runs: tuple[str, str]) -> tuple[Checked, tuple[Sheet, ...]]:
    """Return an example with runs added, checked, and its wiring diagram."""
    text = next(path for path in EXAMPLES if path.stem == van).read_text(encoding="utf-8")
    for start, end in runs:
        text = apply_edits(text, connect(read_plan(text), start, end).edits)
    checked = check_plan(read_plan(text))
    return checked, wiring_sheets(checked)


@cache
def any_runs(seed: int) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return an example and one to four runs that can be added to it, from any part to what it may go to."""
    random = Random(seed)
    path = random.choice(EXAMPLES)
    text, runs = path.read_text(encoding="utf-8"), []
    for _ in range(random.randint(1, 4)):
        plan = read_plan(text)
        start = random.choice([*plan.parts, *plan.studs])
        ends = candidates(plan, start)[:12]
        try:
            end = random.choice(ends).end if ends else ""
            text = apply_edits(text, connect(plan, start, end).edits)
            read_plan(text)
        except PlanError:
            continue
        runs.append((start, end))
    return path.stem, tuple(runs)


def faults(sheet: Sheet) -> list[str]:
    """Return what is wrong with the lines of a sheet."""
    return [str(fault) for fault in wiring_violations(sheet.items) if fault.rule not in OF_WORDS]


def assert_drawn(checked: Checked, sheets: tuple[Sheet, ...]) -> None:
    """Every wire stands on a sheet, within its field, as the rules of spacing ask."""
    wires = [item for sheet in sheets for item in sheet.items if isinstance(item, Wire)]
    assert set(low_wires(checked.assessment.wiring)) <= {wire.of.id for wire in wires if wire.of}
    assert all(FIELD_BOX.holds(box_of_points(wire.points)) for wire in wires)
    assert [fault for sheet in sheets for fault in faults(sheet)] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_any_connection_is_drawn(seed: int):
    van, runs = any_runs(seed)
    assert_drawn(*connected(van, *runs))


@pytest.mark.parametrize(("van", "run"), AWKWARD)
def test_awkward_connections_are_drawn(van: str, run: tuple[str, str]):
    assert_drawn(*connected(van, run))


def test_most_of_these_plans_have_new_wires():
    """The seeds try something: few runs are refused."""
    assert sum(len(any_runs(seed)[1]) for seed in SEEDS) >= 1.5 * len(SEEDS)
