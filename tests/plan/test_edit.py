"""Edits written into a plan's text: what is said changes as asked, and nothing else changes at all."""

from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.edit import Edit, apply_edits, edits_from_data
from loomwright.plan.tree import List, Map, Node, Scalar, from_data, parse, to_data
from tests.plan.plan_texts import data, ids, texts, typed_plans

PLAN = """\
loomwright: 1   # version
title: Mossgrove

# the studs
studs:
  E1: {place: seat_base, thread: M8}   # left
  E2: {place: rear}

parts:
  U1:
    kind: unit
    inside:
      parts:
        bridge: {kind: selector, rests: vehicle}   # moved by hand
  pump: {kind: water_pump,   # 12 V
    running: 6 A}
  lamp:
    kind: lamp
    running: 2.5 W   # each
    # four of them
    count: 4
  sill:

wiring:
  W1: {from: starter, fuse: 100 A bolted, to: leisure, area: 25 mm², return: {to: E1, area: 25 mm²}}
  W4: {from: P1.2, fuse: 15 A, to: [pump, usb, lamps], area: 1.0 mm², bundle: 4}   # rear loads
  W9:
    via:
      - left_sill   # under the trim
      - cab_floor
      - rear_header
    return: wire
# the end
"""


CHANGES = {
    "a value in brackets": (
        [Edit("wiring.W4.area", "2.5 mm²")],
        {"area: 1.0 mm²": "area: 2.5 mm²"},
    ),
    "inside a unit": (
        [Edit("parts.U1.inside.parts.bridge.rests", "leisure")],
        {"rests: vehicle": "rests: leisure"},
    ),
    "a value and a new field in a block": (
        [Edit("parts.lamp.running", "3 W"), Edit("parts.lamp.note", "left: low")],
        {"2.5 W": "3 W", "    count: 4\n": "    count: 4\n    note: 'left: low'\n"},
    ),
    "feed and return": (
        [Edit("wiring.W1.area", "35 mm²"), Edit("wiring.W1.return.area", "35 mm²")],
        {"area: 25 mm², return: {to: E1, area: 25 mm²}": "area: 35 mm², return: {to: E1, area: 35 mm²}"},
    ),
    "an item and a field taken out of brackets": (
        [Edit("wiring.W4.to", ["usb", "lamps"]), Edit("wiring.W4.fuse", remove=True)],
        {"fuse: 15 A, to: [pump, usb, lamps]": "to: [usb, lamps]"},
    ),
    "items put before, between and after": (
        [Edit("wiring.W4.to", ["a, b", "pump", "usb", "lamps"]), Edit("parts.lamp.zones", ["wet"])],
        {"[pump,": "['a, b', pump,", "    count: 4\n": "    count: 4\n    zones: [wet]\n"},
    ),
    "the last field changed for another": (
        [Edit("wiring.W4.bundle", remove=True), Edit("wiring.W4.note", "a, b")],
        {"bundle: 4}": "note: 'a, b'}"},
    ),
    "a whole entry written over": (
        [Edit("wiring.W4", {"from": "P1.3", "to": ["pump", "lamps"], "area": "1.0 mm²", "note": "x"})],
        {"P1.2, fuse: 15 A, to: [pump, usb, lamps]": "P1.3, to: [pump, lamps]", ", bundle: 4": ", note: x"},
    ),
    "a new entry": (
        [Edit("wiring.W10", {"from": "P1.4", "to": "pump"})],
        {"    return: wire\n": "    return: wire\n  W10: {from: P1.4, to: pump}\n"},
    ),
    "an entry taken out": (
        [Edit("studs.E1", remove=True)],
        {"  E1: {place: seat_base, thread: M8}   # left\n": ""},
    ),
    "all entries of a section taken out": (
        [Edit("studs.E1", remove=True), Edit("studs.E2", remove=True)],
        {"studs:\n  E1: {place: seat_base, thread: M8}   # left\n  E2: {place: rear}\n": "studs: {}\n"},
    ),
    "a section taken out": (
        [Edit("studs", remove=True)],
        {"studs:\n  E1: {place: seat_base, thread: M8}   # left\n  E2: {place: rear}\n": ""},
    ),
    "a field alone in its line, after a comment": (
        [Edit("parts.pump.running", remove=True)],
        {"water_pump,   # 12 V\n    running: 6 A}": "water_pump   # 12 V\n    }"},
    ),
    "a field of an empty entry": (
        [Edit("parts.sill.kind", "load")],
        {"  sill:\n": "  sill: {kind: load}\n"},
    ),
    "items of a block list": (
        [Edit("wiring.W9.via", ["left_sill", "rear_header", "roof"])],
        {"      - cab_floor\n      - rear_header\n": "      - rear_header\n      - roof\n"},
    ),
    "an item before the others of a block list": (
        [Edit("wiring.W9.via", ["roof", "left_sill", "cab_floor", "rear_header"])],
        {"      - left_sill": "      - roof\n      - left_sill"},
    ),
    "a text becomes a map if written whole": (
        [Edit("wiring.W9.return", {"to": "E2"})],
        {"return: wire": "return: {to: E2}"},
    ),
    "a block list becomes a text": (
        [Edit("wiring.W9.via", "left_sill")],
        {PLAN[PLAN.index("via:\n") : PLAN.index("    return: wire")]: "via: left_sill\n"},
    ),
    "names with dots": (
        [Edit("labels.W4", "104"), Edit("labels.W4.return", "105"), Edit("labels.retired", ["103"])],
        {": wire\n": ": wire\n\nlabels:\n  W4: 104\n  W4.return: 105\n  retired: [103]\n"},
    ),
    "a name with a decimal point": (
        [Edit("prices.cable", {"2.5 mm²": "1.10"}), Edit("prices.cable.2.5 mm²", "1.20")],
        {"    return: wire\n": "    return: wire\n\nprices:\n  cable: {2.5 mm²: 1.20}\n"},
    ),
    "an edit sees those before it": (
        [Edit("wiring.W10", {"to": "a"}), Edit("wiring.W10.to", "b"), Edit("wiring.W9", remove=True)],
        {
            PLAN[PLAN.index("  W9:") : PLAN.index("# the end")]: "  W10: {to: b}\n",
        },
    ),
    "the same again": (
        [Edit("wiring.W4.area", "1.0 mm²"), Edit("wiring.W4.to", ["pump", "usb", "lamps"])],
        {},
    ),
}


