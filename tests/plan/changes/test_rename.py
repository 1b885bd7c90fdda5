"""A rename reaches every place where an id is named, and touches nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.mentions import Mention, mentions
from loomwright.plan.changes.rename import rename
from loomwright.plan.checks import BUILT_IN_MODES
from loomwright.plan.read import read_plan
from loomwright.plan.tree import parse
from loomwright.rules.check import check_plan
from tests.plans import random_plan

EXAMPLES = sorted(Path("examples").glob("*.yaml"))

PLAN = """\
loomwright: 1
title: pump   # pump
region: eu
places: {pump: [0, 0, 0], kitchen: [1, 0, 0]}
paths:
  sill: {along: [pump, [0.5, 0, 0], "kitchen"]}   # from the pump place
studs:
  E1: {place: 'pump', body_to: {E2: 1 mΩ}}
  E2: {place: kitchen}
parts:
  b: {kind: battery, place: pump, chemistry: agm, capacity: 95 Ah, note: the pump battery}
  alt: {kind: alternator, charges: v}
  v: {kind: vehicle_battery}
  P1: {kind: fuse_box, ways: 3}
  S1: {kind: switch}
  X5: {kind: plug, pins: 2}
  K1: {kind: relay, contact: change_over, off_while: v}
  M: {kind: master_switch}
  S0: {kind: control_panel, outputs: {pump: {switches: plus}}}
  pump: {kind: water_pump, place: kitchen, running: 4 A}
  lamp: {kind: lamp, running: 3 W}
  lamp2: {like: lamp, place: pump}
  sum: {kind: standby, running: 0.1 A, includes: [pump, U1/r]}
  sock: {kind: mains_socket}
  kettle: {kind: appliance, plugged: sock}
  prio: {kind: priority_relay, priority: [kettle]}
  U1:
    kind: unit
    ports: {in: r.30, out: r.87}
    inside:
      parts: {r: {kind: relay}, pump: {kind: busbar}}
      wiring: {pump: {from: r.85, to: pump}, W: {from: pump, through: r.30-87, to: r.85}}
wiring:
  main:
    fuse: [40 A bolted at M, {rating: 30 A, at: "M"}]
    from: b.plus
    through: M
    to: P1
    via: [sill, kitchen]
  W4: {from: P1.3, through: [X5.1, S1, K1.30-87a], to: pump, return: {to: E1, through: X5.2, via: pump}}
  pump:
    from: P1.1
    to:
      lamp: {through: S1, via: sill, return: b.minus}
      lamp2.plus: {length: 1 m}
    return: E1
  U: {from: v, to: [U1.in, S0]}
supplies: {site: {current: 10 A}}
modes:
  pump: {hook_up: site, running: [pump], plugged: {kettle: sock},
    starting: pump, switches: {M: off, S0.pump: on, U1/r: on}}
use:
  pump: {months: [jul], loads: {pump: 0.5 h, U1/r: 1 h}}
  rest: {like: pump, months: [jan]}
promises:
  pump: {says: pump, season: pump, part: pump, power: 5 W}
  b: {says: it stays live, switch: M, leaves: [pump, S0]}
cargo: {pump: {mass: 1 kg, place: pump}}
labels:
  {W4: 1, W4.X5.1: 2, W4.K1.30: 3, W4.return.X5.2: 4,
  pump.lamp: 5, pump.lamp.S1: 6, pump.lamp2.return: 7, U1/W.r: 8, retired: [9]}
accepted:
  1: {rule: x, where: pump.lamp, because: pump, by: pump}
  2: {rule: x, where: U1/pump, because: no, by: me}
  3: {rule: x, where: P1.3, because: no, by: me}
