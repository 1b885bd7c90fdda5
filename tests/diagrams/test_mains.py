"""The mains sheet: every line from the pitch to each socket, nothing on anything, figures as worked out.

Signs and the two earths after IEC 60617 (from memory); colours of cores: IEC 60445 (public pages), NEC.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml

import loomwright
from loomwright.diagrams.mains import mains_sheets
from loomwright.diagrams.mains.graph import mains_graph
from loomwright.drawing.scene import Link, Sheet, Symbol, Text, Wire
from loomwright.drawing.spacing import outside, sign_on_anything, symbol_on_symbol, text_on_ink, text_on_text
from loomwright.drawing.spacing_wires import bend_faults, crossing_faults, parallel_wires, wire_crossings
from loomwright.rules.check import Checked, check_plan
from tests.diagrams.mains_plans import PLANS
from tests.scenarios.lines import checked as of_van

TOPOLOGIES = Path(__file__).parent.parent / "topologies" / "plans"
EXAMPLES = ("alderford", "amberquay", "planeshed")
OF_TOPOLOGIES = ("08-inverter-and-inlet", "09-bond-that-stays", "23-boiler-on-the-inverter")
EVERY = (*EXAMPLES, *OF_TOPOLOGIES, *PLANS)


@cache
def checked(name: str) -> Checked:
    if name in EXAMPLES:
        return of_van(name)
    if name in PLANS:
        return check_plan(loomwright.read_text(PLANS[name]))
    file = (TOPOLOGIES / f"{name}.yaml").read_text(encoding="utf-8")
    return check_plan(loomwright.read_text(yaml.safe_load(file)["plan"]))


@cache
def sheets(name: str) -> tuple[Sheet, ...]:
    return mains_sheets(checked(name))


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


def signs(name: str, sign: str) -> list[Symbol]:
    items = [item for sheet in sheets(name) for item in sheet.items]
    return [i for i in items if isinstance(i, Symbol) and i.sign.name == sign and i.layer != "frame"]


@pytest.mark.parametrize("name", EVERY)
def test_nothing_lies_on_anything(name):
    for sheet in sheets(name):
        for check in (text_on_text, text_on_ink, outside, symbol_on_symbol, sign_on_anything, parallel_wires):
            assert check(sheet.items) == (), name
        assert bend_faults(sheet.items) == ()
        open_ = [one for one in crossing_faults(sheet.items) if one.rule == "crossing not left open"]
        assert open_ == []


@pytest.mark.parametrize("name", EVERY)
def test_every_cable_and_outlet_is_on_it(name):
    job = checked(name).assessment
    said = {word for sheet in sheets(name) for word in words(sheet)}
    drawn = {item.of for sheet in sheets(name) for item in sheet.items if isinstance(item, Wire)}
    for span in job.mains.layout.spans:
        assert span.id in said
        assert Link("wire", span.id) in drawn
    assert {*job.mains.layout.outlets, *job.mains.layout.inlets, *job.mains.layout.makers} <= said
    for bond in job.mains.layout.bonds:
        assert bond.piece in said
    assert len(signs(name, "body_connection")) >= bool(job.mains.layout.bonds)


def test_a_box_is_drawn_with_what_it_holds():
    said = words(sheets("alderford")[0])
    for word in ("30 mA", "type A", "2-pole", "10 A B", "6 A B", "way 1", "way 2", "3 × 1.5 mm²", "3.8 m"):
        assert word in said, word
    assert "6 mm², 0.4 m to the body at EB" in said
    assert len(signs("alderford", "breaker_pole")) == 2 + 2 * 2  # the post's, and two ways of two poles
    assert len(signs("alderford", "protective_earth")) == 1  # the post's; the body has a sign of its own
    assert len(signs("north_america", "breaker_pole")) == 2 + 1 + 2 * 1


def test_loop_and_current_at_an_outlet_are_those_of_check():
    point = of_van("alderford").assessment.mains.faults[0]
    line = f"tn_10: {point.loop_ohm:.3g} Ω, {point.expected_a:.3g} A, off in 0.04 s"
    assert line in words(sheets("alderford")[0])
    assert any(word.endswith("stays live") for word in words(sheets("amberquay")[0]))


def test_cores_have_the_colours_of_the_region():
    def colours(name: str, id: str) -> set[tuple[str, ...]]:
        items = (item for sheet in sheets(name) for item in sheet.items)
        return {i.colours for i in items if isinstance(i, Wire) and i.of == Link("wire", id)}

    assert colours("alderford", "M1") == {("BN",), ("BU",), ("GN", "YE")}
    assert colours("two_legs", "M1") == {("BK",), ("RD",), ("WH",), ("GN",)}


def test_a_bond_that_is_not_there_is_drawn_dashed_in_red():
    assert "no bond to the body" in words(sheets("amberquay")[0])
    assert "no bond to the body" not in words(sheets("alderford")[0])
    assert "N and PE joined by its relay" in words(sheets("23-boiler-on-the-inverter")[0])
    assert "N floats" in words(sheets("planeshed")[0])


def test_what_does_not_fit_goes_on_on_another_sheet():
    assert len(sheets("sockets")) > 1
    said = [word for sheet in sheets("sockets") for word in words(sheet)]
    assert all(said.count(f"S{n}") == 1 for n in range(1, 15))
    first, second = sheets("generator")
    assert "to U1, part 2" in words(first)
    assert "from inverter, part 1" in words(second)
    assert sum(len(wire_crossings(sheet.items)) for sheet in sheets("sockets")) == 33  # bars of a box alone


def test_a_cable_typed_against_its_current_is_turned():
    turned = PLANS["sockets"].replace("M1: {from: inlet, to: U1,", "M1: {from: U1.in, to: inlet.out,")
    graph = mains_graph(check_plan(loomwright.read_text(turned)).assessment)
    assert [(c.a, c.b) for c in graph.cables if c.id == "M1"] == [("inlet.out", "U1.in")]


@pytest.mark.parametrize("to", ["svg", "pdf", "dxf"])
def test_it_is_drawn_by_the_library(to):
    plan = loomwright.read_text(PLANS["two_inlets"])
    (drawn,) = loomwright.draw(plan, "mains", to)
    assert len(drawn) > 1000
    without = loomwright.read_text("loomwright: 1\ntitle: No mains\nregion: eu\n")
    assert loomwright.draw(without, "mains", to) == []
