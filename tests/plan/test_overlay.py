"""Variants, as-built records and readings: laid over their parents."""

from __future__ import annotations

import pytest

from loomwright.errors import PlanError
from loomwright.plan.read import read_plan
from loomwright.plan.values import End, Quantity

BASE = """loomwright: 1
title: Sixhill
region: uk
places: {bench: [1, 0, 0]}
parts:
  house: {kind: battery, chemistry: agm, capacity: 95 Ah, place: bench}
  box: {kind: fuse_box, ways: 4}
  lamp: {kind: lamp, running: 3 W}
  fan: {kind: fan}
wiring:
  main: {from: house, to: box, area: 10 mm², length: 1 m}
  L1: {from: box.1, to: lamp, area: 1 mm², length: 4 m}
  L2: {from: box.2, to: fan, via: bench}
"""
VARIANT = """loomwright: 1
document: variant
of: base.yaml
title: Sixhill, lithium
parts:
  house: {chemistry: lifepo4, capacity: 100 Ah}
  pump: {kind: water_pump}
wiring:
  L3: {from: box.3, to: pump}
removed: [wiring.L2, parts.fan, wiring.main.area]
"""
BUILT = """loomwright: 1
document: as_built
of: variant.yaml
serial: 7
wiring: {L1: {length: 4.4 m, built: fitted}}
"""
READINGS = """loomwright: 1
document: readings
of: built.yaml
modes: {evening: {switches: {}}}
readings:
  r1: {mode: evening, red: house.plus, black: house.minus, volts: 12.7 V, by: Kim}
  r2: {mode: parked, at: box.1, amps: -0.3 A}
"""
FILES = {"base.yaml": BASE, "variant.yaml": VARIANT, "built.yaml": BUILT}


def refusal(text: str, files: dict[str, str] | None = None) -> str:
    """Return why a document is refused."""
    with pytest.raises(PlanError) as wrong:
        read_plan(text, "this.yaml", (FILES if files is None else files).__getitem__)
    return str(wrong.value)


def test_variant_is_the_parent_with_its_changes():
    plan = read_plan(VARIANT, "variant.yaml", FILES.__getitem__)
    assert (plan.title, plan.region, plan.document) == ("Sixhill, lithium", "uk", "variant")
    house = plan.parts["house"]
    assert (house.chemistry, house.place) == ("lifepo4", "bench")
    assert list(plan.parts) == ["house", "box", "lamp", "pump"]
    assert list(plan.wiring) == ["main", "L1", "L3"]
    assert "area" not in plan.wiring["main"].typed
    assert "length" in plan.wiring["main"].typed


def test_as_built_over_a_variant():
    plan = read_plan(BUILT, "built.yaml", FILES.__getitem__)
    run = plan.wiring["L1"]
    assert run.length == Quantity(4.4, 4.4, "m", "4.4 m")
    assert (run.built, run.from_, plan.serial) == ("fitted", End("box", "1"), "7")
    assert plan.parts["house"].chemistry == "lifepo4"


def test_readings():
    plan = read_plan(READINGS, "readings.yaml", FILES.__getitem__)
    assert plan.readings["r1"].red == End("house", "plus")
    amps = plan.readings["r2"].amps
    assert isinstance(amps, Quantity)
    assert amps.low == -0.3
    assert "evening" in plan.modes
    assert plan.wiring["L1"].built == "fitted"


def test_an_error_names_the_file_that_it_is_in():
    broken = FILES | {"base.yaml": BASE.replace("kind: fan}", "kind: fann}")}
    assert refusal(VARIANT.replace(", parts.fan", ""), broken).startswith(
        'base.yaml:9:15  parts.fan.kind: no kind of part "fann". Did you mean "fan"?'
    )
    assert refusal(VARIANT.replace("capacity: 100 Ah", "capacity: 100")) == (
        'this.yaml:6:41  parts.house.capacity: "100" has no unit. Write 100 Ah.'
    )


def test_what_a_removed_part_leaves_behind_is_an_error_in_the_parent():
    assert refusal(
        VARIANT.replace("wiring.L2, ", "")
    ) == 'base.yaml:13:25  wiring.L2.to: no part or stud "fan".' + (" There is house, box, lamp, pump.")


def test_rings_are_refused():
    ring = {"a.yaml": "loomwright: 1\ndocument: variant\nof: this.yaml\n"}
    text = "loomwright: 1\ndocument: variant\nof: a.yaml\n"
    assert "in a ring: this.yaml → a.yaml → this.yaml" in refusal(text, ring)


def test_eight_deep_and_no_deeper():
    chain = {f"v{n}.yaml": f"loomwright: 1\ndocument: variant\nof: v{n + 1}.yaml\n" for n in range(1, 10)}
    top = "loomwright: 1\ndocument: variant\nof: v1.yaml\n"
    assert read_plan(top, "v0.yaml", (chain | {"v8.yaml": BASE}).__getitem__).title == "Sixhill"
    assert "more than 8 documents" in refusal(top, chain | {"v9.yaml": BASE})


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("document: variant\n", "this.yaml:2:11  of: a variant builds on another file."),
        ("document: variant\nof: no.yaml\n", 'this.yaml:3:5  of: no file "no.yaml" beside this one.'),
        ("document: variant\nof: ../base.yaml\n", 'this.yaml:3:5  of: "../base.yaml" is not a bare name.'),
        (
            "document: variant\nof: base.yaml\nremoved: [wiring.L9]\n",
            'this.yaml:4:11  removed: nothing to remove: no entry or field "L9" in the parent.',
        ),
        (
            "document: readings\nof: base.yaml\nparts: {x: {kind: lamp}}\n",
            "this.yaml:4:1  parts: parts can't stand in readings; only the header, modes and readings can.",
        ),
        (
            "document: readings\nof: base.yaml\nreadings: {r: {mode: night, at: lamp, amps: 1 A}}\n",
            'this.yaml:4:22  readings.r.mode: no mode "night".',
        ),
        (
            "document: readings\nof: base.yaml\nreadings: {r: {mode: parked, red: lamp, volts: 1 V}}\n",
            "this.yaml:4:12  readings.r: black is missing; it belongs to volts.",
        ),
    ],
)
def test_refused(text, says):
    assert refusal("loomwright: 1\n" + text).startswith(says)


def test_without_a_way_to_the_parent():
    with pytest.raises(PlanError, match="only the text of this document was given"):
        read_plan(VARIANT, "variant.yaml")


def test_nothing_builds_on_readings():
    files = FILES | {"r.yaml": READINGS}
    assert "nothing builds on readings" in refusal("loomwright: 1\ndocument: variant\nof: r.yaml\n", files)
