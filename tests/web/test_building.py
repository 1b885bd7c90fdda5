"""What the forms do to the plan: asked as the page asks, looked at in the text and in `check`."""

from __future__ import annotations

import re

import pytest

from loomwright.plan.columns import Entries, Nested, columns
from loomwright.plan.kinds import KINDS
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.web.entries import SINGLE, SORTS
from loomwright.web.shelf import APART, SHELF
from loomwright.web.work import Work, copy_of

PLAN = """loomwright: 1
title: First van
region: eu
places:
  seat_base: [-0.40, -0.45, 0.12]   # measured
  ceiling: [1.20, -0.30, 1.85]
studs:
  E1: {place: seat_base}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 95 Ah}
  P1: {kind: fuse_box, place: seat_base, ways: 3}
  S1: {kind: switch, place: ceiling}
  lamp: {kind: lamp, place: ceiling, running: 3 W}   # over the bed
wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  main: {from: leisure.plus, to: P1, fuse: 40 A bolted, area: 10 mm², length: 0.5 m}
"""


@pytest.fixture
def work() -> Work:
    return Work(copy_of(PLAN, "first.yaml"))


def act(page, work, name, **asked):
    return page.post(f"/change/{name}", json={"rev": work.now().rev, **asked})


def test_every_kind_is_on_the_shelf_once():
    shelved = [kind for kinds in SHELF.values() for kind in kinds]
    assert sorted([*shelved, *APART]) == sorted(KINDS)


def test_a_circuit_by_pointing_through_a_switch(page, work):
    answer = act(
        page, work, "connect", typed={"start": "P1.2", "end": "lamp", "through": "S1", "return_to": ""}
    )
    assert answer.status_code == 200
    board = answer.json()
    assert board["chosen"]["kind"] == "wire"
    run = read_plan(work.now().text).wiring[board["chosen"]["id"]]
    assert (str(run.from_), str(run.to[0])) == ("P1.2", "lamp")
    assert [str(passage).partition(".")[0] for passage in run.through] == ["S1"]
    assert not work.now().reading.checked.findings or all(
        finding.severity == "note" for finding in work.now().reading.checked.findings
    )
    assert "# over the bed" in work.now().text


def test_pointing_backwards_gives_the_same_wire(page, work):
    act(page, work, "connect", typed={"start": "lamp", "end": "P1.2"})
    one = work.now().text
    page.post("/change/undo", json={"rev": work.now().rev})
    act(page, work, "connect", typed={"start": "P1.2", "end": "lamp"})
    assert work.now().text == one


def test_ends_that_no_wire_can_join_are_refused_with_words(page, work):
    before = work.now()
    answer = act(page, work, "connect", typed={"start": "E1", "end": "E1"})
    assert answer.status_code == 422
    assert len(answer.json()["says"]) > 20
    assert work.now().text == before.text


@pytest.mark.parametrize(
    ("typed", "written"), [("4", "4 mm²"), ("4 mm2", "4 mm2"), ("2,5", "'2,5 mm²'"), ("auto", "auto")]
)
def test_an_area_as_people_type_it(page, work, typed, written):
    assert act(page, work, "fields", at="wiring.earth", typed={"area": typed}).status_code == 200
    assert f"earth: {{from: leisure.minus, to: E1, area: {written}, length: 0.4 m}}" in work.now().text


def test_an_emptied_field_goes_and_comments_stay(page, work):
    assert act(page, work, "fields", at="parts.lamp", typed={"place": ""}).status_code == 200
    assert "lamp: {kind: lamp, running: 3 W}   # over the bed" in work.now().text


def test_a_value_that_can_not_be_read_is_refused_and_nothing_changes(page, work):
    answer = act(page, work, "fields", at="parts.lamp", typed={"running": "fast"})
    assert answer.status_code == 422
    assert "fast" in answer.json()["says"]
    assert work.now().text == PLAN


@pytest.mark.parametrize(
    ("what", "typed", "kind", "holds"),
    [
        ("part.lamp", {"running": "5 W", "place": "ceiling"}, "part", "lamp_2: {kind: lamp"),
        ("part.water_pump", {"new_id": "pump", "running": "4 A"}, "part", "pump: {kind: water_pump"),
        ("part.fuse_box", {"ways": "6"}, "part", "ways: 6"),
        ("stud", {"place": "ceiling"}, "stud", "E2: {place: ceiling}"),
        ("place", {"new_id": "kitchen", "at": "[0.6, 0.7, 0.5]"}, "place", "kitchen: [0.6, 0.7, 0.5]"),
    ],
)
def test_things_are_added(page, work, what, typed, kind, holds):
    answer = act(page, work, "add", what=what, typed=typed)
    assert answer.status_code == 200, answer.json()
    assert holds in work.now().text
    if kind != "place":
        assert answer.json()["chosen"]["kind"] == kind


