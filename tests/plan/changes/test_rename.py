"""An id renamed is the same plan: it reads, and renamed back it is the same text."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.changes.rename import rename
from loomwright.plan.pieces import take_apart
from loomwright.plan.read import read_plan
from tests.plan.changes.vans import EXAMPLES, RANDOM, plan_of, text_of

SPACES = ("parts", "studs", "places", "paths", "wiring", "supplies", "modes", "use", "promises", "questions")

#: Every way in which an id can be meant.
ALL = """\
loomwright: 1
title: pump W4 E1 kitchen   # pump
region: eu
note: pump
places:
  kitchen: [0.6, 0.7, 0.5]
  seat: [0, 0, 0]
paths:
  sill: {along: [kitchen, [0, 0, 0], seat]}
studs:
  E1: {place: kitchen, body_to: {E2: 1 mΩ}}
  "E2": {place: "seat"}
parts:
  starter: {kind: vehicle_battery}
  alternator: {kind: alternator, charges: starter}
  leisure: {kind: battery, chemistry: agm, capacity: 95 Ah, place: seat}
  second: {like: leisure}
  P1: {kind: fuse_box, ways: 9, minus_rail: yes, place: kitchen}
  S0: {kind: control_panel, outputs: {pump: {switches: plus}, S1: {switches: minus}}}
  S1: {kind: switch}
  T1: {kind: two_way}
  T2: {kind: two_way}
  X5: {kind: plug, pins: 3}
  K1: {kind: relay, contact: change_over, off_while: leisure}
  pump: {kind: water_pump, note: pump}
  lamps: {kind: lamp}
  usb: {kind: usb}
  fridge: {kind: fridge}
  all_small: {kind: standby, running: 0.1 A, includes: [pump, U1, U1/KS]}
  S7: {kind: mains_socket}
  kettle: {kind: appliance, plugged: S7}
  prio: {kind: priority_relay, priority: [kettle]}
  U1:
    kind: unit
    place: kitchen
    ports: {feed: bar, pump: box.1, S1: KS.86, M: minus}
    inside:
      parts:
        bar: {kind: busbar}
        minus: {kind: busbar}
        KS: {kind: relay, off_while: bar, place: seat}
        K2: {like: KS}
        box: {kind: fuse_box, ways: 3}
        pump: {kind: splice}
      wiring:
        W4: {from: bar, fuse: 3 A at KS, through: KS.30-87, to: box, via: sill}
        pump: {from: box.2, to: pump}
wiring:
  main: {from: leisure.plus, fuse: 40 A bolted, to: P1, return: {to: E1}}
  in: {from: P1.8, to: U1.feed}
  U1: {from: U1.M, to: E1}
  W1: {from: P1.1, through: [S1, X5.1], fuse: [10 A, {rating: 5 A, at: S1}, 5 A at X5], to: pump,
    via: [sill, kitchen], return: {through: X5.2, to: E1, via: sill}}
  W2: {from: P1.2, to: {pump: {through: X5.3, fuse: 5 A at X5, via: [seat], return: {to: P1.minus}}, usb: {}},
    return: wire}
  W3: {from: P1.3, through: [T1, T2], to: [lamps, usb], return: E2}
  W4: {from: "P1.4", through: K1.30-87a, to: 'fridge', return: body}
  K: {from: S0.pump, to: K1.86, return: {to: S0.S1}}
supplies:
  post: {current: 10 A}
modes:
  pump: {hook_up: post, switches: {S0.pump: on, S1: off, U1/KS: on, T1: b}, running: [pump, fridge],
    starting: pump, plugged: {kettle: S7}}
  driving: {hook_up: any}
use:
  summer: {months: [jul], loads: {pump: 1 h, U1/KS: 2 h}}
  winter: {like: summer, months: [dec]}
promises:
  pump: {says: pump, season: summer, part: pump, power: 5 W}
  off: {says: off, season: winter, switch: S0.pump, leaves: [fridge, U1/KS]}
cargo:
  pump: {mass: 1 kg, place: kitchen}
labels: {W1: 1, W1.S1: 2, W1.X5.1: 3, W2.pump: 4, W2.pump.return: 5, W1.return.X5.2: 6, W2.pump.X5.3: 7,
  U1/W4.KS.30: 8, W3.T2.a: 9, retired: [20]}
accepted:
  pump: {rule: pump, where: W1.S1, because: pump, by: pump}
  two: {rule: pump, where: U1/KS, because: pump, by: pump}
  three: {rule: pump, where: pump, because: pump, by: pump}
  four: {rule: pump, where: kitchen, because: pump, by: pump}