@pytest.mark.parametrize(("edits", "changes"), CHANGES.values(), ids=CHANGES)
def test_what_changes(edits, changes):
    wanted = PLAN
    for old, new in changes.items():
        assert PLAN.count(old) == 1
        wanted = wanted.replace(old, new)
    assert apply_edits(PLAN, edits) == wanted


def test_new_things_stand_where_a_person_would_put_them():
    changed = apply_edits(
        PLAN,
        [
            Edit("system", "12 V"),
            Edit("wiring.W10", {"from": "P1.4"}),
            Edit("wiring.W9.note", "x"),
            Edit("questions.a", "Why?"),
        ],
    )
    assert "title: Mossgrove\nsystem: 12 V\n\n# the studs\n" in changed
    assert changed.endswith(
        "    return: wire\n    note: x\n  W10: {from: P1.4}\n\nquestions:\n  a: Why?\n# the end\n"
    )


def test_a_line_that_gets_too_long_goes_on_in_the_next():
    text = "wiring:\n  W1: {note: " + "x" * 120 + ", to: E1}\n"
    new = apply_edits(text, [Edit("wiring.W1.says", "y" * 40), Edit("wiring.W1.b", "c")])
    assert new == text.replace("E1}", "E1,\n    says: " + "y" * 40 + ", b: c}")


def test_a_new_entry_too_long_for_a_line_is_a_block():
    new = apply_edits(PLAN, [Edit("wiring.W10", {"from": "x" * 100, "to": "y" * 100})])
    assert f"  W10:\n    from: {'x' * 100}\n    to: {'y' * 100}\n# the end\n" in new


def test_texts_typed_as_a_block_of_lines():
    text = "a:\n  note: |\n    one\n    two\n\n  kept: |+\n    x\n\n"
    data = to_data(parse(text))
    assert data == {"a": {"note": "one\ntwo\n", "kept": "x\n\n"}}
    assert apply_edits(text, [Edit("a.note", "x: y")]) == text.replace("|\n    one\n    two", "'x: y'")
    for edit in (Edit("a.b", "x"), Edit("b.c", "x"), Edit("a.note", remove=True), Edit("a.kept", "z")):
        section, name = edit.at.split(".")
        wanted = copy.deepcopy(data)
        wanted.setdefault(section, {})[name] = edit.write
        if edit.remove:
            del wanted[section][name]
        assert to_data(parse(apply_edits(text, [edit]))) == wanted


def test_a_change_that_would_change_more_is_not_made():
    text = "a: |\n  without a line end"
    with pytest.raises(PlanError, match="this change can't be made in the text as it is laid out"):
        apply_edits(text, [Edit("b.c", "x")])


