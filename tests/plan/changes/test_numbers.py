"""Numbers printed on wires: each wire its own, none given twice, what was given stays."""

from __future__ import annotations

import pytest

from loomwright import assess
from loomwright.assessment.ends import listed_wires
from loomwright.errors import PlanError
from loomwright.plan.changes.fields import edits_of, form_of
from loomwright.plan.changes.numbers import FIRST, give_numbers
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan
from tests.plan.changes.vans import EXAMPLES, plan_of, text_of
from tests.plans import random_plan, with_circuit_inserted


@pytest.mark.parametrize("van", EXAMPLES)
def test_every_wire_but_the_makers_own_gets_a_number_once(van):
    text = apply_edits(text_of(van), give_numbers(plan_of(van)))
    plan = read_plan(text)
    given = list(plan.labels.numbers.values())
    assert len(given) == len(set(given)) > 5
    assert give_numbers(plan) == ()
    job = assess(plan)
    wires = {wire.id for wire in listed_wires(job) if not wire.factory and "/" not in wire.id}
    assert set(plan.labels.numbers) == wires  # a joint of no length has none
    comments = [line for line in text_of(van).splitlines() if line.startswith("#")]
    assert comments == [line for line in text.splitlines() if line.startswith("#")]


@pytest.mark.parametrize("seed", range(3))
def test_numbers_stay_when_a_wire_is_inserted_and_when_given_again(seed):
    plan = read_plan(random_plan(seed, 20))
    text = apply_edits(random_plan(seed, 20), give_numbers(plan))
    before = dict(read_plan(text).labels.numbers)
    more = _before_labels(text)
    assert give_numbers(read_plan(text)) == ()
    later = read_plan(apply_edits(more, give_numbers(read_plan(more)))).labels.numbers
    assert {wire: number for wire, number in later.items() if wire in before} == before
    assert sorted(set(later) - set(before)) == ["new_1", "new_1.return"]
    assert min(later["new_1"], later["new_1.return"]) == max(before.values()) + 1


def _before_labels(text):
    plan, _, labels = text.partition("\nlabels:")
    return f"{with_circuit_inserted(plan, 3)}\nlabels:{labels}"


def test_numbers_begin_at_101_and_pass_over_those_once_given():
    text = apply_edits(text_of("mossgrove"), give_numbers(plan_of("mossgrove")))
    assert min(read_plan(text).labels.numbers.values()) == FIRST
    few = text_of("mossgrove") + "\nlabels: {W2: 7, retired: [205]}\n"
    later = read_plan(apply_edits(few, give_numbers(read_plan(few)))).labels
    assert later.numbers["W2"] == 7
    assert min(number for wire, number in later.numbers.items() if wire != "W2") == 206


def test_the_form_of_the_numbers_writes_changes_and_takes_away():
    text = text_of("mossgrove")
    for typed, then in (
        ({"W2": "12", "W4.pump": "13"}, {"W2": 12, "W4.pump": 13}),
        ({"W2": ""}, {"W4.pump": 13}),
    ):
        plan = read_plan(text)
        text = apply_edits(text, edits_of(plan, text, "labels", typed))
        assert read_plan(text).labels.numbers == then
    form = form_of(read_plan(text), text, "labels")
    assert (form["W4.pump"].typed, form["W2"].typed) == ("13", "")
    assert edits_of(read_plan(text), text, "labels", {one.name: one.typed for one in form.fields}) == ()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"W3": "7"}, "7 is the number of W2"),
        ({"W3": "9"}, "9 was on a wire that is gone"),
        ({"W99": "8"}, "There is no wire W99"),
    ],
)
def test_a_number_is_never_on_two_wires(typed, says):
    text = text_of("mossgrove") + "\nlabels: {W2: 7, retired: [9]}\n"
    with pytest.raises(PlanError, match=says):
        edits_of(read_plan(text), text, "labels", typed)


def test_a_question_has_a_form_of_one_field():
    text = text_of("mossgrove")
    form = form_of(read_plan(text), text, "questions.winter")
    assert form.is_new
    assert [field.name for field in form.fields] == ["says"]
    asked = 'Does "it" last: three days?'
    text = apply_edits(text, edits_of(read_plan(text), text, "questions.winter", {"says": asked}))
    assert read_plan(text).questions["winter"] == asked
    form = form_of(read_plan(text), text, "questions.winter")
    assert (form.is_new, form["says"].typed) == (False, asked)
