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
#: The first few, and such as once broke a sheet: an arrowhead on a dot, words on a thick wire, on the edge of
#: a narrow box or beyond the cell of signs, a joint that feeds the unit it hangs from, too little height.
SEEDS = (*range(4), 14, 16, 20, 30, 66, 68, 130, 188, 303, 311, 338, 368)
#: Each of these once broke a sheet: a load fed twice, wires out of a combined unit and in again, a feed into
#: a way, a ring of feeds, a panel's minus on a stud, a load on the alternator alone; boxes across the outline
#: of another thing, a panel close to its unit, feeds too long for one sheet, a bar through a fuse, a ring on
#: one rail, a way on a port that goes nowhere, free ways in a line and across one, two wires on the minus of
#: a relay.
AWKWARD: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    ("alderford", (("U1.way_11", "bed_strip"),)),
    ("alderford", (("U1.VB", "U1.way_5"),)),
    ("alderford", (("FC1.in", "U1.way_4"),)),
    ("highcol", (("S2", "plus_bar"),)),
    ("mossgrove", (("panel.minus", "E1"),)),
    ("planeshed", (("lamps", "alternator.plus"),)),
    ("amberquay", (("switch_bed.com", "P1.2"), ("step_light.plus", "K1.87"))),
    ("alderford", (("S0.light", "FC1.2"),)),
    ("alderford", (("FC2.3", "co_alarm.plus"), ("roof_lights.plus", "U1.X1_3"))),
    ("alderford", (("usb_bed.plus", "FC2.2"), ("S3.out", "FC2.1"))),
    ("alderford", (("E0", "b2b.minus"), ("U1.VB", "U1.way_8"), ("roof_lights.plus", "S0.pump"))),
    ("alderford", (("U1.X1_8", "regulator.second"), ("FC1.3", "leisure.plus"), ("b2b.panel", "S0.light"))),
    ("alderford", (("U1.way_9", "b2b.out"),)),
    ("saltpan", (("pump.plus", "master.out"),)),
    ("planeshed", (("b2b.probe", "regulator.panel_minus"),)),
    ("highcol", (("P1.5", "b2b.signal"), ("lamps.plus", "P1.5"))),
    ("highcol", (("charger", "starter"),)),
    ("alderford", (("co_alarm.plus", "U1.way_8"),)),
    ("alderford", (("U1.way_10", "U1.DP"),)),
    ("alderford", (("co_alarm.plus", "FC1.1"), ("U1.LB", "regulator.panel"))),
    ("mossgrove", (("regulator.panel_minus", "relay.minus"), ("body", "relay.minus"))),
)


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


def assert_drawn(checked: Checked, sheets: tuple[Sheet, ...]) -> None:
    """Every wire stands on a sheet, within its field, as the rules of spacing ask."""
    wires = [item for sheet in sheets for item in sheet.items if isinstance(item, Wire)]
    assert set(low_wires(checked.assessment.wiring)) <= {wire.of.id for wire in wires if wire.of}
    assert all(FIELD_BOX.holds(box_of_points(wire.points)) for wire in wires)
    assert [str(fault) for sheet in sheets for fault in wiring_violations(sheet.items)] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_any_connection_is_drawn(seed: int):
    van, runs = any_runs(seed)
    assert_drawn(*connected(van, *runs))


@pytest.mark.parametrize(("van", "runs"), AWKWARD)
def test_awkward_connections_are_drawn(van: str, runs: tuple[tuple[str, str], ...]):
    assert_drawn(*connected(van, *runs))


def test_most_of_these_plans_have_new_wires():
    """The seeds try something: few runs are refused."""
    assert sum(len(any_runs(seed)[1]) for seed in SEEDS) >= 1.5 * len(SEEDS)


def test_a_sheet_that_is_too_full_is_drawn_as_two():
    """Two more feeds through a combined unit, and one sheet has no height left for them."""
    van, runs = AWKWARD[8]
    (_, before), (checked, after) = connected(van), connected(van, *runs)
    assert len(after) > len(before)
    assert_drawn(checked, after)
