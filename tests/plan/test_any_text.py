"""Whatever is typed, a plan loads or every problem has its place in the text."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError
from loomwright.plan.columns import columns
from loomwright.plan.kinds import KINDS
from loomwright.plan.model import RECORDS
from loomwright.plan.read import read_data, read_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
TEXTS = [path.read_text(encoding="utf-8") for path in EXAMPLES]
FIELDS = sorted({name for record in RECORDS.values() for name in columns(record)})
VALUES = [
    *(
        "15 A",
        "2.5 mm²",
        "1.2 m",
        "unknown",
        "auto",
        "none",
        "yes",
        "12 V",
        "P",
        "P.1",
        "Q.plus",
        "E",
        "body",
    ),
    *(
        "wire",
        "jan",
        "24 h at 30 %",
        "com-a",
        "",
        "1",
        "-1 m",
        "20..10 %",
        "a b",
        "E.x.y",
        "K/P.1",
        "variant",
    ),
    *KINDS,
]


def check(text: str) -> None:
    """Read a text and look at where its problems are, if it has any."""
    lines = text.count("\n") + 1
    try:
        read_plan(text, "any.yaml")
    except PlanError as wrong:
        problems = wrong.problems
    else:
        return
    assert problems
    assert list(problems) == sorted(problems)
    for problem in problems:
        assert problem.file == "any.yaml"
        assert 1 <= problem.line <= lines + 1
        assert problem.column >= 1
        assert problem.says.strip()


@given(st.text(max_size=200))
def test_any_text(text):
    check(text)


@settings(max_examples=150)
@given(st.sampled_from(TEXTS), st.data())
def test_a_van_with_a_piece_cut_out_or_doubled(text, data):
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    middle = data.draw(st.sampled_from(["", text[start:end] * 2, " ", ",", "}", "x", ": "]))
    check(text[:start] + middle + text[end:])


leaves = st.sampled_from(VALUES)
trees = st.recursive(
    leaves,
    lambda below: (
        st.lists(below, max_size=3)
        | st.dictionaries(st.sampled_from([*FIELDS, "P", "Q", "E"]), below, max_size=5)
    ),
    max_leaves=25,
)
entries = st.dictionaries(st.sampled_from(["P", "Q", "E", "K"]), trees, max_size=4)
plans = st.dictionaries(st.sampled_from(sorted(columns(RECORDS["Plan"]))), entries | trees, max_size=8)


@settings(max_examples=400)
@given(plans)
def test_any_tree_of_known_words(data):
    try:
        read_data({"loomwright": "1", **data, "title": "Van", "region": "eu"})
    except PlanError as wrong:
        problems = wrong.problems
    else:
        problems = ()
    assert all(problem.says for problem in problems)


parts = st.fixed_dictionaries({"kind": st.sampled_from(sorted(KINDS))}) | st.fixed_dictionaries(
    {"kind": st.sampled_from(["unit", "fuse_box", "relay", "selector", "plug"])},
    optional={
        "ways": st.sampled_from(["2", "unknown"]),
        "pins": st.just("2"),
        "ports": st.just({"a": "P.1", "b": "Q", "1": "Q.plus"}),
        "inside": st.fixed_dictionaries(
            {
                "parts": st.just({"P": {"kind": "fuse_box", "ways": "2"}, "Q": {"kind": "lamp"}}),
                "wiring": st.just({}),
            }
        ),
        "positions": st.just({"a": "com-a", "off": "none"}),
    },
)
ends = st.sampled_from(["P", "P.1", "P.a", "Q", "Q.plus", "Q.minus", "E", "K", "K.85", "body", "R.in"])
runs = st.fixed_dictionaries(
    {"from": ends, "to": ends | st.lists(ends, max_size=3) | st.dictionaries(ends, st.just({}), max_size=2)},
    optional={
        "through": st.lists(st.sampled_from(["P", "Q", "K", "R", "P.1", "K.30-87"]), max_size=3),
        "fuse": st.sampled_from(["3 A", "5 A at to", "5 A at K", "auto", "none"]),
        "return": st.sampled_from(["wire", "body", "E", "Q", "P.minus"]),
    },
)


@settings(max_examples=300)
@given(
    st.fixed_dictionaries(dict.fromkeys("PQKR", parts)),
    st.dictionaries(st.sampled_from(["W", "V", "U"]), runs, min_size=1),
)
def test_any_wiring_of_any_parts(some_parts, wiring):
    data = {
        "loomwright": "1",
        "title": "Van",
        "region": "eu",
        "places": {"a": {}},
        "studs": {"E": {"place": "a"}},
    }
    try:
        read_data({**data, "parts": some_parts, "wiring": wiring})
    except PlanError as wrong:
        problems = wrong.problems
    else:
        problems = ()
    assert all(problem.path for problem in problems)
