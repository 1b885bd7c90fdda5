"""A form shows what is typed, and writes what was changed, nothing else."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.fields import edits_of, form_of
from loomwright.plan.changes.labels import label_of
from loomwright.plan.columns import columns
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.kinds import KINDS, fields_of
from loomwright.plan.model import RECORDS
from loomwright.plan.read import read_plan
from loomwright.plan.tree import parse, to_data
from tests.plan.changes.vans import BARE, EXAMPLES, RANDOM, changed, plan_of, text_of

SECTIONS = ("places", "paths", "studs", "parts", "wiring", "supplies", "modes", "use", "promises", "cargo")


def entries(van: str) -> list[str]:
    data = to_data(parse(text_of(van)))
    return [f"{section}.{id}" for section in SECTIONS for id in data.get(section) or {}]


def typed(form) -> dict[str, str]:
    return {field.name: field.typed for field in form.fields if field.typed}


@pytest.mark.parametrize("van", ["bare", *EXAMPLES, *RANDOM[:2]])
def test_a_form_left_as_it_is_changes_nothing(van):
    plan, text = plan_of(van), text_of(van)
    for at in (*entries(van), "header", "vehicle", "site", "basis"):
        form = form_of(plan, text, at)
        assert edits_of(plan, text, at, {field.name: field.typed for field in form.fields}) == ()


@pytest.mark.parametrize("van", EXAMPLES)
def test_a_form_filled_in_again_makes_the_same_entry(van):
    """What a form shows is all that is typed: an entry taken out comes back from its form alone."""
    plan, text = plan_of(van), text_of(van)
    data = to_data(parse(text))
    for section in (section for section in SECTIONS if data.get(section)):
        without = apply_edits(text, [Edit(section, remove=True)])
        edits = []
        for id, said in data[section].items():
            form = form_of(plan, text, f"{section}.{id}")
            assert bool(said) == bool(typed(form))
            assert form_of(plan, without, f"{section}.{id}").is_new
            edits += edits_of(plan, without, f"{section}.{id}", typed(form))
        again = to_data(parse(apply_edits(without, edits)))[section]
        for id, said in data[section].items():
            if said:  # [...] is short for {at: [...]}
                assert again[id] == said or {"at": again[id]} == said


@settings(max_examples=60)
@given(st.sampled_from(EXAMPLES), st.data())
def test_one_field_changed_is_one_edit(van, data):
    plan, text = plan_of(van), text_of(van)
    at = data.draw(st.sampled_from(entries(van)))
    form = form_of(plan, text, at)
    field = data.draw(st.sampled_from(form.fields))
    note = data.draw(st.text("ab [](){}:,#'\"é", max_size=12)).strip()
    edits = edits_of(plan, text, at, {field.name: field.typed, "note": note})
    before = form["note"].typed
    assert len(edits) == (" ".join(note.split()) != before)
    after = changed(text, edits)
    section, id = at.split(".")
    assert (getattr(after, section)[id].note or "") == " ".join(note.split())


@pytest.mark.parametrize(
    ("at", "asked", "written"),
    [
        ("wiring.C4", {"area": "2.5 mm²"}, [Edit("wiring.C4.area", "2.5 mm²")]),
        ("wiring.C4", {"bundle": " "}, [Edit("wiring.C4.bundle", remove=True)]),
        ("wiring.C4", {"through": "[S3]"}, [Edit("wiring.C4.through", ["S3"])]),
        ("wiring.C4", {"through": "S3, K1.30-87a"}, [Edit("wiring.C4.through", ["S3", "K1.30-87a"])]),
        ("wiring.C4", {"to": "pump, fan"}, [Edit("wiring.C4.to", ["pump", "fan"])]),
        ("wiring.C4", {"to": "{pump: {length: 1 m}}"}, [Edit("wiring.C4.to", {"pump": {"length": "1 m"}})]),
        ("wiring.C4", {"return": "E2"}, [Edit("wiring.C4.return", "E2")]),
        ("wiring.C4", {"return": "{to: E3, length: 0.6 m}"}, []),
        ("wiring.C4", {"return": " {to: E3,  length: 0.6 m}"}, []),
        (
            "wiring.C4",
            {"fuse": "10 A at from, 15 A at to"},
            [Edit("wiring.C4.fuse", ["10 A at from", "15 A at to"])],
        ),
        ("wiring.C4", {"note": "[as found], {odd}"}, [Edit("wiring.C4.note", "[as found], {odd}")]),
        ("wiring.C4.return", {"length": ""}, [Edit("wiring.C4.return.length", remove=True)]),
        ("wiring.C3.return", {"to": "E4"}, [Edit("wiring.C3.return.to", "E4")]),
        ("places.regulator_wall", {"at": "[1, 2, 3]"}, [Edit("places.regulator_wall", ["1", "2", "3"])]),
        (
            "places.regulator_wall",
            {"zones": "wet, cab"},
            [Edit("places.regulator_wall", {"at": ["2.30", "-0.76", "0.85"], "zones": ["wet", "cab"]})],
        ),
        (
            "parts.lamp",
            {"kind": "lamp", "running": "3 W"},
            [Edit("parts.lamp", {"kind": "lamp", "running": "3 W"})],
        ),
        ("parts.bed_strip", {"kind": "lamp"}, None),
        ("header", {"title": "New", "budget": ""}, [Edit("title", "New"), Edit("budget", remove=True)]),
        ("vehicle", {"body": "grp"}, [Edit("vehicle.body", "grp")]),
        ("use.summer", {"loads.co_alarm": "24 h"}, {"co_alarm": "24 h"}),
        ("use.summer", {"loads.fan": "", "loads.pump": "1 h"}, {"fan": None, "pump": "1 h"}),
        ("prices", {"hour": "60"}, [Edit("prices", {"hour": "60"})]),
        ("parts.U1.inside.parts.KS", {"rating": "40 A"}, [Edit("parts.U1.inside.parts.KS.rating", "40 A")]),
    ],
)
def test_what_is_typed_is_written(at, asked, written):
    edits = edits_of(plan_of("alderford"), text_of("alderford"), at, asked)
    if written is None:  # a strip that becomes a lamp loses what only strips have
        gone = {edit.at for edit in edits if edit.remove}
        assert gone == {"parts.bed_strip.per_metre", "parts.bed_strip.length"}
    elif isinstance(written, dict):  # entries of a map, typed one by one; the others stay
        (edit,) = edits
        before = to_data(parse(text_of("alderford")))["use"]["summer"]["loads"]
        kept = {name: one for name, one in {**before, **written}.items() if one is not None}
        assert edit == Edit("use.summer.loads", kept)
    else:
        assert list(edits) == written
    tree = parse(apply_edits(text_of("alderford"), edits)) if edits else None
    assert tree is None or tree.entries


@pytest.mark.parametrize(
    ("at", "asked", "says"),
    [
        ("wiring.C4", {"through": "[S3"}, "wiring.C4.through"),
        ("wiring.C4", {"return": "{to: E1}, x: 1"}, "wiring.C4.return"),
        ("wiring.C4", {"aera": "1 mm²"}, 'Did you mean "area"'),
        ("wirring.C4", {}, 'Did you mean "wiring"'),
        ("wiring.C4.area", {}, "no form of its own"),
    ],
)
def test_what_can_not_be_is_refused(at, asked, says):
    with pytest.raises(PlanError, match=says):
        edits_of(plan_of("alderford"), text_of("alderford"), at, asked)


def test_form_of_a_run_shows_trade_words_first():
    form = form_of(plan_of("alderford"), text_of("alderford"), "wiring.C4")
    first = [field.label for field in form.fields if field.main]
    assert first == [field.label for field in form.fields][: len(first)]
    assert first == [
        *("From", "Goes through", "To", "Fuse", "Area", "Length, one way", "Colour", "Lies in", "Return"),
    ]
    assert form["from"].needed
    assert (form["area"].unit, form["area"].typed, form["bundle"].main) == ("mm²", "1 mm²", False)
    assert "U1.way_4" in form["from"].options
    assert {"wire", "body", "E0", "E1", "E2", "E3", "E4", "EB"} >= set(form["return"].options[:6])
    assert form["via"].options[0] == "bulkhead_left"
    assert form["through"].options == ("S3",)
    mains = form_of(plan_of("alderford"), text_of("alderford"), "wiring.M2")
    assert [field.name for field in mains.fields if field.main][3] == "breaker"
    assert not mains["return"].main


def test_form_of_a_part_goes_by_its_kind():
    plan, text = plan_of("bare"), BARE
    for kind in KINDS:
        form = form_of(plan, text, "parts.new", kind)
        assert form.is_new
        assert {field.name for field in form.fields} == set(fields_of(kind))
        assert set(KINDS[kind].needed) <= {field.name for field in form.fields if field.needed and field.main}
    assert [field.name for field in form_of(plan, text, "parts.new").fields] == [
        "kind",
        "name",
        "place",
        "like",
    ]
    assert form_of(plan, text, "parts.pump")["kind"].help == "Fresh, grey or shower pump."
    like = form_of(plan_of("saltpan"), text_of("saltpan"), "parts.upper")
    assert (like["like"].typed, like["capacity"].typed) == ("lower", "")
    assert not like["kind"].needed


def test_every_field_has_a_label_of_its_own():
    for record, made in RECORDS.items():
        labels = [label_of(record, name) for name in columns(made)]
        assert all(re.fullmatch(r"[A-Z][^_]*", label) for label in labels)
    for kind in KINDS:
        labels = [label_of("Part", name) for name in fields_of(kind)]
        assert len(set(labels)) == len(labels), kind


def test_options_of_a_reference_can_be_typed():
    """Each option of a field of a run, typed into it, is understood as an end, passage or place."""
    plan, text = plan_of("alderford"), text_of("alderford")
    form = form_of(plan, text, "wiring.C4")
    for name in ("via", "through", "fuse", "return"):
        for option in form[name].options[::4]:
            edits = edits_of(plan, text, "wiring.C4", {name: option})
            assert read_plan(apply_edits(text, edits)).wiring["C4"].typed >= {name}
