"""A fuse whose lack is a danger is drawn where it should be: a dashed red outline on its wire."""

from __future__ import annotations

import re
from io import StringIO

import ezdxf
import pymupdf
import pytest

from loomwright.diagrams.wiring import wiring_sheets
from loomwright.drawing.dxf import to_dxf
from loomwright.drawing.ink import DAY
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Link, Sheet, Symbol, Wire, texts_of
from loomwright.drawing.spacing import is_finding_sign
from loomwright.drawing.spacing_wires import bend_faults, wiring_violations
from loomwright.drawing.svg import to_svg
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from loomwright.sizing.cures import cures_of
from tests.diagrams.test_wiring import EXAMPLES, VANS, checked, sheets
from tests.diagrams.test_wiring_plans import own
from tests.plans import random_plan
from tests.rules.base import WIRE, plan

#: The wires of the six vans that lack a fuse, and the end: the post of the battery that is nearest.
LACKING = {"mossgrove": ("W1", "leisure.plus"), "alderford": ("T1", "starter.plus")}
#: A point of type in a millimetre.
POINT = 72.0 / 25.4


def drawn(text: str) -> tuple[Sheet, ...]:
    """Return the wiring diagram of a plan's text."""
    return wiring_sheets(check_plan(read_plan(text)))


def outlines(sheets: tuple[Sheet, ...]) -> list[tuple[Sheet, Symbol]]:
    """Return the outlines of missing fuses in the drawing itself, not in the legend."""
    return [
        (sheet, item)
        for sheet in sheets
        for item in sheet.items
        if isinstance(item, Symbol) and item.sign.name == "fuse_missing" and item.layer != "frame"
    ]


def through(sheet: Sheet, outline: Symbol) -> Wire:
    """Return the one stretch of wire that runs through an outline, unbroken."""
    (x, y) = outline.at
    (wire,) = (
        item
        for item in sheet.items
        if isinstance(item, Wire)
        and {at for at, _ in item.points[:2]} == {x}
        and item.points[0][1] < y - 5.0 < y + 5.0 < item.points[1][1]
    )
    return wire


@pytest.mark.parametrize("van", VANS)
def test_only_the_vans_with_the_danger_have_one_outline(van: str):
    found = [outline.of for _, outline in outlines(sheets(van))]
    assert found == ([Link("wire", LACKING[van][0])] if van in LACKING else [])


@pytest.mark.parametrize("van", LACKING)
def test_it_stands_on_the_wire_next_to_the_rail_of_the_battery(van: str):
    """On the whole wire, not between two ends of it: nothing there opens."""
    ((sheet, outline),) = outlines(sheets(van))
    wire = through(sheet, outline)
    assert wire.of == outline.of == Link("wire", LACKING[van][0])
    assert wire.colours
    rail = wire.points[0][1]
    assert 3.0 < outline.at[1] - 5.0 - rail < 8.0
    dots = {item.of for item in sheet.items if isinstance(item, Symbol) and item.at == (outline.at[0], rail)}
    assert dots == {Link("part", LACKING[van][1].removesuffix(".plus"))}


@pytest.mark.parametrize("van", LACKING)
def test_the_sign_of_its_finding_stands_beside_it_and_nothing_is_written(van: str):
    ((sheet, outline),) = outlines(sheets(van))
    number = next(n for n, f in enumerate(checked(van).findings, 1) if f.rule == "missing_fuse")
    signs = {
        item.of: item.box() for item in sheet.items if is_finding_sign(item) and item.box().right < 361.4
    }
    sign = signs[Link("finding", str(number))]
    assert 0.0 < sign.gap(outline.box()) <= 4.0
    assert abs(sign.centre[1] - outline.at[1]) <= 5.0
    words = [text.text for item in sheet.items for text in texts_of(item) if item.layer == "text"]
    assert not [text for text in words if text == "? A" or "no fuse" in text]


