"""A combined unit from plain answers reads, is fed as answered, and can be wired by pointing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.connect import connect
from loomwright.plan.changes.offers import offers
from loomwright.plan.changes.parts import new_part
from loomwright.plan.changes.starter import bare_van
from loomwright.plan.changes.unit import (
    PanelAnswer,
    RelayAnswer,
    UnitAnswers,
    WayAnswer,
    box_from_answers,
    unit_from_answers,
)
from loomwright.plan.edit import apply_edits
from loomwright.plan.kinds import side, way_of
from loomwright.plan.model import Plan
from loomwright.plan.pieces import take_apart
from loomwright.plan.read import read_plan
from tests.plan.changes.vans import BARE, changed, plan_of, text_of

#: The unit of the example van, as its owner would answer the form.
LIKE_THE_EXAMPLE = UnitAnswers(
    name="Combined unit",
    place="seat",
    ways=(
        WayAnswer(name="1", fed_by="light"),
        *(WayAnswer(name=name, fed_by="master") for name in ("2", "3", "5", "6", "7", "10")),
        WayAnswer(name="4", fed_by="pump"),
        WayAnswer(name="8", fed_by="fridge"),
        WayAnswer(name="9", fed_by="always"),
        WayAnswer(name="11", fed_by="always"),
    ),
    relays=(
        RelayAnswer(name="light", fed_by="master", rating="20 A"),
        RelayAnswer(name="pump", fed_by="master", rating="30 A"),
        RelayAnswer(name="fridge", works="voltage", rating="30 A", cut_out="11.4 V for 60 s"),
    ),
    panel_outputs=("selector", "master", "light", "pump"),
    supply="two batteries with selector",
    charger_a=18,
    mains_ways=1,
    panel=PanelAnswer(place="kitchen", area="0.75 mm²", length="2.6 m"),
)


def passed(plan: Plan, unit: str, port: str) -> tuple[set[str], set[str]]:
    """Return the relays and the terminals of batteries that lie behind a way of a unit, going inwards."""
    wiring = take_apart(plan)
    end = plan.parts[unit].ports[port]
    found, queue = set(), [f"{unit}/{end.id}.in"]
    relays = set()
    while queue:
        point = queue.pop()
        if point in found:
            continue
        found.add(point)
        for piece in wiring.by_point.get(point, ()):
            if piece.b == point:
                queue.append(piece.a)
        part = wiring.parts.get(wiring.part_of(point) or "")
        terminal = wiring.terminal_of(point)
        owner = wiring.part_of(point)
        if part is not None and part.kind in ("relay", "low_voltage_cut"):
            relays.add(part.id)
            if terminal in ("87", "out"):
                queue.append(f"{owner}.{'30' if terminal == '87' else 'in'}")
            elif terminal == "30" and part.contact == "change_over":
                queue += [f"{owner}.87", f"{owner}.87a"]
    return relays, {point.partition("/")[2] for point in found if point.endswith(("/lb", "/vb"))}


def test_like_the_unit_of_the_example():
    new = unit_from_answers(plan_of("bare"), LIKE_THE_EXAMPLE)
    plan = changed(BARE, new.edits)
    unit, example = plan.parts[new.id], plan_of("alderford").parts["U1"]
    assert {name for name in unit.ports if name.startswith("way")} == {
        name for name in example.ports if name.startswith("way")
    }
    for name in unit.ports:
        ours, theirs = way_of(unit, name), way_of(example, name) if name in example.ports else None
        assert name not in example.ports or (ours is None) == (theirs is None)
    behind = {name: passed(plan, new.id, name) for name in unit.ports if name.startswith("way")}
    both = {"lb", "vb"}
    assert behind["way_2"] == ({"K_selector", "K_master"}, both)
    assert behind["way_1"] == ({"K_selector", "K_master", "K_light"}, both)
    assert behind["way_8"] == ({"K_fridge"}, {"lb"})
    assert behind["way_9"] == (set(), {"lb"})
    assert side(unit, "mains_1") == "mains"
    panel = plan.parts["S0"]
    assert set(panel.outputs) == {"selector", "master", "light", "pump"}
    runs = {key: run for key, run in plan.wiring.items() if key.startswith("X1_")}
    assert list(runs) == ["X1_1", "X1_3", "X1_4", "X1_5", "X1_6"]
    assert {run.length.typed for run in runs.values()} == {"2.6 m"}
    coils = {piece.b for piece in take_apart(plan).pieces() if piece.a.startswith(f"{new.id}/x")}
    assert coils - {"S0.plus"} == {f"{new.id}/K_{name}.86" for name in panel.outputs}


def test_wired_by_pointing():
    new = unit_from_answers(plan_of("bare"), LIKE_THE_EXAMPLE)
    plan = changed(BARE, new.edits)
    pump = connect(plan, new.id, "pump").edits[0].write
    assert pump["from"] == f"{new.id}.way_1"
    assert "fuse" not in pump  # it sits in the way
    feed = connect(plan, f"{new.id}.leisure", "leisure").edits[0].write
    assert (feed["from"], feed["to"], feed["fuse"]) == ("leisure.plus", f"{new.id}.leisure", "auto")
    minus = connect(plan, "leisure.minus", f"{new.id}.minus").edits[0].write
    assert (minus["from"], minus["to"]) == (f"{new.id}.minus", "leisure.minus")
    mains = connect(plan, "inlet", f"{new.id}.mains_in").edits[0].write
    assert mains["to"] == f"{new.id}.mains_in"


names = st.sampled_from(["1", "2", "3", "pump", "light", "spare_2", "ä"])
relay_names = st.sampled_from(["pump", "light", "fridge", "aux"])


@settings(max_examples=60)
@given(st.data())
def test_any_fitting_answers_make_a_unit(data):
    two = data.draw(st.booleans())
    feeds = st.sampled_from(["always", "master", *(["selected"] if two else [])])
    relays = tuple(
        RelayAnswer(
            name=name,
            fed_by=data.draw(feeds),
            works=data.draw(st.sampled_from(["panel", "engine", "voltage"])),
        )
        for name in data.draw(st.lists(relay_names, unique=True, max_size=3))
    )
    fed_by = feeds | st.sampled_from([relay.name for relay in relays]) if relays else feeds
    outputs = [
        "master",
        *(["selector"] if two else []),
        *(one.name for one in relays if one.works == "panel"),
    ]
    answers = UnitAnswers(
        name=data.draw(st.sampled_from(["Power box", "U1", "Zentrale: links"])),
        ways=tuple(
            WayAnswer(name=name, fed_by=data.draw(fed_by)) for name in data.draw(st.lists(names, unique=True))
        ),
        relays=relays,
        panel_outputs=tuple(data.draw(st.lists(st.sampled_from(outputs), unique=True))),
        supply="two batteries with selector" if two else "one battery",
        charger_a=data.draw(st.none() | st.sampled_from([10, 18.5])),
        mains_ways=data.draw(st.integers(0, 2)),
        panel=PanelAnswer() if data.draw(st.booleans()) else None,
    )
    new = unit_from_answers(plan_of("bare"), answers)
    plan = changed(BARE, new.edits)
    unit = plan.parts[new.id]
    for way in answers.ways:
        assert way_of(unit, f"way_{way.name}") is not None
        relays_behind, batteries = passed(plan, new.id, f"way_{way.name}")
        own = next((one for one in relays if one.name == way.fed_by), None)
        feed = own.fed_by if own else way.fed_by
        assert ("K_master" in relays_behind) == (feed == "master")
        assert ("K_selector" in relays_behind) == (two and feed != "always")
        assert batteries == ({"lb", "vb"} if two and feed != "always" else {"lb"})
        assert own is None or f"K_{own.name}" in relays_behind


def test_a_second_unit_and_panel_take_other_ids():
    plan, text = plan_of("alderford"), text_of("alderford")
    answers = UnitAnswers(ways=(WayAnswer(name="1"),), panel_outputs=("master",), panel=PanelAnswer())
    new = unit_from_answers(plan, answers)
    after = changed(text, new.edits)
    assert new.id == "combined_unit"
    assert "control_panel" in after.parts
    assert set(after.wiring) - set(plan.wiring) == {"combined_unit_X1_1", "combined_unit_X1_3"}


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (UnitAnswers(ways=(WayAnswer(name="1"), WayAnswer(name="1"))), "two ways are called 1"),
        (UnitAnswers(ways=(WayAnswer(name="1", fed_by="pmup"),)), 'nothing called "pmup"'),
        (UnitAnswers(ways=(WayAnswer(name="1", fed_by="selected"),)), "with one battery nothing is selected"),
        (UnitAnswers(panel_outputs=("pump",)), "no relay of that name"),
        (UnitAnswers(panel_outputs=("selector",)), "no relay of that name"),
        (UnitAnswers(relays=(RelayAnswer(name="master"),)), "can't be called master"),
        (UnitAnswers(relays=(RelayAnswer(name="a b"),)), "can't be the name"),
        (UnitAnswers(place="roof"), 'no place "roof"'),
    ],
)
def test_answers_that_do_not_fit_are_refused(answers, says):
    with pytest.raises(PlanError, match=says):
        unit_from_answers(plan_of("bare"), answers)


def test_id_that_is_taken_is_refused():
    with pytest.raises(PlanError, match="there already"):
        unit_from_answers(plan_of("bare"), UnitAnswers(), "U1")


def test_box_of_unknown_insides():
    new = box_from_answers(
        plan_of("bare"), "Tank monitor", "kitchen", {"plus": "plus", "probe_in": "signal"}, "40 mA", "2 mA"
    )
    part = changed(BARE, new.edits).parts["tank_monitor"]
    assert (part.kind, part.place, dict(part.terminals)) == ("electronics", "kitchen", {"probe_in": "signal"})
    assert part.standby.low == pytest.approx(0.002)
    bare = box_from_answers(plan_of("bare"), "Box")
    assert bare.edits[0].write == {"kind": "electronics", "name": "Box"}
    with pytest.raises(PlanError, match="running"):
        box_from_answers(plan_of("bare"), "Box", running="40 mm")


def test_a_unit_is_offered_its_supplies_one_after_the_other():
    """Each port of a unit that the form makes is led to what it is for, until nothing is lacking."""
    answers = UnitAnswers(
        ways=(WayAnswer(name="lights"), WayAnswer(name="pump", fed_by="pump")),
        relays=(RelayAnswer(name="pump"), RelayAnswer(name="fridge", works="engine")),
        panel_outputs=("master", "pump"),
        supply="two batteries with selector",
        panel=PanelAnswer(),
    )
    text = bare_van({"vehicle_battery": "95", "leisure_capacity": "110", "leisure_chemistry": "agm"})
    text = apply_edits(text, unit_from_answers(read_plan(text), answers, "U1").edits)
    made = []
    while wanted := offers(read_plan(text), "U1"):
        made.append((wanted[0].start, wanted[0].end))
        text = apply_edits(text, connect(read_plan(text), wanted[0].start, wanted[0].end).edits)
    assert made == [
        ("U1.leisure", "leisure"),
        ("U1.vehicle", "starter"),
        ("U1.minus", "E1"),
        ("U1.engine", "alternator.d_plus"),
    ]
    text = apply_edits(text, new_part(read_plan(text), "water_pump", {"running": "5 A"}).edits)
    assert offers(read_plan(text), "water_pump")[0].end == "U1.way_pump"