def test_a_part_is_copied_with_its_circuit_and_renamed_everywhere(page, work):
    act(page, work, "connect", typed={"start": "P1.1", "end": "lamp"})
    assert act(page, work, "duplicate", part="lamp").status_code == 200
    plan = read_plan(work.now().text)
    assert len([part for part in plan.parts.values() if part.kind == "lamp"]) == 2
    assert len(plan.wiring) == 4
    answer = act(page, work, "rename", space="parts", old="lamp", typed={"new": "bed_lamp"})
    assert answer.json()["chosen"] == {"kind": "part", "id": "bed_lamp"}
    assert "bed_lamp" in {str(end) for run in read_plan(work.now().text).wiring.values() for end in run.to}


@pytest.mark.parametrize(
    "what", ["part", *(f"part.{kind}" for kind in sorted(KINDS)), "stud", "place", "path"]
)
def test_every_new_thing_has_a_form(page, what):
    answer = page.get("/board", params={"kind": "add", "id": what})
    assert answer.status_code == 200
    assert answer.json()["chosen"] == {"kind": "add", "id": what}
    assert "<form" in answer.json()["slip"] or what == "part"


def test_hostile_ids_and_texts_are_refused_or_inert(page, work):
    evil = '"><img src=x onerror=alert(1)>'
    for name, asked in (
        ("add", {"what": "part.lamp", "typed": {"new_id": evil}}),
        ("add", {"what": evil, "typed": {}}),
        ("fields", {"at": evil, "typed": {"area": "1"}}),
        ("rename", {"space": "parts", "old": "lamp", "typed": {"new": evil}}),
        ("connect", {"typed": {"start": evil, "end": evil}}),
    ):
        assert act(page, work, name, **asked).status_code == 422
    assert act(page, work, "fields", at="parts.lamp", typed={"name": evil}).status_code == 200
    board = page.get("/board", params={"kind": "part", "id": "lamp"}).json()
    assert "<img" not in board["slip"] + board["ledge"] + board["block"] + board["drawing"]


def test_a_new_part_is_wired_at_once_with_a_switch_beside_it(page, work):
    answer = act(
        page, work, "add", what="part.water_pump",
        typed={"place": "ceiling", "running": "4 A", "c_feed": "P1", "c_through": "+switch", "c_return": ""},
    )  # fmt: skip
    assert answer.json()["chosen"] == {"kind": "part", "id": "water_pump"}
    plan = read_plan(work.now().text)
    run = next(run for run in plan.wiring.values() if run.to[0].id == "water_pump")
    (passed,) = run.through
    assert (plan.parts[passed.part].kind, plan.parts[passed.part].place) == ("switch", "ceiling")
    assert str(run.return_.to) == "E1"
    page.post("/change/undo", json={"rev": work.now().rev})
    assert work.now().text == PLAN  # one step


def test_wires_that_are_ticked_are_made_with_a_charger(page, work):
    act(page, work, "add", what="part.vehicle_battery", typed={"new_id": "starter"})
    slip = page.get("/board", params={"kind": "add", "id": "part.b2b"}).json()["slip"]
    ticked = re.findall(r'name="joins" value="([^"]+)"', slip)
    assert ticked == ["@.in|starter|", "@.out|leisure|"]
    typed = {"current": "30", "start_on": "above 13.2 V"}
    assert act(page, work, "add", what="part.b2b", typed=typed, joins=ticked).status_code == 200
    ends = [(str(run.from_), str(run.to[0])) for run in read_plan(work.now().text).wiring.values()][2:]
    assert ends == [("starter.plus", "b2b"), ("b2b", "leisure.plus")]


def test_what_lacks_a_wire_is_offered_next(page, work):
    assert "Next without a wire" not in page.get("/board", params={"kind": "part", "id": "P1"}).json()["slip"]
    act(page, work, "add", what="stud", typed={"place": "ceiling"})
    slip = page.get("/board", params={"kind": "part", "id": "P1"}).json()["slip"]
    assert "Next without a wire" in slip  # while one is building
    assert 'data-start="lamp.plus" data-end="P1"' in slip
    act(page, work, "connect", start="lamp.plus", end="P1", through="")
    assert "Next without a wire" not in page.get("/board", params={"kind": "part", "id": "P1"}).json()["slip"]