def test_lines_of_brackets_lose_the_line_of_what_is_taken_out():
    text = "a: {\n  b: 1,   # one\n  c: 2,   # two\n  d: 3   # three\n  }\n"
    assert apply_edits(text, [Edit("a.c", remove=True)]) == text.replace("  c: 2,   # two\n", "")
    assert apply_edits(text, [Edit("a.d", remove=True)]) == "a: {\n  b: 1,   # one\n  c: 2   # two\n  }\n"
    assert apply_edits(text, [Edit("a.b", remove=True)]) == text.replace("  b: 1,   # one\n", "")


@pytest.mark.parametrize(
    ("edit", "at", "says"),
    [
        (Edit("wiring.W99.area", "x"), "wiring:", 'wiring has no "W99". Did you mean "W9"?'),
        (Edit("wirng.W4.area", "x"), "loomwright:", 'this plan has no "wirng". Did you mean "wiring"?'),
        (Edit("wiring.W4.feed", remove=True), "W4: {from: P1.2", 'W4 has no "feed".'),
        (Edit("labels.W4", remove=True), "loomwright:", 'this plan has no "labels".'),
        (
            Edit("wiring.W4.fuse.type", "bolted"),
            "fuse: 15 A",
            "fuse is one value here (15 A), without fields. Write it whole, as a map.",
        ),
        (
            Edit("wiring.W9.return.area", "x"),
            "return: wire",
            "return is one value here (wire), without fields. Write it whole, as a map.",
        ),
        (
            Edit("wiring.W4.to.pump", "x"),
            "to: [pump",
            "to is one value here ([pump, usb, lamps]), without fields. Write it whole, as a map.",
        ),
        (Edit("wiring.W4.area"), "area: 1.0", "nothing to write here. To take it out, say remove: true."),
        (
            Edit("wiring.W4.note", "\0"),
            "W4: {from: P1.2",
            "a character that can't be seen or printed stands here (U+0000). Delete it.",
        ),
        (Edit("wiring.W4..x", "y"), "W4: {from: P1.2", 'W4 has no "".'),
        (Edit("", "y"), "loomwright:", "a name is missing before the colon."),
    ],
)
def test_an_edit_that_leads_nowhere_says_where(edit, at, says):
    """It points to the last name of the path that is there."""
    with pytest.raises(PlanError) as refused:
        apply_edits(PLAN, [Edit("title", "not written either"), edit])
    (problem,) = refused.value.problems
    assert (problem.path, problem.says) == (edit.at, says)
    assert PLAN.split("\n")[problem.line - 1][problem.column - 1 :].startswith(at)


def test_something_must_be_left():
    with pytest.raises(PlanError, match="nothing of the plan would be left"):
        apply_edits("title: x\n", [Edit("title", remove=True), Edit("note", "y")])


def test_edits_from_json():
    assert edits_from_data([{"at": "a.b", "write": {"c": 5}}, {"at": "a.c", "remove": True}]) == (
        Edit("a.b", {"c": 5}),
        Edit("a.c", remove=True),
    )
    assert Edit("a.b", "x").as_data() == {"at": "a.b", "write": "x"}
    assert Edit("a.b", remove=True).as_data() == {"at": "a.b", "remove": True}
    assert apply_edits("a: {b: x}", edits_from_data([{"at": "a.b", "write": 5}])) == "a: {b: 5}"


@pytest.mark.parametrize(
    "item", [{}, {"at": "a"}, {"at": 1, "write": "x"}, {"at": "a", "write": "x", "remove": True}, "a", None,
             {"at": "a", "write": None}, {"at": "a", "remove": False}, {"at": "a", "write": "x", "why": "y"}]
)  # fmt: skip
def test_what_is_no_edit_is_refused(item):
    with pytest.raises(PlanError, match="edit 2 needs at, and either write"):
        edits_from_data([{"at": "a", "write": "x"}, item])
    with pytest.raises(PlanError, match="a list of maps"):
        edits_from_data(item)


# --- for any plan, typed in any style


def nodes(tree: Map, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], tuple[Scalar, Node]]:
    """Return name and value of every entry that a path reaches."""
    found: dict[tuple[str, ...], tuple[Scalar, Node]] = {}
    for key, value in tree.entries:
        found[(*path, key.text)] = key, value
        if isinstance(value, Map):
            found |= nodes(value, (*path, key.text))
    return found


def holder_of(plan: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any]:
    for name in path[:-1]:
        plan = plan[name]
    return plan


