"""A run by pointing: the same wire from either end, and a sentence where no wire can be."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.candidates import candidates
from loomwright.plan.changes.connect import connect
from loomwright.plan.edit import apply_edits
from loomwright.plan.kinds import terminals
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from tests.plan.changes.vans import BARE, EXAMPLES, RANDOM, changed, plan_of, text_of

VANS = ("bare", *EXAMPLES, *RANDOM)

#: What is pointed at, in this order or the other, and the run it makes.
RUNS = {
    "way to load": (("P1.3", "pump"), {"from": "P1.3", "to": "pump", "return": "E2"}),
    "box to load": (("P1", "pump"), {"from": "P1.1", "to": "pump", "return": "E2"}),
    "battery to load": (
        ("leisure", "pump"),
        {"from": "leisure.plus", "fuse": "auto", "to": "pump", "return": "E2"},
    ),
    "vehicle battery to charger": (
        ("starter", "b2b"),
        {"from": "starter.plus", "fuse": "auto", "to": "b2b", "return": "E1"},
    ),
    "charger to battery": (
        ("b2b", "leisure"),
        {"from": "b2b", "fuse": "auto at to", "to": "leisure.plus", "return": "wire"},
    ),
    "panel to regulator": (("panel", "reg"), {"from": "panel", "to": "reg", "return": "wire"}),
    "regulator to battery": (
        ("reg", "leisure"),
        {"from": "reg", "fuse": "auto at to", "to": "leisure.plus", "return": "wire"},
    ),
    "regulator to box": (("reg", "P1"), {"from": "reg", "to": "P1"}),
    "battery to box": (("leisure", "P1"), {"from": "leisure.plus", "fuse": "auto", "to": "P1"}),
    "plus to bar": (("leisure", "plus_bar"), {"from": "leisure.plus", "fuse": "auto", "to": "plus_bar"}),
    "bar to box": (("plus_bar", "P1"), {"from": "plus_bar", "fuse": "auto", "to": "P1"}),
    "minus to stud": (("leisure.minus", "E1"), {"from": "leisure.minus", "to": "E1"}),
    "battery to stud": (("leisure", "E1"), {"from": "leisure.minus", "to": "E1"}),
    "bar to minus": (("minus_bar", "leisure.minus"), {"from": "minus_bar", "to": "leisure.minus"}),
    "shunt to minus": (("shunt", "leisure.minus"), {"from": "shunt", "to": "leisure.minus"}),
    "coil": (("P1.2", "K1.86"), {"from": "P1.2", "to": "K1.86"}),
    "signal": (("alternator.d_plus", "b2b.signal"), {"from": "alternator.d_plus", "to": "b2b.signal"}),
    "sender": (("gauge.sender", "tank"), {"from": "gauge.sender", "to": "tank", "return": "wire"}),
    "inverter": (
        ("leisure", "inv"),
        {"from": "leisure.plus", "fuse": "auto", "to": "inv", "return": "wire"},
    ),
    "inlet to breakers": (("inlet", "U1"), {"from": "inlet", "to": "U1"}),
    "breakers to socket": (("U1", "sock"), {"from": "U1.1", "to": "sock"}),
    "breakers to charger": (("U1", "chg"), {"from": "U1.1", "to": "chg"}),
    "inverter to socket": (("inv", "sock"), {"from": "inv", "to": "sock"}),
    "case to stud": (("inv.case", "E1"), {"from": "inv.case", "to": "E1"}),
    "earth bar to stud": (("U1.earth", "E1"), {"from": "U1.earth", "to": "E1"}),
}


def run_of(plan: Plan, start: str, end: str, **asked: Any) -> dict[str, object]:
    [edit] = connect(plan, start, end, **asked).edits
    assert isinstance(edit.write, dict)
    return edit.write


@pytest.mark.parametrize(("ends", "run"), RUNS.values(), ids=RUNS)
@pytest.mark.parametrize("swapped", [False, True], ids=["onward", "back"])
def test_either_end_first_makes_the_same_run(ends, run, swapped):
    made = run_of(plan_of("bare"), *(ends[::-1] if swapped else ends))
    if "return" not in run and "K1.86" in ends:
        assert made.pop("return") == "minus_bar"  # nobody said where the relay is
    assert made == run


def test_order_of_what_it_passes_follows_the_feed():
    plan = plan_of("bare")
    assert run_of(plan, "P1.1", "pump", through=["S2", "S3"])["through"] == ["S2", "S3"]
    assert run_of(plan, "pump", "P1.1", through=["S2", "S3"])["through"] == ["S3", "S2"]
    split = run_of(plan, "leisure", "starter", through=["split"])
    assert (split["from"], split["fuse"], split["through"]) == ("starter.plus", "auto at both", "split")


@pytest.mark.parametrize(
    ("van", "start", "end", "key"),
    [
        ("alderford", "U1.way_10", "kettle", None),  # a kettle is on the mains
        ("alderford", "U1.way_10", "co_alarm", "C10"),
        ("alderford", "U1.PE", "E1", "V4"),
        ("alderford", "inlet", "kettle", "M4"),
        ("mossgrove", "P1.5", "usb", "W8"),
        ("amberquay", "P1.7", "pump", "L7"),
        ("saltpan", "P1.2", "fan", "W12"),
    ],
)
def test_key_follows_the_habit_of_the_plan(van, start, end, key):
    if key is None:
        with pytest.raises(PlanError, match="mains"):
            connect(plan_of(van), start, end)
        return
    made = connect(plan_of(van), start, end)
    assert (made.key, made.edits[0].at) == (key, f"wiring.{key}")
    assert key in made.says


def test_retired_number_and_removed_key_are_not_used_again():
    text = text_of("mossgrove") + "\nlabels: {W3: 3, retired: [8, 9]}\n"
    assert connect(read_plan(text), "P1.5", "usb").key == "W10"


def test_full_box_takes_no_more_and_the_first_free_way_is_taken():
    text = BARE
    for key, load in (("W1", "pump"), ("W2", "gauge")):
        made = connect(read_plan(text), load, "P2")
        assert made.key == key
        plan = changed(text, made.edits)
        text = apply_edits(text, made.edits)
    assert [str(run.from_) for run in plan.wiring.values()] == ["P2.1", "P2.2"]
    feed = connect(plan, "P1", "P2")  # it can still be fed
    assert feed.edits[0].write == {"from": "P1.1", "to": "P2"}
    with pytest.raises(PlanError, match="P2 has 2 ways"):
        connect(changed(text, feed.edits), "P2", "inv")


def test_shared_way_says_so():
    made = connect(plan_of("mossgrove"), "P1.1", "usb")
    assert "both hang on its one fuse" in made.says


@pytest.mark.parametrize(
    ("header", "load", "back"),
    [
        ("", "pump", "E2"),
        ("vehicle: {body: grp}", "pump", "minus_bar"),
        ("vehicle: {body: wood}", "gauge", "minus_bar"),
        ("", "gauge", "minus_bar"),  # place not known, several studs, a minus bar
    ],
)
def test_return_goes_where_it_can(header, load, back):
    text = BARE.replace("region: eu\n", f"region: eu\n{header}\n")
    assert run_of(read_plan(text), "P1.1", load)["return"] == back


def test_return_without_stud_near_or_bar():
    lines = [line for line in BARE.splitlines() if "minus_bar" not in line and "E2:" not in line]
    plan = read_plan("\n".join(lines))
    assert run_of(plan, "P1.1", "gauge")["return"] == "E1"  # the only stud
    none = read_plan("\n".join(line for line in lines if "studs:" not in line and "E1:" not in line))
    assert run_of(none, "P1.1", "gauge")["return"] == "body"
    rail = "\n".join(lines).replace("place: seat, ways: 3", "place: seat, ways: 3, minus_rail: yes")
    assert run_of(read_plan(rail), "P1.1", "gauge")["return"] == "wire"


def test_return_passes_over_a_stud_with_four_rings():
    text = BARE + "wiring:\n" + "".join(f"  W{n}: {{from: X5.{n % 2 + 1}, to: E2}}\n" for n in range(1, 4))
    assert run_of(read_plan(text), "P1.1", "pump")["return"] == "E2"
    text += "  W4: {from: X5.1, to: E2}\n"
    assert run_of(read_plan(text), "P1.1", "pump")["return"] == "E1"


def test_return_follows_a_plan_that_never_returns_by_the_body():
    assert run_of(plan_of("amberquay"), "P1.7", "fan", return_to=None).get("return") is None  # it has one
    text = text_of("amberquay").replace("  tank: {kind", "  extra: {kind: lamp}\n  tank: {kind")
    assert run_of(read_plan(text), "P1.7", "extra")["return"] == "minus_bar"


def test_return_asked_for_is_written():
    plan = plan_of("bare")
    assert run_of(plan, "P1.1", "pump", return_to="minus_bar")["return"] == "minus_bar"
    assert "return" not in run_of(plan, "P1.1", "pump", return_to="none")


def test_pointing_from_a_fed_part_to_a_stud_gives_its_run_the_return():
    text = BARE + "wiring:\n  W1: {from: P1.1, to: pump}   # by hand\n"
    made = connect(read_plan(text), "pump", "E2")
    assert (made.key, made.edits[0].at, made.edits[0].write) == ("W1", "wiring.W1.return", "E2")
    assert str(changed(text, made.edits).wiring["W1"].return_.to) == "E2"


IMPOSSIBLE = {
    "stud to stud": (("E1", "E2"), "both earth"),
    "minus to plus": (("leisure.minus", "starter.plus"), "short circuit"),
    "plus to stud": (("leisure.plus", "E1"), "point from leisure.minus"),
    "way to stud": (("P1.3", "E1"), "short circuit"),
    "mains to 12 V": (("inlet", "P1"), "a charger, an inverter"),
    "mains to stud": (("inlet", "E1"), "a bond starts at the earth bar"),
    "load to load": (("pump", "gauge"), "both only take"),
    "source to source": (("panel", "alternator"), "both only give"),
    "way to way": (("P1.1", "P2.1"), "both ways"),
    "to itself": (("P1.1", "P1.1"), "two ends"),
    "not there": (("pmup", "P1"), 'Did you mean "pump"'),
    "no such way": (("P1.9", "pump"), "P1 has 3 ways"),
    "which pin": (("X5", "pump"), "which terminal of X5"),
    "no end": (("P1-3", "pump"), "no end of a wire"),
    "no passage": (("P1.1", "pump", "gauge"), "can't stand in through"),
    "pin of a plug": (("P1.1", "pump", "X5"), "X5.1"),
}


@pytest.mark.parametrize(("asked", "says"), IMPOSSIBLE.values(), ids=IMPOSSIBLE)
def test_impossible_pair_is_refused_with_a_sentence(asked, says):
    with pytest.raises(PlanError, match=says) as refused:
        connect(plan_of("bare"), *asked[:2], through=asked[2:])
    assert all(problem.says.endswith((".", "?")) for problem in refused.value.problems)


def test_two_batteries_of_12_v_join_to_24_v_and_only_then():
    run = run_of(plan_of("saltpan"), "upper.minus", "lower.plus")
    assert (run["from"], run["to"]) == ("lower.plus", "upper.minus")
    with pytest.raises(PlanError, match="short circuit"):
        connect(plan_of("planeshed"), "battery_a.plus", "battery_b.minus")


@settings(max_examples=150)
@given(st.sampled_from(VANS), st.data())
def test_whatever_is_pointed_at_reads_again_or_is_refused(van, data):
    plan = plan_of(van)
    ends = [*plan.parts, *plan.studs, "body"]
    ends += [f"{id}.{terminal}" for id, part in plan.parts.items() for terminal in terminals(part)[:12]]
    start, end = data.draw(st.sampled_from(ends)), data.draw(st.sampled_from(ends))
    try:
        made = connect(plan, start, end)
    except PlanError:
        return
    after = changed(text_of(van), made.edits)
    assert made.key in after.wiring
    assert connect(plan, end, start).key == made.key


@settings(max_examples=40)
@given(st.sampled_from(VANS), st.data())
def test_every_candidate_can_be_joined(van, data):
    plan = plan_of(van)
    start = data.draw(st.sampled_from(list(plan.parts)))
    try:
        found = candidates(plan, start)
    except PlanError:
        return
    assert len({one.end for one in found}) == len(found)
    for one in found:
        connect(plan, start, one.end)
        assert one.says


def test_unwired_loads_come_first_in_plain_words():
    found = candidates(plan_of("bare"), "P1.2")
    assert (found[0].end, found[0].says, found[0].wired) == ("pump", "Fresh pump, not wired yet", False)
    text = BARE + "wiring:\n  W1: {from: P1.1, to: pump, return: E2}\n"
    after = candidates(read_plan(text), "P1.2")
    assert after[0].end == "gauge"
    assert next(one for one in after if one.end == "pump").says == "Fresh pump, fed by W1"
    studs = candidates(read_plan(text), "tank.minus")
    assert {one.end for one in studs[:4]} == {"E1", "E2", "minus_bar", "shunt"}
