"""The system sheet: who charges whom, on one sheet, kept apart, steady, whatever the plan holds.

What is asserted of the spacing is measured on the scene, before any writer. The pictures of the six vans are
left in tests/out/system, to be looked at, in colour at A3 and without colour at A4.
"""

from pathlib import Path

import pymupdf
import pytest

from loomwright.diagrams.system import draw_field, system_sheets
from loomwright.diagrams.system.graph import CHARGING, SHARED, SOURCES, STORE, USED, build_graph
from loomwright.diagrams.system.moves import least_moves
from loomwright.diagrams.system.route import Turn, _crossings
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Sheet, Text, Wire
from loomwright.drawing.spacing_wires import score
from loomwright.drawing.svg import to_svg
from loomwright.rules.check import Checked
from tests.diagrams.system_plans import VANS, broken, most_bends, texts, van, van_sheet, with_consumers

OUT = Path(__file__).parents[1] / "out" / "system"


@pytest.fixture(scope="module")
def vans() -> dict[str, Checked]:
    """Return the six example vans, checked."""
    return {name: van(name) for name in VANS}


@pytest.fixture(scope="module")
def sheets() -> dict[str, Sheet]:
    """Return their system sheets."""
    return {name: van_sheet(name) for name in VANS}


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
    for name, wires in {
        "alderford": {"D1", "D2", "X1_1"},
        "amberquay": {"split_coil"},
        "highcol": {"signal"},
    }.items():
        graph = build_graph(vans[name].assessment)
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


@pytest.mark.parametrize("name", VANS)
def test_facts_are_told_whole(name, sheets):
    """No line in a box is cut: what has no room is left out, the least telling first; names end at a word."""
    parts = van(name).assessment.plan.parts
    cut = [text.text for text in texts(sheets[name]) if text.of and text.text.endswith("…")]
    given = [part.name for part in parts.values() if part.name]
    assert all(any(line.removesuffix("…").strip("· ") in word for word in given) for line in cut)
    assert not any(line.startswith("charge up") for line in cut)


def test_why_a_thing_has_no_wire(sheets):
    """A sum of small currents never has one, `wired: no` is left out of the plan: by the plan's format."""
    words = [text.text for text in texts(sheets["saltpan"])]
    assert "a sum, no wire of its own" in words
    assert "not wired in this plan" in words
    assert "no wire yet" not in words


@pytest.mark.parametrize("name", VANS)
def test_margin_says_what_check_says(name, vans, sheets):
    """Word for word, for each finding that the margin has room for."""
    margin = [text for text in texts(sheets[name]) if text.of and text.at[0] > FIELD_BOX.right]
    for number, finding in enumerate(vans[name].findings, 1):
        entry = [text.text for text in margin if text.of.id == str(number) and text.size == 2.9]
        said = " ".join(entry).casefold()
        assert not entry or finding.says.casefold() in said
        assert not entry or finding.severity == "note" or finding.do.casefold() in said


@pytest.mark.parametrize("name", VANS)
def test_currents_are_those_of_the_assessment(name, vans, sheets):
    """Each "carries" of a label is the largest current of its line's wires, to three figures."""
    wires = vans[name].assessment.wires
    lines_of = {strand.wire: strand.line for strand in draw_field(vans[name].assessment).main.strands}
    for text in texts(sheets[name]):
        if "carries" in text.text and text.of and text.of.id in lines_of:
            currents = [wires[id].current_a for id in lines_of[text.of.id].wires if id in wires]
            assert f"carries {max(abs(a) for a in currents if a is not None):.3g} A" in text.text


def test_figures_are_those_of_the_assessment(vans, sheets):
    words = {text.text for text in texts(sheets["mossgrove"])}
    wires = vans["mossgrove"].assessment.wires
    assert f"fuse 60 A · carries {wires['W2'].current_a:.3g} A" in words
    assert "W2 RD 16 mm²" in words
    circuit = vans["mossgrove"].assessment.circuits["W4.pump"]
    assert f"{circuit.running_a:g} A, start {circuit.start_a:g} A" in words


def test_mains_stand_apart(vans, sheets):
    for name, checked in vans.items():
        drawing = draw_field(checked.assessment)
        has_mains = any(flat.mains for flat in checked.assessment.wiring.runs.values())
        assert (drawing.mains is not None) == has_mains
        if drawing.mains:
            lowest = max(box.bottom for box in drawing.main.boxes.values())
            assert lowest < drawing.band_top < min(box.top for box in drawing.mains.boxes.values())
            assert any("its own sheet tells more" in text.text for text in texts(sheets[name]))
            assert all(not item.colours for item in drawing.mains.items if isinstance(item, Wire))


# ---- how it is set ----


@pytest.mark.parametrize("name", VANS)
def test_the_vans_are_well_set(name, sheets):
    assert broken(sheets[name]) == []
    assert most_bends(sheets[name]) <= 2
    assert score(sheets[name].items).crossings <= 2


@pytest.mark.parametrize("name", VANS)
def test_the_room_for_the_day_stays_free(name, vans):
    assert draw_field(vans[name].assessment).main.lowest <= 197.0


def test_same_plan_same_bytes(vans):
    once, again = (to_svg(system_sheets(vans["alderford"])[0], inline_fonts=True) for _ in range(2))
    assert once == again


@pytest.mark.parametrize("count", [5, 9, 40, 58])
def test_one_more_consumer_at_the_end_moves_no_other(count):
    before, after = (draw_field(with_consumers(n).assessment).main for n in (count, count + 1))
    assert {id: box for id, box in after.boxes.items() if id.startswith("load")}.items() >= {
        id: box for id, box in before.boxes.items() if id.startswith("load")
    }.items()


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


@pytest.mark.parametrize("name", VANS)
def test_pictures_to_look_at(name, sheets):
    """Colour at A3; without colour at the size of A4, in which the smallest letters still have 7 dots."""
    OUT.mkdir(parents=True, exist_ok=True)
    with pymupdf.open(stream=to_pdf([sheets[name]])) as document:
        page = document[0]
        page.get_pixmap(dpi=110).save(OUT / f"{name}.png")
        grey = page.get_pixmap(dpi=106, colorspace=pymupdf.csGRAY)
        grey.save(OUT / f"{name}-a4-grey.png")
    assert min(text.size for text in texts(sheets[name])) * 106 / 25.4 > 7
