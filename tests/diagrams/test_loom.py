"""The loom sheets: every wire once, lengths to scale, nothing over anything else."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from random import Random

import pytest

from loomwright import read_text
from loomwright.assessment.looms import Looms
from loomwright.diagrams.loom import loom_sheets
from loomwright.diagrams.loom.ends import Ends
from loomwright.diagrams.loom.picture import Picture
from loomwright.drawing.frame import MARGIN_BOX, column_row
from loomwright.drawing.scene import Link, Polygon, Sheet, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing import (
    outside,
    sign_on_anything,
    symbol_on_symbol,
    text_on_ink,
    text_on_text,
)
from loomwright.drawing.spacing_wires import parallel_wires, wire_and_symbol
from loomwright.drawing.svg import to_svg
from loomwright.drawing.symbols_ends import ENDS
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan
from tests.diagrams.test_modes import checked
from tests.diagrams.test_wiring_plans import HOSTILE
from tests.plans import random_plan
from tests.scenarios.lines import VANS

#: Wires together from a box to three lamps, a pump and a fan: each leaves the sill where its load is.
SILL = """loomwright: 1
title: Sill
region: eu
places: {front: [0, -0.8, 0.1], middle: [2, -0.8, 0.6], back: [3, -0.8, 0.4], far: [4, -0.8, 0.1]}
paths: {sill: {along: [[0, -0.8, 0.1], [2, -0.8, 0.1], [3, -0.8, 0.1], [4, -0.8, 0.1]]}}
studs: {E1: {place: front}}
parts:
  house: {kind: battery, place: front, chemistry: agm, capacity: 80 Ah}
  box: {kind: fuse_box, place: front, ways: 6}
  lamp: {kind: lamp, place: middle, running: 1 A}
  pump: {kind: water_pump, place: back, running: 4 A}
  fan: {kind: fan, place: far, running: 2 A}
wiring:
  W0: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
  main: {from: house, fuse: 40 A bolted, to: box, area: 10 mm², length: 0.4 m}
  W1: {from: box.1, fuse: 5 A, to: lamp, area: 1.5 mm², colour: RDBU, return: wire}
  W2: {from: box.2, fuse: 5 A, to: pump, area: 2.5 mm², colour: BU, length: 3.9 m, return: wire}
  W3: {from: box.3, fuse: 5 A, to: fan, area: 1.5 mm², length: 5 m, return: wire}