def test_what_is_left_to_the_program_stands_in_its_field(page, work):
    act(page, work, "connect", typed={"start": "P1.1", "end": "lamp"})
    wires = work.now().reading.checked.assessment.wires
    slip = page.get("/board", params={"kind": "wire", "id": "W1"}).json()["slip"]
    assert f'placeholder="auto: {wires["W1"].area_mm2:g} mm²"' in slip
    order = re.findall(r'id="f-(area|length|fuse|colour|via|return|from|to|through)"', slip)
    assert order == ["area", "length", "fuse", "colour", "via", "return", "from", "to", "through"]
    assert '<option value="10 A"' in slip  # ISO 8820-3
    assert '<option value="60 A' not in slip  # no blade of that rating


def test_sizes_are_those_of_the_region(page, work):
    """IEC 60228; in North America the gauges of ASTM B258."""
    slip = page.get("/board", params={"kind": "wire", "id": "main"}).json()["slip"]
    assert '<option value="2.5 mm²"' in slip
    act(page, work, "fields", at="header", typed={"region": "na"})
    slip = page.get("/board", params={"kind": "wire", "id": "main"}).json()["slip"]
    assert '<option value="10 AWG">5.26 mm²</option>' in slip
    assert act(page, work, "fields", at="wiring.main", typed={"area": "2/0 AWG"}).status_code == 200


def test_a_leg_of_a_run_with_several_loads_gets_fields_of_its_own(page, work):
    act(page, work, "add", what="part.fan", typed={"running": "1 A"})
    typed = {"new_id": "L", "from": "P1.1", "to": "lamp, fan", "length": "3", "fuse": "5", "return": "E1"}
    assert act(page, work, "add", what="wire", typed=typed).status_code == 200
    slip = page.get("/board", params={"kind": "wire", "id": "L"}).json()["slip"]
    assert 'data-at="wiring.L.to.fan"' in slip
    assert act(page, work, "fields", at="wiring.L.to.fan", typed={"length": "0.6"}).status_code == 200
    assert "to: {lamp: {}, fan: {length: 0.6 m}}" in work.now().text
    assert (
        act(page, work, "fields", at="wiring.L.return", typed={"length": "0.4", "area": "4"}).status_code
        == 200
    )
    assert "return: {to: E1, length: 0.4 m, area: 4 mm²}" in work.now().text


@pytest.mark.parametrize(
    ("at", "typed", "holds"),
    [
        ("header", {"customer": "Two people"}, "customer: Two people"),
        ("vehicle", {"body": "grp"}, "body: grp"),
        ("basis.contacts", {"crimp": "0.5 mΩ"}, "contacts: {crimp: 0.5 mΩ}"),
        ("places.seat_base", {"zones": "cab"}, "zones"),
        ("places.ceiling", {"at": "1.3, -0.3, 1.85"}, "[1.3, -0.3, 1.85]"),
    ],
)
def test_the_van_itself_is_changed_by_forms(page, work, at, typed, holds):
    board = page.get("/board", params={"kind": "entry", "id": at}).json()
    assert f'data-at="{at}"' in board["slip"]
    assert act(page, work, "fields", at=at, typed=typed).status_code == 200
    assert holds in work.now().text


def test_every_section_of_a_plan_is_reached_from_the_van_itself(page):
    slip = page.get("/board", params={"kind": "entry", "id": "van"}).json()["slip"]
    ways = {sort.section: f'data-add="{word}"' for word, sort in SORTS.items()} | {"parts": 'data-add="part"'}
    ways |= {at: f'data-id="{at}"' for at in SINGLE}
    for name, column in columns(Plan).items():
        if isinstance(column.kind, Entries | Nested) or name == "labels":
            assert (ways[name] in slip) is (name != "readings"), name  # those have a document of their own


def test_the_customers_question_is_put_in_changed_and_taken_out(page, work):
    typed = {"new_id": "winter", "says": "Three days, without sun?"}
    assert act(page, work, "add", what="question", typed=typed).json()["chosen"]["id"] == "questions.winter"
    assert read_plan(work.now().text).questions == {"winter": "Three days, without sun?"}
    act(page, work, "fields", at="questions.winter", typed={"says": "Four days?"})
    act(page, work, "rename", space="questions", old="winter", typed={"new": "cold"})
    assert read_plan(work.now().text).questions == {"cold": "Four days?"}
    act(page, work, "delete", space="questions", thing="cold")
    assert read_plan(work.now().text).questions == {}


