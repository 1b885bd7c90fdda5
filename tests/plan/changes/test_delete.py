"""What is taken out leaves a plan that reads, names it nowhere, and was told of beforehand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.delete import delete
from loomwright.plan.changes.references import GROUPS, references
from loomwright.plan.edit import apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.plan.tree import parse
from tests.plan.changes.test_rename import ALL
from tests.plan.changes.vans import BARE, EXAMPLES, RANDOM, plan_of, text_of

SPACES = (*("parts", "studs", "places", "paths", "wiring", "supplies", "modes", "use", "promises"),)
SPACES += ("questions", "cargo", "accepted")


def gone(text: str, space: str, id: str) -> tuple[str, tuple[str, ...]]:
    """Return the text without an entry, and what was said of it; it has to read and to name it nowhere."""
    plan = read_plan(text)
    found = delete(plan, text, space, id)
    after = apply_edits(text, found.edits)
    read_plan(after)
    scope, _, name = id.rpartition("/")
    target = (GROUPS.get(space), f"{scope}/" if scope else "", name)
    assert not [one for one in references(parse(after)) if (one.group, one.scope, one.id) == target]
    assert all(one.endswith(".") for one in found.consequences)
    return after, found.consequences


def entries(plan: Plan) -> list[tuple[str, str]]:
    return [(space, id) for space in SPACES for id in getattr(plan, space)]


@settings(max_examples=60)
@given(st.sampled_from([*EXAMPLES, *RANDOM[:3], "bare"]), st.data())
def test_whatever_is_taken_out_the_rest_reads(van, data):
    text, plan = text_of(van), plan_of(van)
    space, id = data.draw(st.sampled_from(entries(plan)))
    if space == "places" and any(stud.place == id for stud in plan.studs.values()):
        with pytest.raises(PlanError, match=r"Put (it|them) elsewhere"):
            delete(plan, text, space, id)
        return
    after, _ = gone(text, space, id)
    kept = [line for line in text.splitlines() if line.lstrip().startswith("#")]
    assert all(line in after for line in kept)


@pytest.mark.parametrize(("space", "id"), [one for one in entries(read_plan(ALL)) if one[0] != "places"])
def test_every_entry_of_a_plan_full_of_references(space, id):
    gone(ALL, space, id)


@pytest.mark.parametrize(
    ("space", "id"),
    [*(("parts", f"U1/{id}") for id in ("bar", "minus", "KS", "box", "pump")), ("wiring", "U1/W4")],
)
def test_inside_a_composite(space, id):
    after, _ = gone(ALL, space, id)
    assert "U1:" in after


def test_all_of_a_van_can_be_taken_out_one_by_one():
    text = text_of("mossgrove")
    for space, id in entries(plan_of("mossgrove")):
        if id in getattr(read_plan(text), space) and space != "places":
            text, _ = gone(text, space, id)
    assert "parts:" not in text
    assert "wiring:" not in text


SENTENCES = {
    ("mossgrove", "wiring", "W4"): ["W4 feeds the pump, Twin USB and Rear lamps: all lose their feed."],
    ("saltpan", "wiring", "W4"): ["W4 feeds the fan and the lamps: both lose their feed."],
    ("alderford", "wiring", "C2"): [
        "C2 feeds the kitchen strip: it loses its feed.",
        "Switch of the kitchen strip is not wired any more.",
    ],
    ("alderford", "wiring", "D1"): ["D1 feeds b2b.signal: it loses its feed."],
    ("alderford", "parts", "FC1"): [
        "V1 goes too. It feeds the b2b: it loses its feed.",
        "V3 goes too. It feeds U1.VB: it loses its feed.",
        "FC1_post goes too.",
    ],
    ("alderford", "parts", "S3"): ["C2 passed through S3 and goes straight on now; nothing opens it there."],
    ("alderford", "parts", "pump"): [
        "C4 goes too.",
        "use.summer.loads.pump and use.spring_autumn.loads.pump go too.",
    ],
    ("alderford", "parts", "S0"): [
        "Mode parked_leisure, mode parked_vehicle, mode driving, mode driving_vehicle, mode hook_up, "
        "mode hook_up_vehicle and mode master_off set S0.master: that line goes."
    ],
    ("alderford", "parts", "co_alarm"): ["The standby no longer includes it; look at its figure."],
    ("alderford", "studs", "E3"): [
        "The figure measured to it from E0 goes too.",
        "The return of C4, the return of C5 and the return of C8 end on the bare body now; no stud is named.",
    ],
    ("alderford", "studs", "E0"): ["starter_earth ends on the bare body now; no stud is named."],
    ("alderford", "paths", "left_sill"): ["V2, V3, T1 and D2 no longer lie in left_sill."],
    ("alderford", "use", "summer"): ["Promise july is about it and goes too."],
    ("mossgrove", "parts", "usb"): ["W4 feeds only the pump and Rear lamps now."],
    ("saltpan", "parts", "lower"): ["upper was like it; what it had of it is written out there."],
    ("saltpan", "use", "camp"): ["travel was like it; what it had of it is written out there."],
    ("planeshed", "parts", "main_switch"): [
        "I1 passed through main_switch and goes straight on now; nothing opens it there.",
        "The fuse of I1 beside it moves to the beginning of the run.",
    ],
    ("amberquay", "parts", "switch_bed"): [
        "L3 passed through switch_bed and goes straight on now; nothing opens it there."
    ],
    ("amberquay", "parts", "minus_bar"): [
        "split_coil, L1, L2, L3, L4, L5 and L6 returned to it and have no return now."
    ],
    ("amberquay", "places", "kitchen"): ["S1, the fridge and the pump have no place now."],
}


@pytest.mark.parametrize(("van", "space", "id"), SENTENCES)
def test_consequences_are_said(van, space, id):
    _, says = gone(text_of(van), space, id)
    for sentence in SENTENCES[van, space, id]:
        assert sentence in says


def test_what_it_was_like_is_written_out():
    after = read_plan(gone(text_of("saltpan"), "parts", "lower")[0])
    before = plan_of("saltpan").parts["upper"]
    assert (after.parts["upper"].capacity, after.parts["upper"].usable) == (before.capacity, before.usable)


def test_labels_are_retired_and_what_was_accepted_goes():
    text = text_of("mossgrove") + (
        "labels: {W3: 3, W4: 4, W4.usb: 5, W4.pump: 6, W4.return: 7, W1: 8, W1.relay: 9, retired: 2} # nos\n"
        "accepted:\n  one: {rule: x, where: W4.usb, because: y, by: z}\n"
        "  two: {rule: x, where: W3, because: y, by: z}\n"
    )
    after, says = gone(text, "wiring", "W4")
    plan = read_plan(after)
    assert plan.labels.retired == (2, 4, 5, 6, 7)
    assert set(plan.labels.numbers) == {"W3", "W1", "W1.relay"}
    assert list(plan.accepted) == ["two"]
    assert "# nos" in after
    assert "Label 4, label 5, label 6 and label 7 are retired." in says
    assert "What was accepted of W4.usb goes too." in says
    # where only one load is left there are no legs any more, so their numbers go as well
    plan = read_plan(gone(gone(text, "parts", "usb")[0], "parts", "pump")[0])
    assert plan.labels.retired == (2, 5, 6)
    plan = read_plan(gone(text, "parts", "relay")[0])
    assert (plan.labels.retired, plan.labels.numbers["W1"]) == ((2, 9), 8)


def test_what_ends_on_a_stud_ends_on_the_body():
    text = BARE + (
        "wiring:\n  minus: {from: leisure.minus, to: E1}\n  bond: {from: E1, to: body}\n"
        "  W1: {from: P1.1, to: {pump: {return: E1}}, return: {to: E1, length: 1 m}}   # a\n"
        "  bars: {from: minus_bar, to: {E1: {length: 1 m}, S2: {}}}\n  two: {from: E2, to: [E1, body]}\n"
    )
    after, says = gone(text, "studs", "E1")
    assert "  minus: {from: leisure.minus, to: body}\n" in after
    assert "bond" not in after
    assert "  W1: {from: P1.1, to: {pump: {return: body}}, return: {to: body, length: 1 m}}   # a\n" in after
    assert set(read_plan(after).wiring["bars"].legs) == {"body", "S2"}
    assert [str(end) for end in read_plan(after).wiring["two"].to] == ["body"]
    assert "bond goes too." in says


def test_a_place_with_the_name_of_a_stud_is_told_apart():
    text = BARE.replace("  bay: {", "  E1: {").replace("place: bay", "place: E1")
    text += "wiring:\n  W1: {from: P1.1, to: pump, via: [E1, kitchen], return: E1}\n"
    after, _ = gone(text, "places", "E1")
    assert "via: [kitchen], return: E1}" in after


def test_a_mode_on_a_supply_that_goes_is_on_any():
    text = BARE + "supplies: {post: {current: 10 A}}\nmodes: {m: {hook_up: post}}\n"
    after, says = gone(text, "supplies", "post")
    assert read_plan(after).modes["m"].hook_up == "any"
    assert says == ("Mode m is on any supply now.",)


def test_an_intermediate_switch_goes_with_its_pair():
    text = BARE.replace("  S1: {kind: switch}", "  S1: {kind: intermediate}")
    text += "wiring:\n  W1: {from: P1.1, fuse: 3 A at S1, through: [S2, S1, S3], to: pump}\n"
    run = read_plan(gone(text, "parts", "S3")[0]).wiring["W1"]
    assert [str(one) for one in run.through] == ["S2"]
    assert run.fuse[0].at == "from"


def test_a_mode_that_names_nobody_left_still_runs_nobody():
    text = BARE + "modes:\n  m: {running: [pump], starting: [pump]}\n"
    mode = read_plan(gone(text, "parts", "pump")[0]).modes["m"]
    assert (mode.running, mode.starting) == ((), ())


@pytest.mark.parametrize(
    ("space", "id", "says"),
    [
        ("parts", "pmup", 'no part "pmup". Did you mean "pump"'),
        ("places", "seat", "E1 stands here. Put it elsewhere first"),
        ("parts", "U9/KS", 'no part "U9/KS"'),
        ("lamps", "x", "no entry"),
    ],
)
def test_what_can_not_be_is_refused(space, id, says):
    with pytest.raises(PlanError, match=says):
        delete(plan_of("bare"), BARE, space, id)


def test_in_a_variant_only_its_own_entries():
    text = "loomwright: 1\ndocument: variant\nof: base.yaml\nparts:\n  extra: {kind: lamp}\n"
    text += "wiring:\n  W1: {from: P1.1, to: [extra, pump]}\n"
    plan = read_plan(text, parent=lambda name: BARE)
    after = apply_edits(text, delete(plan, text, "parts", "extra").edits)
    assert [str(end) for end in read_plan(after, parent=lambda name: BARE).wiring["W1"].to] == ["pump"]
    with pytest.raises(PlanError, match=r"removed: \[parts.pump\]"):
        delete(plan, text, "parts", "pump")