@st.composite
def edits_of(
    draw: st.DrawFn, plan: dict[str, Any]
) -> tuple[list[Edit], dict[str, Any], list[tuple[str, ...]]]:
    """Draw edits of a plan; return them, the data they lead to, and the paths touched."""
    plan, edits, touched = copy.deepcopy(plan), [], []
    anything = data(ids, texts) | texts | st.lists(texts, max_size=4)
    for _ in range(draw(st.integers(1, 4))):
        paths = list(nodes(from_data(plan)))
        path = draw(st.sampled_from(paths))
        kind = draw(st.sampled_from(["write", "add", "remove"]))
        if kind == "add":
            inner = holder_of(plan, (*path, ""))
            path = (
                (*path, "new_" + draw(ids)) if isinstance(inner, dict) else (*path[:-1], "new_" + draw(ids))
            )
        if kind == "remove" and len(path) == 1:
            continue
        if kind == "remove":
            del holder_of(plan, path)[path[-1]]
            edits.append(Edit(".".join(path), remove=True))
        else:
            value = draw(anything)
            holder_of(plan, path)[path[-1]] = copy.deepcopy(value)
            edits.append(Edit(".".join(path), value))
        touched.append(path)
    return edits, plan, touched


def comments(text: str, spans: list[tuple[int, int]]) -> list[str]:
    """Return the comments of a text, without those in lines that the spans touch."""
    lines, at = [], 0
    for line in text.splitlines(keepends=True):
        if not any(start < at + len(line) and end >= at for start, end in spans):
            lines += re.findall(r"# (?:c\d+|top|bottom)", line)
        at += len(line)
    return lines


def under(path: tuple[str, ...], touched: list[tuple[str, ...]]) -> bool:
    return any(path[: len(edit)] == edit for edit in touched)


@settings(max_examples=200)
@given(typed_plans(), st.data())
def test_edits_change_what_they_name_and_nothing_else(typed, draws):
    text, plan = typed
    edits, wanted, touched = draws.draw(edits_of(plan))
    new = apply_edits(text, edits)
    assert to_data(parse(new)) == wanted

    old_nodes, new_nodes = nodes(parse(text)), nodes(parse(new))
    for path, (key, value) in old_nodes.items():
        if not under(path, touched) and not isinstance(value, Map | List):
            new_key, new_value = new_nodes[path]
            assert new[new_key.start : new_value.end] == text[key.start : value.end]

    spans = [
        (key.start, value.end)
        for path, (key, value) in old_nodes.items()
        if under(path, touched)
        or (isinstance(value, Map | List) and any(t[: len(path)] == path for t in touched))
    ]
    kept = comments(new, [])
    assert [comment for comment in comments(text, spans) if comment not in kept] == []
    if "\r\n" in text:
        assert not re.search(r"(?<!\r)\n", new)


@settings(max_examples=100)
@given(typed_plans(), texts, st.data())
def test_a_text_written_over_a_text_touches_only_it(typed, new_value, draws):
    text, plan = typed
    scalars = {p: n for p, (_, n) in nodes(parse(text)).items() if isinstance(n, Scalar)}
    if not scalars:
        return
    path = draws.draw(st.sampled_from(sorted(scalars)))
    node = scalars[path]
    new = apply_edits(text, [Edit(".".join(path), new_value)])
    assert new.startswith(text[: node.start])
    assert new.endswith(text[node.end :])
    back = apply_edits(new, [Edit(".".join(path), node.text)])
    assert to_data(parse(back)) == plan


@settings(max_examples=100)
@given(typed_plans(), st.data())
def test_an_edit_and_its_undoing_give_the_same_data(typed, draws):
    text, plan = typed
    path = draws.draw(st.sampled_from(sorted(nodes(parse(text)))))
    old = holder_of(plan, path)[path[-1]]
    new = apply_edits(text, [Edit(".".join(path), draws.draw(data(ids, texts) | texts))])
    assert to_data(parse(apply_edits(new, [Edit(".".join(path), old)]))) == plan
    if len(path) > 1:
        without = apply_edits(text, [Edit(".".join(path), remove=True)])
        assert to_data(parse(apply_edits(without, [Edit(".".join(path), old)]))) == plan


def test_the_example_vans_take_every_edit(root: Path):
    """Each value of each example plan, written over with itself and with another text, and taken out."""
    files = sorted((root / "examples").glob("*.yaml"))
    assert files
    for file in files:
        text = file.read_text(encoding="utf-8")
        tree = parse(text, file.name)
        assert apply_edits(text, [Edit("title", to_data(tree)["title"])]) == text
        for path, (_, value) in list(nodes(tree).items())[::11]:
            at = ".".join(path)
            if isinstance(value, Scalar):
                new = apply_edits(text, [Edit(at, "zzz")])
                assert new == text[: value.start] + "zzz" + text[value.end :]
            if len(path) > 1:
                wanted = to_data(tree)
                del holder_of(wanted, path)[path[-1]]
                assert to_data(parse(apply_edits(text, [Edit(at, remove=True)]))) == wanted