"""
W4 = next(line.strip() for line in PLAN.splitlines() if line.startswith("  W4: {from"))


def given_in(text: str) -> list[Mention]:
    return [mention for mention in mentions(parse(text)) if mention.gives]


def there_and_back(text: str, mention: Mention, new: str) -> str:
    path = mention.id.removesuffix(mention.name)
    renamed = rename(text, mention.space, mention.id, new)
    assert renamed != text
    return rename(renamed, mention.space, path + new, mention.name)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_id_of_an_example_goes_there_and_back(path: Path) -> None:
    text = path.read_text("utf-8")
    for mention in given_in(text):
        assert there_and_back(text, mention, "zz_é9") == text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_with_every_id_renamed_has_the_same_findings(path: Path) -> None:
    text = renamed = path.read_text("utf-8")
    for mention in given_in(text):
        if mention.id not in BUILT_IN_MODES:
            at = "/".join(f"{name}_xq" for name in mention.id.split("/")[:-1])
            renamed = rename(
                renamed, mention.space, "/".join([at, mention.name]).lstrip("/"), f"{mention.name}_xq"
            )
    assert renamed.replace("_xq", "") == text
    said = [
        (found.severity, found.rule, found.says, found.do, found.value)
        for found in check_plan(read_plan(text)).findings
    ]
    again = [
        (found.severity, found.rule, found.says.replace("_xq", ""), found.do.replace("_xq", ""), found.value)
        for found in check_plan(read_plan(renamed)).findings
    ]
    assert sorted(again, key=str) == sorted(said, key=str)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.integers(3, 25), st.data())
def test_a_random_van_reads_with_any_id_renamed(seed: int, wires: int, data: st.DataObject) -> None:
    text = random_plan(seed, wires)
    mention = data.draw(st.sampled_from(given_in(text)))
    read_plan(rename(text, mention.space, mention.id, "zz_9"))
    assert there_and_back(text, mention, "zz_9") == text


def test_the_plan_with_every_sort_of_reference_reads() -> None:
    read_plan(PLAN)


def test_every_id_of_the_plan_with_every_sort_of_reference_goes_there_and_back() -> None:
    for mention in given_in(PLAN):
        new = "zz9"
        read_plan(rename(PLAN, mention.space, mention.id, new))
        assert there_and_back(PLAN, mention, new) == PLAN


def lines(text: str) -> set[str]:
    """Lines of the plan that a rename changed, with the new name in them."""
    return {
        after.strip()
        for before, after in zip(PLAN.splitlines(), text.splitlines(), strict=True)
        if before != after
    }


def test_a_part_is_told_apart_from_a_place_a_run_a_mode_and_a_word_of_the_same_name() -> None:
    renamed = rename(PLAN, "parts", "pump", "zz")
    assert lines(renamed) == {
        "zz: {kind: water_pump, place: kitchen, running: 4 A}",
        "sum: {kind: standby, running: 0.1 A, includes: [zz, U1/r]}",
        W4.replace("to: pump", "to: zz"),
        "pump: {hook_up: site, running: [zz], plugged: {kettle: sock},",
        "starting: zz, switches: {M: off, S0.pump: on, U1/r: on}}",
        "pump: {months: [jul], loads: {zz: 0.5 h, U1/r: 1 h}}",
        "pump: {says: pump, season: pump, part: zz, power: 5 W}",
        "b: {says: it stays live, switch: M, leaves: [zz, S0]}",
    }


def test_a_run_is_renamed_in_labels_and_what_is_accepted() -> None:
    assert lines(rename(PLAN, "wiring", "pump", "W5")) == {
        "W5:",
        "W5.lamp: 5, W5.lamp.S1: 6, W5.lamp2.return: 7, U1/W.r: 8, retired: [9]}",
        "1: {rule: x, where: W5.lamp, because: pump, by: pump}",
    }


def test_a_part_in_series_is_renamed_in_wire_ids_passages_and_fuses() -> None:
    assert lines(rename(PLAN, "parts", "K1", "K7")) == {
        "K7: {kind: relay, contact: change_over, off_while: v}",
        W4.replace("K1", "K7"),
        "{W4: 1, W4.X5.1: 2, W4.K7.30: 3, W4.return.X5.2: 4,",
    }
    assert lines(rename(PLAN, "parts", "M", "cut")) >= {
        'fuse: [40 A bolted at cut, {rating: 30 A, at: "cut"}]',
        "through: cut",
        "starting: pump, switches: {cut: off, S0.pump: on, U1/r: on}}",
        "b: {says: it stays live, switch: cut, leaves: [pump, S0]}",
    }


def test_what_lies_inside_a_composite_is_renamed_by_its_path() -> None:
    inner = rename(PLAN, "parts", "U1/pump", "bar")
    assert "parts: {r: {kind: relay}, bar: {kind: busbar}}" in inner
    assert "wiring: {pump: {from: r.85, to: bar}, W: {from: bar, through: r.30-87, to: r.85}}" in inner
    assert "where: U1/pump" in inner  # a wire of that name goes first
    assert "where: U1/x" in rename(PLAN, "wiring", "U1/pump", "x")
    assert "U1/W.k: 8" in rename(PLAN, "parts", "U1/r", "k")
    assert {"U9/r", "U9/W.r", "U9/pump", "U9.in"} <= {
        word.strip(",:{}[]") for word in rename(PLAN, "parts", "U1", "U9").split()
    }


def test_a_name_in_quotes_keeps_them() -> None:
    text = PLAN.replace("to: pump, return", 'to: "pump", return').replace(
        "starting: pump", "starting: 'pump'"
    )
    assert 'to: "zz", return' in rename(text, "parts", "pump", "zz")
    escaped = PLAN.replace("starting: pump", r'starting: "pu\x6dp"')
    read_plan(rename(escaped, "parts", "pump", "zz"))


@pytest.mark.parametrize(
    ("space", "old", "new", "says"),
    [
        ("parts", "pmp", "x", 'no entry of parts "pmp". Did you mean "pump"?'),
        ("parts", "pump", "E1", '"E1" is there already'),
        ("parts", "pump", "LAMP", "Capitals do not tell them apart"),
        ("places", "pump", "sill", '"sill" is there already'),
        ("parts", "pump", "the pump", "is no id"),
        ("parts", "pump", "body", "has a meaning of its own"),
        ("wiring", "W4", "retired", "has a meaning of its own"),
        ("wiring", "W4", "P1", "would be taken for something else in accepted.3.where"),
    ],
)
def test_a_name_that_can_not_be_is_refused(space: str, old: str, new: str, says: str) -> None:
    with pytest.raises(PlanError) as refused:
        rename(PLAN, space, old, new)
    assert says in str(refused.value)


def test_capitals_alone_may_change() -> None:
    assert "Pump: {kind: water_pump" in rename(PLAN, "parts", "pump", "Pump")


def test_a_document_built_on_another_is_renamed_there() -> None:
    with pytest.raises(PlanError, match=r"those of van\.yaml"):
        rename(
            "loomwright: 1\ntitle: x\ndocument: variant\nof: van.yaml\nparts: {a: {kind: lamp}}",
            "parts",
            "a",
            "b",
        )