def test_every_wire_is_given_a_number_by_one_press_and_one_undo(page, work):
    board = act(page, work, "number").json()
    assert board["chosen"] == {"kind": "entry", "id": "labels"}
    assert read_plan(work.now().text).labels.numbers == {"earth": 101, "main": 102}
    assert 'name="main" value="102"' in board["slip"]
    assert act(page, work, "fields", at="labels", typed={"main": "101"}).status_code == 422
    page.post("/change/undo", json={"rev": work.now().rev})
    assert work.now().text == PLAN


def test_hours_are_never_taken_for_seconds(page, work):
    answer = act(page, work, "fields", at="site", typed={"sun_hours": "1.6"})
    assert answer.status_code == 422
    assert act(page, work, "fields", at="site", typed={"sun_hours": "1.6 h"}).status_code == 200


def test_what_goes_with_a_part_is_told_and_undone_in_one_step(page, work):
    told = page.get("/deletion", params={"space": "parts", "thing": "P1"})
    assert "main goes too" in told.json()["html"]
    assert work.now().text == PLAN
    assert act(page, work, "delete", space="parts", thing="P1").json()["chosen"] is None
    assert "P1" not in read_plan(work.now().text).parts
    page.post("/change/undo", json={"rev": work.now().rev})
    assert work.now().text == PLAN
    assert page.get("/deletion", params={"space": "parts", "thing": "nothing"}).status_code == 422


def test_a_box_of_unknown_insides(page, work):
    typed = {"name": "Control box", "running": "1.5 A", "standby": "20 mA"}
    typed |= {"terminal_name_1": "wake", "terminal_role_1": "signal", "terminal_name_2": ""}
    assert act(page, work, "box", typed=typed).status_code == 200
    part = read_plan(work.now().text).parts["control_box"]
    assert (part.kind, dict(part.terminals)) == ("electronics", {"wake": "signal"})


def test_a_combined_unit_with_relays_and_panel(page, work):
    typed = {"new_id": "U1", "supply": "two batteries with selector", "charger_a": "15 A", "mains_ways": "1"}
    typed |= {"way_name_1": "1", "way_fed_by_1": "", "way_name_2": "pump", "way_fed_by_2": "pump"}
    typed |= {"relay_name_1": "pump", "relay_works_1": "panel", "relay_rating_1": "30 A"}
    typed |= {"panel_outputs": "pump, selector", "panel": "yes", "panel_place": "ceiling"}
    assert act(page, work, "unit", typed=typed).status_code == 200
    plan = read_plan(work.now().text)
    assert {"leisure", "vehicle", "way_1", "way_pump", "mains_in", "mains_1"} <= set(plan.parts["U1"].ports)
    panel = next(part for part in plan.parts.values() if part.kind == "control_panel")
    assert (set(panel.outputs), panel.place) == ({"pump", "selector"}, "ceiling")
    assert act(page, work, "unit", typed={"charger_a": "much"}).status_code == 422

    for kind, way, has_switch in ("water_pump", "U1.way_pump", False), ("fan", "P1", True):
        slip = page.get("/board", params={"kind": "add", "id": f"part.{kind}"}).json()["slip"]
        assert f'<option value="{way}" selected>' in slip
        assert ('<option value="S1" selected>' in slip) is has_switch  # the panel works the pump


def test_what_is_inside_a_unit_has_a_form_of_its_own(page, work):
    typed = {"new_id": "U1", "way_name_1": "pump", "way_fed_by_1": "pump", "relay_name_1": "pump"}
    typed |= {"relay_works_1": "panel", "panel_outputs": "pump"}
    assert act(page, work, "unit", typed=typed).status_code == 200
    for kind, id, at in ("wire", "U1/panel", "wiring.panel"), ("part", "U1/K_pump", "parts.K_pump"):
        slip = page.get("/board", params={"kind": kind, "id": id}).json()["slip"]
        assert f'data-at="parts.U1.inside.{at}"' in slip
        assert "data-ask" not in slip  # it is not renamed or deleted alone
    where = [finding.where for finding in work.now().reading.checked.findings]
    number = where.index("U1/panel") + 1
    slip = page.get("/board", params={"kind": "finding", "id": str(number)}).json()["slip"]
    assert 'data-at="parts.U1.inside.wiring.panel"' in slip
    asked = {"at": "parts.U1.inside.wiring.panel", "typed": {"fuse": "2"}}
    assert act(page, work, "fields", **asked).status_code == 200
    assert "U1/panel" not in [finding.where for finding in work.now().reading.checked.findings]


@pytest.mark.parametrize("what", ["unit", "box", *SORTS])
def test_all_that_is_no_part_has_a_form_too(page, what):
    board = page.get("/board", params={"kind": "add", "id": what}).json()
    assert "<form" in board["slip"]
    assert board["chosen"] == {"kind": "add", "id": what}