"""
NAMED = (
    SILL.replace(", along", "")
    .replace("{along: [[0, -0.8, 0.1], [2, -0.8, 0.1], [3, -0.8, 0.1], [4, -0.8, 0.1]]}", "{}")
    .replace("to: pump,", "via: sill, to: pump,")
    .replace("to: fan,", "via: sill, to: fan,")
)
#: Number of the random van, and how many wires it has.
RANDOM = ((3, 56),)


@cache
def sheets_of(van: str) -> tuple[Sheet, ...]:
    return loom_sheets(checked(van))


@cache
def picture(text: str) -> tuple[Picture, Looms]:
    job = check_plan(read_text(text)).assessment
    looms = Looms(job)
    return Picture(looms, looms.looms[0], Ends(job), (30.0, 358.0), 210.0), looms


def faults(sheet: Sheet) -> list[str]:
    checks = (text_on_text, text_on_ink, outside, symbol_on_symbol, wire_and_symbol, sign_on_anything)
    found = [fault for check in checks for fault in check(sheet.items)]
    return [str(one) for one in (*found, *parallel_wires(sheet.items, 0.4))]


@pytest.mark.parametrize("van", VANS)
def test_nothing_lies_over_anything_else(van: str):
    for sheet in sheets_of(van):
        assert faults(sheet) == []


@pytest.mark.parametrize(("seed", "wires"), RANDOM)
def test_nor_on_vans_that_no_one_drew(seed: int, wires: int):
    for sheet in loom_sheets(check_plan(read_plan(random_plan(seed, wires)))):
        assert faults(sheet) == []


@pytest.mark.parametrize("van", VANS)
def test_every_wire_is_drawn_or_told_of(van: str):
    """Both ends of every wire of the 12/24 V side have a label, or words say why there is none."""
    job = checked(van).assessment
    looms, ends = Looms(job), Ends(job)
    texts = [text.text for sheet in sheets_of(van) for item in sheet.items for text in texts_of(item)]
    flags = [
        item.of.id
        for sheet in sheets_of(van)
        for item in sheet.items
        if isinstance(item, Polygon) and item.of is not None and item.of.kind == "wire"
    ]
    told = {one.wire for one in looms.no_way}
    for id, wire in job.wires.items():
        if wire.mains or wire.inner or wire.factory or not wire.length_m:
            continue
        assert id in told or flags.count(id) == 2, id
        if id not in told:
            words = " ".join(texts)
            assert all(part in words for part in ends.label(id, "a").split(" "))
    assert not {id for id in flags if job.wires[id].mains}


def test_a_metre_of_trunk_is_40_mm_at_1_to_25():
    drawn, looms = picture(SILL)
    assert drawn.scale == 25
    assert looms.looms[0].tree.trunk_m == pytest.approx(4.0, abs=0.2)
    wire = max(
        (one for one in drawn.items(20.0) if isinstance(one, Wire) and one.of == Link("wire", "W3")),
        key=lambda one: one.points[-1][0] - one.points[0][0],
    )
    assert wire.points[-1][0] - wire.points[0][0] == pytest.approx(2.0 * 40.0, abs=0.01)


def test_bundles_are_as_thick_as_their_wires():
    """Six wires up to the lamp, four to the pump, two to the fan: 1.2 · √Σd² by hand."""
    drawn, looms = picture(SILL)
    trunk = [one for one in drawn.sections if one.path == "sill"]
    assert [len(one.wires) for one in trunk] == [6, 4, 2]
    thin, thick = (looms.job.loom.thick_mm(id) for id in ("W1", "W2"))
    assert trunk[0].thick_mm == pytest.approx(1.2 * (4 * thin**2 + 2 * thick**2) ** 0.5)
    assert trunk[2].thick_mm == pytest.approx(max(1.2 * (2 * thin**2) ** 0.5, 2 * thin))


def test_paths_without_coordinates_are_drawn_by_name_and_say_so():
    drawn, looms = picture(NAMED)
    (loom,) = looms.looms
    assert not loom.known
    assert {one.path for one in loom.tree.sections} == {"sill"}
    texts = [one.text for sheet in loom_sheets(check_plan(read_text(NAMED))) for item in sheet.items
             for one in texts_of(item)]  # fmt: skip
    assert any("not to scale" in text for text in texts)
    assert any(text.startswith("≈") for text in texts)
    assert drawn.sections[0].metres > 0.0


def test_a_length_that_is_shorter_than_its_way_is_named_before_it_is_cut():
    texts = " ".join(
        text.text
        for sheet in loom_sheets(check_plan(read_text(SILL.replace("length: 5 m", "length: 3 m"))))
        for item in sheet.items
        for text in texts_of(item)
    )
    assert "Measure before you cut: W3, W3.return" in texts


def test_ends_are_counted_as_they_are_drawn():
    drawn, _ = picture(SILL)
    signs = [one for one in drawn.items(20.0) if isinstance(one, Symbol) and one.sign in ENDS]
    assert len(signs) == len(drawn.tree.ends) == 12


def test_text_of_users_is_only_text():
    for word in HOSTILE:
        quoted = '"' + word.replace("\\", "\\\\").replace('"', '\\"') + '"'
        van: Checked = check_plan(read_text(SILL.replace("title: Sill", f"title: {quoted}")))
        for sheet in loom_sheets(van):
            assert b"<script" not in to_svg(sheet, inline_fonts=False)
            assert text_on_text([one for one in sheet.items if isinstance(one, Text)]) == ()


def test_a_plan_without_wires_says_so():
    (sheet,) = loom_sheets(check_plan(read_text("loomwright: 1\ntitle: Bare\nregion: eu\n")))
    assert any("no wires yet" in text.text for item in sheet.items for text in texts_of(item))


def van_with_paths(seed: int, wires: int) -> str:
    """Return a plan with one sill, ribs across it, and wires from a box to loads anywhere along them."""
    chance = Random(seed)
    ribs = [round(chance.uniform(0.3, 5.0), 2) for _ in range(4)]
    lines = [f"  sill: {{along: [[0, -0.8, 0.1], [{chance.uniform(3.0, 6.0):.1f}, -0.8, 0.1]]}}"]
    lines += [f"  rib_{n}: {{along: [[{x}, -0.8, 0.1], [{x}, 0.8, 0.1]]}}" for n, x in enumerate(ribs)]
    spots, parts, runs = [], [], []
    for n in range(wires):
        across, along = chance.uniform(-0.8, 0.8), chance.uniform(0.2, 5.0)
        x, y = (chance.choice(ribs), across) if n % 2 else (along, -0.8)
        spots.append(f"  p{n}: [{x:.2f}, {y:.2f}, {chance.choice([0.1, 0.4])}]")
        parts.append(f"  load_{n}: {{kind: lamp, place: p{n}, running: 1 A}}")
        area = chance.choice(["0.75", "1.5", "2.5", "6"])
        end = chance.choice(["wire", "{to: E1}"])
        runs.append(
            f"  W{n}: {{from: box.{n + 1}, fuse: 5 A, to: load_{n}, area: {area} mm², return: {end}}}"
        )
    return "\n".join(
        ["loomwright: 1", "title: Ribs", "region: eu", "places:", "  front: [0, -0.8, 0.2]", *spots,
         "paths:", *lines, "studs: {E1: {place: front}}", "parts:",
         "  house: {kind: battery, place: front, chemistry: agm, capacity: 80 Ah}",
         f"  box: {{kind: fuse_box, place: front, ways: {wires}}}", *parts, "wiring:",
         "  W_minus: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}",
         "  main: {from: house, fuse: 40 A bolted, to: box, area: 10 mm², length: 0.4 m}", *runs, ""]
    )  # fmt: skip


@pytest.mark.parametrize(("seed", "wires"), [(2, 9), (4, 24)])
def test_looms_of_random_paths_keep_apart_too(seed: int, wires: int):
    van = check_plan(read_text(van_with_paths(seed, wires)))
    looms = Looms(van.assessment)
    assert looms.looms
    sheets = loom_sheets(van)
    for sheet in sheets:
        assert faults(sheet) == []
    texts = " ".join(text.text for sheet in sheets for item in sheet.items for text in texts_of(item))
    for n in range(wires):
        assert f"W{n} load_{n}" in texts or "Too many ends" in texts


def test_signs_of_findings_stand_near_their_wires_and_the_margin_says_where():
    """T1 has a danger; its sign stands within 12 of the wire, and the margin names that column and row."""
    sheet = sheets_of("alderford")[0]
    (sign,) = [
        one for one in sheet.items
        if isinstance(one, Symbol) and one.of == Link("finding", "1") and one.at[0] < MARGIN_BOX.left
    ]  # fmt: skip
    wires = [one for one in sheet.items if isinstance(one, Wire) and one.of == Link("wire", "T1")]
    x, y = sign.at
    assert any(
        min(a[0], b[0]) - 12 <= x <= max(a[0], b[0]) + 12 and abs(y - a[1]) <= 12
        for one in wires
        for a, b in pairwise(one.points)
    )
    spots = [one.text for one in sheet.items if isinstance(one, Text) and one.of == Link("finding", "1")]
    assert column_row(sign.at, 8) in spots
