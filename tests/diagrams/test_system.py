"""The system sheet: who charges whom, on one sheet, kept apart, steady, whatever the plan holds.

What is asserted of the spacing is measured on the scene, before any writer. The pictures of the six vans are
left in tests/out/system, to be looked at, in colour at A3 and without colour at A4.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pymupdf
import pytest

from loomwright.diagrams.system import COLUMNS, Drawing, draw_field, system_sheets
from loomwright.diagrams.system.graph import CHARGING, SHARED, SOURCES, STORE, USED, build_graph
from loomwright.diagrams.system.moves import least_moves
from loomwright.diagrams.system.route import Turn, _crossings
from loomwright.drawing.frame import FIELD_BOX, column_row
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Sheet, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing import is_finding_sign
from loomwright.drawing.spacing_wires import score, wiring_violations
from loomwright.drawing.svg import to_svg
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan
from tests.plans import big_plan, random_plan

VANS = ("mossgrove", "alderford", "highcol", "amberquay", "saltpan", "planeshed")
EXAMPLES = Path(__file__).parents[2] / "examples"
OUT = Path(__file__).parents[1] / "out" / "system"
#: Right angles only; a wire that passes several columns may turn twice before each of them.
MOST_BENDS = 6


@pytest.fixture(scope="module")
def vans() -> dict[str, Checked]:
    """Return the six example vans, checked."""
    return {van: check_plan(read_plan((EXAMPLES / f"{van}.yaml").read_text("utf-8"), van)) for van in VANS}


@pytest.fixture(scope="module")
def sheets(vans: dict[str, Checked]) -> dict[str, Sheet]:
    """Return their system sheets."""
    return {van: system_sheets(checked)[0] for van, checked in vans.items()}


def broken(sheet: Sheet) -> list[str]:
    """Return the spacing rules that a sheet breaks; bends are counted apart."""
    return [str(found) for found in wiring_violations(sheet.items) if found.rule != "bends"]


def most_bends(sheet: Sheet) -> int:
    return score(sheet.items).most_bends


def texts(sheet: Sheet) -> list[Text]:
    return [text for item in sheet.items for text in texts_of(item)]


def signs_of(sheet: Sheet) -> list[Symbol]:
    """Return the signs of findings in the field."""
    return [
        item
        for item in sheet.items
        if isinstance(item, Symbol) and is_finding_sign(item) and item.at[0] < FIELD_BOX.right
    ]


@cache
def with_consumers(count: int, *, name: str = "") -> Checked:
    """Return a plan whose fuse boxes feed so many consumers."""
    boxes = range(1, (count - 1) // 12 + 2)
    lines = ["loomwright: 1", "title: Many", "region: eu", "parts:"]
    lines += ["  battery: {kind: battery, chemistry: agm, capacity: 100 Ah}", "  bar: {kind: busbar}"]
    lines += [f"  P{box}: {{kind: fuse_box, ways: 12}}" for box in boxes]
    given = f", name: {name}" if name else ""
    lines += [f"  load_{k}: {{kind: load, running: 1.5 A{given}}}" for k in range(count)]
    lines += ["wiring:", "  main: {from: battery, fuse: 150 A bolted, to: bar, area: 35 mm², length: 1 m}"]
    lines += [f"  B{box}: {{from: bar, fuse: 30 A, to: P{box}, area: 6 mm², length: 1 m}}" for box in boxes]
    for k in range(count):
        way = f"P{k // 12 + 1}.{k % 12 + 1}"
        lines.append(
            f"  C{k}: {{from: {way}, fuse: 5 A, to: load_{k}, area: 2.5 mm², length: 3 m, return: wire}}"
        )
    return check_plan(read_plan("\n".join(lines)))


# ---- who charges whom ----


def fields(checked: Checked) -> dict[str, int]:
    return {id: thing.field for id, thing in build_graph(checked.assessment).things.items()}


def lines(checked: Checked) -> dict[str, tuple[str, str]]:
    graph = build_graph(checked.assessment)
    return {tip.wire: (line.start, tip.thing) for line in graph.lines for tip in line.tips if tip.wire}


def test_parts_stand_in_the_field_of_what_they_do(vans):
    """Typed by hand from the example vans."""
    found = fields(vans["alderford"])
    assert found["panel"] == found["alternator"] == found["starter"] == SOURCES
    assert found["b2b"] == found["regulator"] == found["FC1"] == CHARGING
    assert found["leisure"] == STORE
    assert found["FC2"] == found["U1"] == found["S0"] == SHARED
    assert found["pump"] == found["standby"] == USED
    assert fields(vans["amberquay"])["K1"] == CHARGING
    assert "minus_bar" not in fields(vans["saltpan"])
    assert not any(kind in fields(vans["planeshed"]) for kind in ("S1", "saw"))


def test_lines_run_as_the_energy_goes(vans):
    """Typed by hand from the example vans; W3 of Highcol both feeds its bar and charges the battery."""
    alderford = lines(vans["alderford"])
    assert alderford["T1"] == ("regulator", "starter")
    assert alderford["C2"] == ("U1", "kitchen_strip")
    assert alderford["V3"] == ("FC1", "U1")
    assert "H2" not in alderford
    assert "P2_minus" not in alderford
    highcol = build_graph(vans["highcol"].assessment)
    ways = {tip.wire: line.both_ways for line in highcol.lines for tip in line.tips}
    assert ways["W3"]
    assert ways["W3.master"]
    assert not ways["W9"]
    assert not ways["W1"]


def test_control_lines_are_told_from_power(vans):
    for van, wires in {
        "alderford": {"D1", "D2", "X1_1"},
        "amberquay": {"split_coil"},
        "highcol": {"signal"},
    }.items():
        graph = build_graph(vans[van].assessment)
        assert {line.tips[0].wire for line in graph.lines if line.control} == wires
    drawn = {item.of.id: item for item in draw_field(vans["amberquay"].assessment).main.items
             if isinstance(item, Wire) and item.of}  # fmt: skip
    assert drawn["split_coil"].dash
    assert not drawn["split_coil"].colours
    assert drawn["split"].colours == ("RD", "GY")
    assert not drawn["split"].dash


def test_every_part_of_a_plan_is_shown_or_belongs_to_the_minus(vans):
    """Left to the wiring sheet: bars of the minus, what stands in a return, switches in words."""
    told = {"minus_bar", "shunt", "S3", "switch_door", "switch_bed", "S1", "S2"}
    for checked in vans.values():
        drawing = draw_field(checked.assessment)
        shown = set(drawing.main.boxes) | set(drawing.mains.boxes if drawing.mains else ())
        assert set(checked.assessment.plan.parts) - shown <= told
        words = " ".join(text.text for text in texts(system_sheets(checked)[0]))
        for switch in ("S3", "switch_door"):
            if switch in checked.assessment.plan.parts:
                assert f"by {switch}" in words


def test_figures_are_those_of_the_assessment(vans, sheets):
    words = {text.text for text in texts(sheets["mossgrove"])}
    wires = vans["mossgrove"].assessment.wires
    assert f"fuse 60 A · carries {wires['W2'].current_a:.3g} A" in words
    assert "W2 RD 16 mm²" in words
    circuit = vans["mossgrove"].assessment.circuits["W4.pump"]
    assert f"{circuit.running_a:g} A, start {circuit.start_a:g} A" in words


def test_mains_stand_apart_and_are_called_unchecked(vans, sheets):
    for van, checked in vans.items():
        drawing = draw_field(checked.assessment)
        has_mains = any(flat.mains for flat in checked.assessment.wiring.runs.values())
        assert (drawing.mains is not None) == has_mains
        if drawing.mains:
            lowest = max(box.bottom for box in drawing.main.boxes.values())
            assert lowest < drawing.band_top < min(box.top for box in drawing.mains.boxes.values())
            assert any("not checked by this version" in text.text for text in texts(sheets[van]))
            assert all(not item.colours for item in drawing.mains.items if isinstance(item, Wire))


# ---- how it is set ----


@pytest.mark.parametrize("van", VANS)
def test_the_vans_are_well_set(van, sheets):
    assert broken(sheets[van]) == []
    assert most_bends(sheets[van]) <= 2
    assert score(sheets[van].items).crossings <= 2


@pytest.mark.parametrize("van", VANS)
def test_the_room_for_the_day_stays_free(van, vans):
    assert draw_field(vans[van].assessment).main.lowest <= 197.0


@pytest.mark.parametrize(("seed", "wires"), [(0, 5), (1, 12), (2, 25), (3, 40), (4, 60), (5, 90), (0, 120)])
def test_random_vans_are_kept_apart(seed, wires):
    sheet = system_sheets(check_plan(read_plan(random_plan(seed, wires))))[0]
    assert broken(sheet) == []
    assert most_bends(sheet) <= MOST_BENDS
    assert not any("see the wiring sheet" in text.text for text in texts(sheet))


@pytest.mark.parametrize("count", [3, 8, 20, 40, 60])
def test_up_to_sixty_consumers_stand_on_the_sheet(count):
    checked = with_consumers(count)
    drawing = draw_field(checked.assessment)
    sheet = system_sheets(checked)[0]
    assert drawing.left_out == 0
    assert {f"load_{k}" for k in range(count)} <= set(drawing.main.boxes)
    assert broken(sheet) == []
    shown = {text.text for text in texts(sheet)}
    assert {f"load_{k}" for k in range(count)} <= shown
    assert min(text.size for text in texts(sheet)) >= 2.5


def test_sixty_circuits_of_two_hundred_wires_stand_on_the_sheet():
    sheet = system_sheets(check_plan(read_plan(big_plan())))[0]
    assert broken(sheet) == []
    assert most_bends(sheet) <= 2
    assert not any("see the wiring sheet" in text.text for text in texts(sheet))


def test_what_has_no_room_is_counted():
    drawing = draw_field(with_consumers(72).assessment)
    assert drawing.left_out > 0
    words = [text.text for text in texts(system_sheets(with_consumers(72))[0])]
    assert f"and {drawing.left_out} more, see the wiring sheet" in words


def test_same_plan_same_bytes(vans):
    once, again = (to_svg(system_sheets(vans["alderford"])[0], inline_fonts=True) for _ in range(2))
    assert once == again


@pytest.mark.parametrize("count", [5, 9, 40, 58])
def test_one_more_consumer_at_the_end_moves_no_other(count):
    before, after = (draw_field(with_consumers(n).assessment).main for n in (count, count + 1))
    assert {id: box for id, box in after.boxes.items() if id.startswith("load")}.items() >= {
        id: box for id, box in before.boxes.items() if id.startswith("load")
    }.items()


# ---- findings ----


@pytest.mark.parametrize("van", VANS)
def test_the_margin_names_the_spot_of_each_sign(van, vans, sheets):
    signs = {sign.of.id: sign.at for sign in signs_of(sheets[van])}
    assert len(signs) == len(vans[van].findings)
    margin = [text for text in texts(sheets[van]) if text.of and text.at[0] > FIELD_BOX.right]
    for number, at in signs.items():
        entry = [text.text for text in margin if text.of.id == number]
        assert not entry or column_row(at, COLUMNS) in entry


@pytest.mark.parametrize("van", VANS)
def test_signs_stand_near_what_they_mean(van, vans):
    checked = vans[van]
    drawing = draw_field(checked.assessment)
    sheet = system_sheets(checked)[0]
    for sign in signs_of(sheet):
        assert nearest(drawing, checked, int(sign.of.id), sign) <= 12.0


def nearest(drawing: Drawing, checked: Checked, number: int, sign: Symbol) -> float:
    """Return how far a sign stands from the boxes and wires that its finding names."""
    finding = checked.findings[number - 1]
    ids = {finding.where, *finding.also}
    job = checked.assessment
    runs = {job.wires[id].run for id in ids if id in job.wires} | ids
    boxes = [
        box
        for shown in (drawing.main, drawing.mains)
        if shown
        for id, box in shown.boxes.items()
        if id in ids
    ]
    for shown in (drawing.main, drawing.mains):
        for item in shown.items if shown else ():
            if (
                isinstance(item, Wire)
                and item.of
                and item.of.id in job.wires
                and job.wires[item.of.id].run in runs
            ):
                boxes += [
                    replace(item, points=pair).box()
                    for pair in zip(item.points, item.points[1:], strict=False)
                ]
    return min(box.gap(sign.box()) for box in boxes)


# ---- hostile names ----

HOSTILE = (
    "'</svg><script>x()</script>'",
    "'\"quoted'' \"'",
    "'\u202eשלום مرحبا'",
    "'🚐🔋 van'",
    f"'{'w' * 300}'",
    "'=cmd|calc'",
    f"'{'long name ' * 30}'",
)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("count", [4, 30])
def test_hostile_names_stay_text_in_their_box(name, count):
    checked = with_consumers(count, name=name)
    sheet = system_sheets(checked)[0]
    assert broken(sheet) == []
    drawing = draw_field(checked.assessment)
    for item in drawing.main.items:
        if isinstance(item, Text) and item.of and item.of.kind == "part" and item.of.id.startswith("load"):
            assert drawing.main.boxes[item.of.id].holds(item.box())
    svg = to_svg(sheet, inline_fonts=False)
    assert b"<script" not in svg
    assert svg.count(b"</svg>") == 1


# ---- the parts of the layout ----


def test_least_moves_against_trying_all():
    """Isotonic under absolute moves: no rising sequence of the wished values costs less (tried in full)."""
    wishes = [3.0, 1.0, 2.0, 5.0, 4.0]
    got = least_moves(wishes)
    assert got == sorted(got)

    def best(rest: list[float], low: float) -> float:
        if not rest:
            return 0.0
        return min(abs(v - rest[0]) + best(rest[1:], v) for v in sorted(set(wishes)) if v >= low)

    assert sum(abs(a - b) for a, b in zip(got, wishes, strict=True)) == best(wishes, 0.0)


def test_crossings_of_two_turns_by_hand():
    """Two lines that part without passing each other cross twice if the wrong one turns first."""
    upper, lower = Turn(None, (10.0,), (5.0,)), Turn(None, (20.0,), (8.0,))
    assert (_crossings(upper, lower), _crossings(lower, upper)) == (0, 2)


# ---- to be looked at ----


@pytest.mark.parametrize("van", VANS)
def test_pictures_to_look_at(van, sheets):
    """Colour at A3; without colour at the size of A4, in which the smallest letters still have 7 dots."""
    OUT.mkdir(parents=True, exist_ok=True)
    with pymupdf.open(stream=to_pdf([sheets[van]])) as document:
        page = document[0]
        page.get_pixmap(dpi=110).save(OUT / f"{van}.png")
        grey = page.get_pixmap(dpi=106, colorspace=pymupdf.csGRAY)
        grey.save(OUT / f"{van}-a4-grey.png")
    assert min(text.size for text in texts(sheets[van])) * 106 / 25.4 > 7
