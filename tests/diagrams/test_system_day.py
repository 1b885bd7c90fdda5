"""A mean day on the system sheet: what goes along each wire, how wide its band is, what is left."""

from __future__ import annotations

import json
from collections import defaultdict

import pytest
from click.testing import CliRunner

from loomwright import draw
from loomwright.assessment.energy.day_flows import day_flows, months_of_use
from loomwright.assessment.energy.days import days_of_use
from loomwright.cli import commands
from loomwright.diagrams.system import draw_field, system_sheets
from loomwright.diagrams.system.day_bands import sums_of
from loomwright.diagrams.system.graph import build_graph
from loomwright.drawing.scene import Band, Sheet, Wire
from loomwright.errors import NoSuchModeError
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from tests.diagrams.system_plans import EXAMPLES, VANS, broken, texts, van, van_sheet


def along(name: str, month: str = "") -> dict[str, dict[str, float]]:
    """Return what goes along each drawn wire, by its id. [Ah]"""
    job = van(name).assessment
    flows = day_flows(job, month)
    strands = draw_field(job).main.strands
    sums = sums_of(flows, strands, build_graph(job), job)
    return {strands[place].wire: one for place, one in sums.items()}


@pytest.mark.parametrize("name", VANS)
def test_the_day_is_that_of_the_smallest_margin(name):
    job = van(name).assessment
    flows, days = day_flows(job), days_of_use(job)
    assert flows.month == min(days, key=lambda one: one.days).month
    day = next(one for one in days if one.month == flows.month)
    assert flows.sum_ah("use") == pytest.approx(sum(one.ah for one in day.takes))
    assert flows.sum_ah("sun", "driving") == pytest.approx(day.snow * (day.sun_ah or 0.0) + day.driven_ah)
    assert flows.left_ah == pytest.approx(max(flows.usable_ah - max(flows.net_ah, 0.0), 0.0))


def test_ampere_hours_go_the_way_of_the_wires():
    """Typed by hand from the example vans: the way of each flow, and that what comes in goes out again."""
    alderford = along("alderford")
    assert alderford["P1"] == alderford["P2"]
    assert alderford["P2"].keys() == {"sun"}
    both = alderford["FC2_post"]
    assert both == pytest.approx({"sun": alderford["P2"]["sun"], "use": alderford["H1"]["use"]})
    assert "V1" not in alderford  # nobody drives in October
    ways = [f"C{n}" for n in range(1, 10)]
    assert sum(alderford[way]["use"] for way in ways if way in alderford) == pytest.approx(both["use"])
    saltpan = along("saltpan")
    assert saltpan["W6"]["use"] == pytest.approx(18.0)  # 6 h of 3 A, from the lower battery alone
    standby = 24.0 * 0.15 * 12.0 / (24.0 * 0.92)  # behind the converter, without a wire of its own
    assert saltpan["W2"]["use"] == pytest.approx(saltpan["W3"]["use"] + standby, rel=1e-3)
    assert saltpan["W1"]["use"] == pytest.approx(saltpan["W2"]["use"])
    highcol = along("highcol")
    assert highcol["W1"] == highcol["W2"] == {"driving": pytest.approx(30.0)}  # 45 min of 40 A
    joined = {
        "driving": 30.0,
        "sun": highcol["W8"]["sun"],
        "use": highcol["W4"]["use"] + highcol["W9"]["use"],
    }
    assert highcol["W3"] == pytest.approx(joined)
    assert along("mossgrove")["W1.relay"]["driving"] == along("mossgrove")["W1"]["driving"]


@pytest.mark.parametrize("name", VANS)
def test_bands_are_as_wide_as_their_ampere_hours_and_keep_apart(name):
    """What shows beside a wire has one scale, but for the thinnest, which are drawn wider."""
    sheet, sums = van_sheet(name), along(name)
    halves = {item.of.id: item.half_width for item in sheet.items if isinstance(item, Wire)}
    wide: defaultdict[str, float] = defaultdict(float)
    for band in bands_of(sheet):
        wide[band.of.id] += 2.0 * band.half_width
    assert wide.keys() == {wire for wire in sums if wire}
    shows = {wire: width - 2.0 * halves[wire] for wire, width in wide.items()}
    alone = [wire for wire in shows if len(sums[wire]) == 1 and shows[wire] > 0.6]
    scales = [shows[wire] / sum(sums[wire].values()) for wire in alone]
    assert max(scales, default=0.0) == pytest.approx(min(scales, default=0.0), rel=1e-6)
    assert max(shows.values(), default=0.0) <= 8.0 + 0.5
    assert broken(sheet) == []


def bands_of(sheet: Sheet) -> list[Band]:
    return [item for item in sheet.items if isinstance(item, Band) and item.of.kind == "wire"]


@pytest.mark.parametrize("month", ["feb", "jul"])
def test_another_month_is_drawn_when_asked_for(month):
    (sheet,) = system_sheets(van("alderford"), month)
    said = [text.text for text in texts(sheet)]
    name = {"feb": "February", "jul": "July"}[month]
    assert f"A mean day in {name}, Ah at the battery" in said
    assert f"A mean day in {name}" in sheet.description
    assert broken(sheet) == []


def test_without_use_or_month_nothing_changes():
    assert bands_of(system_sheets(van("alderford"), "none")[0]) == []
    text = (
        "loomwright: 1\ntitle: A\nregion: uk\nparts: {b: {kind: battery, chemistry: agm, capacity: 95 Ah}}\n"
    )
    bare = check_plan(read_plan(text))
    assert system_sheets(bare) == system_sheets(bare, "none")


def test_the_command_takes_a_month_and_refuses_others(tmp_path):
    plan = EXAMPLES / "mossgrove.yaml"
    ran = CliRunner().invoke(
        commands, ["draw", str(plan), "--sheet", "system", "--month", "oct", "--out", str(tmp_path), "--json"]
    )
    (path,) = json.loads(ran.stdout)
    assert path.endswith("system-oct-1.svg")
    assert months_of_use(van("mossgrove").assessment) == ("jul", "oct")
    for sheet, month in (("system", "jan"), ("system", "june"), ("wiring", "jul")):
        with pytest.raises(NoSuchModeError, match="month"):
            draw(van("mossgrove").assessment.plan, sheet, month=month)