@pytest.mark.parametrize("van", LACKING)
def test_svg_pdf_and_dxf_show_it_dashed_and_red(van: str):
    ((sheet, outline),) = outlines(sheets(van))
    svg = to_svg(sheet, inline_fonts=False).decode()
    assert re.search(rf'stroke="{DAY["danger"]}" stroke-width="0.6" stroke-dasharray="1.4 0.9"', svg)
    page = pymupdf.open(stream=to_pdf([sheet]), filetype="pdf")[0]
    red = [
        line for line in page.get_drawings() if line["dashes"] not in ("", "[] 0") and _is_red(line["color"])
    ]
    assert any(line["rect"].contains(pymupdf.Point(*(POINT * at for at in outline.at))) for line in red)
    document = ezdxf.read(StringIO(to_dxf(sheet).decode()))
    inserts = [one for one in document.modelspace().query("INSERT") if one.dxf.name == "fuse_missing"]
    assert [one.dxf.layer for one in inserts] == ["symbols"]
    (line,) = document.blocks["fuse_missing"].query("LWPOLYLINE")
    assert line.dxf.true_color == int(DAY["danger"][1:], 16)
    assert line.dxf.linetype == "DASH_1.40_0.90"


def _is_red(colour: tuple[float, float, float] | None) -> bool:
    return (
        colour is not None
        and "#{:02X}{:02X}{:02X}".format(*(round(255 * c) for c in colour)) == DAY["danger"]
    )


@pytest.mark.parametrize("van", LACKING)
def test_after_the_cure_a_fuse_stands_there(van: str):
    text = (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")
    number = next(n for n, f in enumerate(checked(van).findings, 1) if f.rule == "missing_fuse")
    cure = next(answer.cure for answer in cures_of(checked(van)) if answer.number == number)
    assert cure is not None
    cured = drawn(apply_edits(text, cure.edits))
    assert outlines(cured) == []
    ((_, outline),) = outlines(sheets(van))
    fuses = [
        item.at
        for sheet in cured
        for item in sheet.items
        if isinstance(item, Symbol) and item.sign.name == "fuse" and item.of == outline.of
    ]
    assert outline.at in fuses


def test_a_way_without_a_fuse_is_drawn_as_such_in_its_box():
    """The fuse box hangs on the battery without a fuse: both lack one, the way as well as the feed."""
    text = plan(
        "heater: {kind: load, place: kitchen, running: 10 A}", f"W1: {{from: P1.1, to: heater, {WIRE}}}"
    )
    bare = text.replace("fuse: 60 A bolted, ", "").replace("from: P1.1,", "from: P1.1, fuse: none,")
    found = outlines(drawn(bare))
    assert [outline.of for _, outline in found] == [Link("wire", "main"), Link("wire", "W1")]
    for sheet, outline in found:
        assert through(sheet, outline).of == outline.of
        assert [str(fault) for fault in wiring_violations(sheet.items)] == []
        assert "? A" not in [text.text for item in sheet.items for text in texts_of(item)]


@pytest.mark.parametrize("seed", range(6))
def test_random_vans_without_the_fuses_of_their_batteries_stay_apart(seed: int):
    text, bare = random_plan(seed, 30), set()
    for run in re.findall(r"^  (\w+): \{from: (?:leisure|starter)\.plus, fuse: ", text, re.MULTILINE):
        bare.add(run)
        text = re.sub(rf"^(  {run}: .*?)fuse: [^,]*,", r"\1fuse: none,", text, count=1, flags=re.MULTILINE)
    sheets = drawn(text)
    found = outlines(sheets)
    assert bare
    assert bare <= {outline.of.id.partition(".")[0] for _, outline in found if outline.of}
    for sheet, outline in found:
        assert through(sheet, outline).of == outline.of
    for sheet in sheets:
        assert [str(fault) for fault in wiring_violations(own(sheet))] == []
        assert bend_faults(sheet.items, 3) == ()