"""

CASES = {
    ("parts", "pump"): 12,  # with its key, and no output, port, mode, note or run of the name
    ("parts", "U1/pump"): 2,
    ("parts", "S1"): 6,
    ("parts", "X5"): 9,
    ("parts", "U1/KS"): 11,
    ("parts", "U1/box"): 4,
    ("parts", "U1"): 10,
    ("parts", "K1"): 3,
    ("parts", "T2"): 3,
    ("parts", "S0"): 5,
    ("parts", "leisure"): 4,
    ("parts", "S7"): 3,
    ("studs", "E1"): 4,
    ("studs", "E2"): 3,
    ("places", "kitchen"): 8,
    ("places", "seat"): 6,
    ("paths", "sill"): 4,
    ("wiring", "W1"): 6,
    ("wiring", "W4"): 1,
    ("wiring", "U1/W4"): 2,
    ("wiring", "U1"): 1,
    ("supplies", "post"): 2,
    ("modes", "pump"): 1,
    ("use", "summer"): 3,
    ("promises", "pump"): 1,
    ("cargo", "pump"): 1,
}


@pytest.mark.parametrize(("space", "old"), CASES)
def test_every_place_that_means_it_and_no_other(space, old):
    read_plan(ALL)
    new = rename(ALL, space, old, "zzz")
    read_plan(new)
    assert new.count("zzz") == CASES[space, old]
    back = old.rpartition("/")
    assert rename(new, space, f"{back[0]}{back[1]}zzz", back[2]) == ALL
    assert re.sub("zzz", back[2], new) == ALL  # quotes, comments and layout stand as they were


@settings(max_examples=60)
@given(st.sampled_from([*EXAMPLES, *RANDOM]), st.data())
def test_a_van_renamed_reads_and_comes_back(van, data):
    text, plan = text_of(van), plan_of(van)
    space = data.draw(st.sampled_from([space for space in SPACES if getattr(plan, space)]))
    old = data.draw(st.sampled_from(list(getattr(plan, space))))
    new = rename(text, space, old, "neu_ß9")
    after = read_plan(new)
    assert "neu_ß9" in getattr(after, space)
    assert old not in getattr(after, space)
    if space == "parts":
        wires = [piece.id for piece in take_apart(plan).pieces()]
        words = [re.sub(rf"(?<![\w]){old}(?![\w])", "neu_ß9", wire) for wire in wires]
        again = [piece.id for piece in take_apart(after).pieces()]
        assert len(wires) == len(again)
        assert set(again) <= {*words, *wires}
    assert rename(new, space, "neu_ß9", old) == text


@pytest.mark.parametrize(
    ("space", "old", "new", "says"),
    [
        ("parts", "pump", "E1", r'"E1" is there already \(line 11\)'),
        ("parts", "pump", "Usb", "Capitals"),
        ("parts", "pump", "pump", '"pump" is there already'),
        ("parts", "pump", "my pump", "is no id"),
        ("parts", "pump", "1pump", "is no id"),
        ("parts", "pump", "body", "has a meaning of its own"),
        ("parts", "pmup", "shower", 'Did you mean "pump"'),
        ("parts", "E1", "shower", 'no part "E1"'),
        ("studs", "pump", "shower", 'no stud "pump"'),
        ("places", "kitchen", "sill", '"sill" is there already'),
        ("parts", "U1/KS", "box", '"box" is there already'),
        ("promises", "pump", "off", '"off" is there already'),
        ("lamps", "pump", "off", 'no section "lamps"'),
    ],
)
def test_what_can_not_be_is_refused(space, old, new, says):
    with pytest.raises(PlanError, match=says):
        rename(ALL, space, old, new)


def test_capitals_of_an_id_can_be_changed():
    assert "Pump: {kind" in rename(ALL, "parts", "pump", "Pump")


def test_a_document_that_builds_on_the_plan_can_follow():
    variant = (
        "loomwright: 1\ndocument: variant\nof: base.yaml\n"
        "removed: [wiring.W2, parts.U1.inside.parts.KS.note]\n"
        "parts:\n  pump: {running: 3 A}\nwiring:\n  W9: {from: P1.7, to: pump}\n"
    )
    after = rename(variant, "parts", "pump", "shower")
    assert after == variant.replace("pump", "shower")
    assert "parts.EB" in rename(variant, "parts", "U1", "EB")
    assert "wiring.W5," in rename(variant, "wiring", "W2", "W5")
    assert "parts.KX" in rename(variant, "parts", "U1/KS", "KX")
    with pytest.raises(PlanError, match="no part"):
        rename(variant, "parts", "fridge", "cool")
