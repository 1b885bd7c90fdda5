"""What the forms do to the plan: asked as the page asks, looked at in the text and in `check`."""

from __future__ import annotations

import pytest

from loomwright.plan.kinds import KINDS
from loomwright.plan.read import read_plan
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
