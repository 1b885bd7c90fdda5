"""New entries get ids of their own; a copied part brings its circuit along."""

from __future__ import annotations

import pytest

from loomwright.errors import PlanError
from loomwright.plan.changes.duplicate import duplicate
from loomwright.plan.changes.parts import new_part, new_path, new_place, new_stud
from loomwright.plan.edit import apply_edits
from loomwright.plan.kinds import KINDS
from loomwright.plan.read import read_plan
from tests.plan.changes.vans import BARE, EXAMPLES, RANDOM, changed, plan_of, text_of

#: What has to be said of a kind before it can be part of a plan, as no `unknown` fits there.
_SAID = {
    "solar_regulator": {"regulation": "mppt"},
    "vehicle_feed": {"live": "engine"},
    "selector": {"positions": {"one": "com-a", "off": "none"}},
    "control_panel": {"outputs": {"light": {"switches": "plus"}}},
    "unit": {"ports": {"plus": "bar"}, "inside": {"parts": {"bar": {"kind": "busbar"}}}},
    "priority_relay": {"priority": ["sock"]},
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_part_of_every_kind_reads(kind):
    plan = plan_of("bare")
    new = new_part(plan, kind, _SAID.get(kind))
    after = changed(BARE, new.edits)
    assert after.parts[new.id].kind == kind
    assert new.id not in plan.parts


@pytest.mark.parametrize(
    ("kind", "name", "id"),
    [
        ("lamp", "Reading lamp", "reading_lamp"),
        ("lamp", "Lamp", "lamp"),
        ("water_pump", "Pump", "pump_2"),  # pump is there
        ("fuse_box", "P1", "P3"),  # P2 is there too
        ("lamp", "12 V lamp", "part_12_v_lamp"),
        ("lamp", "Lämpchen über Bett", "lämpchen_über_bett"),
        ("lamp", "body", "body_2"),  # a word of the plan's own
        ("lamp", "!!!", "part"),
        ("lamp", None, "lamp"),
    ],
)
def test_id_is_made_from_the_name(kind, name, id):
    new = new_part(plan_of("bare"), kind, {"name": name} if name else {})
    assert new.id == id
    assert id in changed(BARE, new.edits).parts


def test_other_entries_and_their_ids():
    plan = plan_of("bare")
    stud, place = (
        new_stud(plan, "seat", {"thread": "M6"}),
        new_place(plan, "Left wall", {"at": ["1", "2", "3"]}),
    )
    path = new_path(plan, "Left sill", {"hole": "20 mm"})
    assert (stud.id, place.id, path.id) == ("E3", "left_wall", "left_sill")
    assert place.edits[0].write == ["1", "2", "3"]
    after = changed(BARE, (*stud.edits, *place.edits, *path.edits))
    assert (after.studs["E3"].thread, after.paths["left_sill"].conduit) == ("M6", False)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda plan: new_part(plan, "lam"), 'Did you mean "lamp"'),
        (lambda plan: new_part(plan, "lamp", id="E1"), '"E1" is there already'),
        (lambda plan: new_part(plan, "lamp", id="e1"), "Capitals do not tell them apart"),
        (lambda plan: new_part(plan, "lamp", id="a-b"), "is no id"),
        (lambda plan: new_part(plan, "lamp", id="wire"), "has a meaning of its own"),
        (lambda plan: new_part(plan, "lamp", {"place": "roof"}), 'no place "roof"'),
        (lambda plan: new_part(plan, "lamp", {"running": "3 mm"}), "is a length"),
        (lambda plan: new_part(plan, "lamp", {"ways": "3"}), "ways"),
        (lambda plan: new_part(plan, "solar_regulator"), "regulation is missing"),
        (lambda plan: new_stud(plan, "roof"), 'no place "roof"'),
        (lambda plan: new_place(plan, "x", {"zones": ["attic"]}), "attic"),
    ],
)
def test_what_can_not_be_is_refused(make, says):
    with pytest.raises(PlanError, match=says):
        make(plan_of("bare"))


@pytest.mark.parametrize("van", ["bare", *EXAMPLES, *RANDOM])
def test_every_part_can_be_copied(van):
    plan, text = plan_of(van), text_of(van)
    for id in list(plan.parts)[:40]:
        copy = duplicate(plan, text, id)
        after = changed(text, copy.edits)
        assert after.parts[copy.id].kind == plan.parts[id].kind
        assert set(after.wiring) - set(plan.wiring) == set(copy.keys)


def test_copy_brings_switch_way_and_return():
    plan, text = plan_of("alderford"), text_of("alderford")
    copy = duplicate(plan, text, "kitchen_strip")
    assert (copy.id, copy.keys) == ("kitchen_strip_2", ("C10",))
    run = changed(text, copy.edits).wiring["C10"]
    assert (str(run.from_), str(run.to[0]), [str(one) for one in run.through]) == (
        "U1.way_10",
        "kitchen_strip_2",
        ["S4"],
    )
    assert run.return_ is not None
    assert str(run.return_.to) == "E4"
    assert run.area == plan.wiring["C2"].area
    assert "S4" in copy.says


def test_copy_brings_both_two_way_switches_but_no_shared_one():
    plan, text = plan_of("highcol"), text_of("highcol")
    run = changed(text, duplicate(plan, text, "lamps").edits).wiring["W10"]
    assert [str(one) for one in run.through] == ["S3", "S4"]
    shared = text.replace("to: pump, area: 4", "through: S9, to: pump, area: 4")
    shared = shared.replace("to: fridge, area", "through: S9, to: fridge, area")
    shared = shared.replace("  S1: {kind", "  S9: {kind: switch}\n  S1: {kind")
    run = changed(shared, duplicate(read_plan(shared), shared, "pump").edits).wiring["W10"]
    assert [str(one) for one in run.through] == ["S9"]


def test_copy_of_a_relay_circuit_brings_its_coil():
    text = BARE + (
        "wiring:\n"
        "  W1: {from: P1.1, fuse: 15 A at K1, through: K1, to: pump, return: E2}\n"
        "  W2: {from: P1.2, through: S1, to: K1.86, return: E1}\n"
    )
    copy = duplicate(read_plan(text), text, "pump")
    assert "P1 has no free way" in copy.says  # one is left, the load takes it
    more = text.replace("place: seat, ways: 3", "place: seat, ways: 6")
    after = changed(more, duplicate(read_plan(more), more, "pump").edits)
    load = next(run for key, run in after.wiring.items() if str(run.to[0]) == "pump_2")
    coil = next(run for key, run in after.wiring.items() if str(run.to[0]) == "K2.86")
    assert [str(one) for one in (*load.through, *coil.through)] == ["K2", "S4"]
    assert load.fuse[0].at == "K2"
    assert {str(load.from_), str(coil.from_)} == {"P1.3", "P1.4"}


def test_copy_in_a_full_box_is_the_part_alone_and_says_so():
    plan, text = plan_of("saltpan"), text_of("saltpan")
    copy = duplicate(plan, text, "fridge")
    assert (copy.keys, len(copy.edits)) == ((), 1)
    assert "P1 has no free way" in copy.says
    assert apply_edits(text, copy.edits).count("fridge_2") == 1


def test_no_such_part():
    with pytest.raises(PlanError, match='Did you mean "pump"'):
        duplicate(plan_of("bare"), BARE, "pmup")
