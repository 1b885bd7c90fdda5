"""The text of a plan as a tree: every scalar as typed, every place right, every refusal located and in words.

The outside reference for what a text says is PyYAML's own composer, with every scalar left as text.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.errors import PlanError, Problem
from loomwright.plan import yaml_reader
from loomwright.plan.tree import SIZE_LIMIT, List, Map, Node, Scalar, decode, from_data, parse, to_data
from tests.plan.plan_texts import data, names, texts, typed_plans


def scalars(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, List):
        for item in node.items:
            yield from scalars(item)
    else:
        for key, value in node.entries:
            yield key
            yield from scalars(value)


def refusals(text: str) -> tuple[Problem, ...]:
    """Return the problems of a text; none if it is read."""
    try:
        parse(text)
    except PlanError as refused:
        return refused.problems or pytest.fail("refused without a problem")
    return ()


def problems(text: str) -> list[str]:
    return [str(problem).removeprefix("plan:") for problem in refusals(text)]


@pytest.fixture(params=["CSafeLoader", "SafeLoader"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Read with libyaml, and with the parser in Python that stands in for it."""
    monkeypatch.setattr(yaml_reader, "PARSER", getattr(yaml, request.param))
    return request.param


# --- what is read


def test_scalars_stay_as_typed(parser):
    typed = [
        "on",
        "off",
        "no",
        "22:00",
        "012",
        "1e3",
        "2026-11-25",
        "~",
        "null",
        "0x1F",
        "1_000",
        "15 A",
        "=",
        ".5",
    ]
    tree = parse("a: [" + ", ".join(typed) + "]\nyes: {no: on}\n1: 2\n")
    assert to_data(tree) == {"a": typed, "yes": {"no": "on"}, "1": "2"}


def test_quoted_and_bare_are_told_apart():
    tree = parse("a: \"x\"\nb: 'x'\nc: x\nd: |\n  x\ne:\nf: ''\n")
    assert [value.quoted for _, value in tree.entries] == [True, True, False, True, False, True]
    assert to_data(tree) == {"a": "x", "b": "x", "c": "x", "d": "x\n", "e": None, "f": ""}


def test_places_with_accents_marks_and_line_ends(parser):
    text = "\ufefftitle: Mössgröve 😀\r\nstuds:\r\n  É1: {place: [ä, 'b c'],\r\n    note: }\r\n"
    tree = parse(text)
    places = {node.text: (node.line, node.column, text[node.start : node.end]) for node in scalars(tree)}
    assert places == {
        "title": (1, 1, "title"),
        "Mössgröve 😀": (1, 8, "Mössgröve 😀"),
        "studs": (2, 1, "studs"),
        "É1": (3, 3, "É1"),
        "place": (3, 8, "place"),
        "ä": (3, 16, "ä"),
        "b c": (3, 19, "'b c'"),
        "note": (4, 5, "note"),
        "": (4, 10, ""),
    }
    studs = tree.entries[1][1]
    assert isinstance(studs, Map)
    inner = studs.entries[0][1]
    assert isinstance(inner, Map)
    assert text[inner.start : inner.end] == "{place: [ä, 'b c'],\r\n    note: }"
    assert (inner.flow, studs.flow, text[studs.start : studs.end]) == (
        True,
        False,
        text[text.index("É1") : -2],
    )


@settings(max_examples=150)
@given(typed_plans())
def test_any_plan_is_read_as_the_yaml_library_reads_it(typed):
    text, plan = typed
    tree = parse(text)
    assert to_data(tree) == plan == yaml.load(text, yaml.CBaseLoader)
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    for node in scalars(tree):
        read = yaml.load(text[node.start : node.end], yaml.CBaseLoader)
        if node.quoted:  # a block's last line end lies behind it
            assert read.rstrip("\n") == node.text.rstrip("\n")
        begin = text[node.start : node.end].split("\n")[0].rstrip("\r")
        assert lines[node.line - 1][node.column - 1 :].startswith(begin)


@settings(max_examples=60)
@given(typed_plans())
def test_the_parser_in_python_gives_the_same_tree(typed):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(yaml_reader, "PARSER", yaml.SafeLoader)
        in_python = parse(typed[0])
    assert in_python == parse(typed[0])


@settings(max_examples=200)
@given(st.text("ab:-?#[]{},'\"|>&*!% \n\t\\", max_size=40) | st.text(max_size=20))
def test_any_text_gives_a_tree_or_located_problems(text):
    lines = text.splitlines() or [""]
    for problem in refusals(text):
        assert 1 <= problem.line <= len(lines) + 1
        assert problem.column >= 1
        assert problem.says.strip()


def test_the_example_vans(root: Path):
    files = sorted((root / "examples").glob("*.yaml"))
    assert files
    for file in files:
        text = decode(file.read_bytes(), file.name)
        assert to_data(parse(text, file.name)) == yaml.load(text, yaml.CBaseLoader)


def test_data_gives_the_same_tree_without_places():
    tree = from_data({"loomwright": 1, "a": {"b": True, "c": [0.5, "x"], "d": None, "e": False}})
    assert to_data(tree) == {"loomwright": "1", "a": {"b": "yes", "c": ["0.5", "x"], "d": None, "e": "no"}}
    assert {(node.line, node.column) for node in scalars(tree)} == {(1, 1)}


@settings(max_examples=100)
@given(data(names, texts))
def test_data_comes_back_from_its_tree(plan):
    assert to_data(from_data(plan)) == plan


# --- what is refused


REFUSED = {
    "a: &x 1": '1:4  a: "&x" is read by YAML as an anchor. Leave it out; ',
    "a:\n  b: *x": '2:6  a.b: "*x" is read by YAML as a reference. Write the value itself; ',
    "a: !!str 5": '1:4  a: "!!str" is read by YAML as a tag. Leave it out; ',
    "a: {<<: b}": '1:5  a: "<<" (merging of maps) is not read. Write the fields out; ',
    "a: 1\n---\nb: 1": "2:1  a second document begins here (---). One file holds one plan: ",
    "a:\n\tb: 1": "2:1  a tab at the start of a line. Indent with spaces, two for each level.",
    "a: x\x07": "1:5  a character that can't be seen or printed stands here (U+0007). Delete it.",
    'a: "x\\0"': "1:4  a: a character that can't be seen or printed stands here (U+0000). Delete it.",
    "a: \ud800": "1:4  a character that can't be seen or printed stands here (U+D800). Delete it.",
    "a: x\u2028": "1:5  a character that can't be seen or printed stands here (U+2028). Delete it.",
    "a: x\x85": "1:5  a character that can't be seen or printed stands here (U+0085). Delete it.",
    "w:\n  L1: a\n  L2: b\n  L1: c": "4:3  w.L1 stands twice (first in line 2). Give one of them another",
    "[a]: 1": "1:1  a name is a word, not a list or map. Text that begins with [ or { goes in quotes: ",
    "? a\n: 1": '1:3  "? " before a name is not read. Write name: value.',
    "%YAML 1.1\n---\na: 1": "1:1  a line that begins with % is not read here. Leave it out.",
    "a:\n  - \n  - b": "2:4  a: an empty place in a list. Write a value or leave it out.",
    '"": x': "1:1  a name is missing before the colon.",
    ": x": "1:1  a name is missing before the colon.",
    "x" * 101 + ": 1": f'1:1  the name "{"x" * 20}..." has 101 characters; write at most 100.',
    "": "1:1  nothing stands in this file. A plan begins with the line loomwright: 1",
    "# only this": "1:1  nothing stands in this file. A plan begins with the line loomwright: 1",
    "- a": "1:1  a plan is made of lines like title: First van, each a name, a colon, ",
    # What the parser of YAML stumbles over.
    "a: {fridge, pump: x}": '1:5  a: "fridge" has no colon and value. Write fridge: value; a list goes',
    "a: {b:1, c: 2}": '1:5  a: "b:1" needs a space after the colon. Write b: 1',
    "w:\n  L1:{b: c}": '2:3  w: "L1:{b" needs a space after the colon. Write L1: {b',
    "a: 1\nb\nc: 2": '2:1  "b" has no colon and value. Write b: value; ',
    "a: b: c": '1:5  a second ": " in one line. Text that holds ": " goes in quotes; else begin a new line',
    "w:\n  A: {b: c\n  B: {b: c}": "2:6  w.A: the { that opens here is not closed where it should be by a }.",
    "a: {b: c # d}\nb: 1": "1:4  a: the { that opens here is not closed where it should be by a }. "
    'What follows " #" is a comment: put such text in quotes.',
    "a: {b: 1 c: 2}": "1:11  a: a comma or } is missing before the name that ends here. ",
    "a: [1, 2}": '1:9  a: "}" does not fit here: a comma or ] is expected. ',
    "a: x}\nb: }": "2:4  b: no bracket is open that this } could close.",
    "a: {": "1:5  a: the text ends inside brackets. Close each { with } and each [ with ].",
    "a: {b: [\n\n": "1:9  a.b: the text ends inside brackets. Close each { with } and each [ with ].",
    "a: [b,, c]": "1:7  a: a value is missing before this comma. Text that begins with a comma ",
    "a: 'b": "1:4  a: the quote that opens here is not closed. A quote inside '...' is written twice.",
    "a: 'b' c": '1:8  "c" follows a value that is already complete. Put the whole text in quotes.',
    "a: @b": '1:4  a: a value can\'t begin with @. Put it in quotes: "@b"',
    "a: *": "1:5  a: text that begins with * or & goes in quotes.",
    "a: {b: 1": "1:4  a: the { that opens here is not closed where it should be by a }.",
    "a: * b": "1:5  a: text that begins with * or & goes in quotes.",
    "a: !x!y z": "1:4  a: text that begins with ! goes in quotes.",
    "a: ? b": "1:4  a: text that begins with ? goes in quotes.",
    "a: > b": "1:6  a: the text after | or > begins in the next line. Text that begins with | or > ",
    'a: "\\q"': '1:5  a: in "..." a backslash begins a code. Write \\\\ for a backslash, ',
    "a: - b": '1:4  a: a list written with "- " begins in the next line. In one line it is written [a, b].',
    "a: 1\n- b": '2:1  an item "- " stands among names. Indent a list under its name, or write name: ',
    "a:\n  b: 1\n c: 2": "3:2  this line does not line up with those above. Entries of one map begin ",
    "a:1\nb: 2": '2:2  this line is read as part of the line above. Has that one its ": "? ',
    "a: 1\n...\nb: 1": "3:1  the plan ended above; nothing can follow here. ",
    "...": '1:1  nothing stands before this "...". A plan begins with the line loomwright: 1',
    "x" * 2000 + ": 1": "1:2001  the name before this colon is too long.",
}


@pytest.mark.parametrize(("text", "says"), REFUSED.items())
def test_what_is_refused_says_where_and_what_to_write(text, says):
    (problem,) = problems(text)
    assert problem.startswith(says)


def test_all_problems_at_once_in_the_order_of_the_text():
    text = "a: &x 1\nb: *x\nc: {<<: 1, d: !t e}\n[f]: 1\na: 2\ng: \x01\nh:\n  - \n  -   b\n"
    assert [problem.split("  ")[0] for problem in problems(text)] == [
        "1:4", "2:4", "3:5", "3:15", "4:1", "5:1", "6:4", "8:4",
    ]  # fmt: skip


def test_nesting_to_the_limit_and_one_deeper():
    assert refusals("{a: " * 12 + "x" + "}" * 12) == ()
    assert problems("{a: " * 13 + "x" + "}" * 13) == [
        f"1:49  {'.'.join('a' * 12)}: nested deeper than 12 levels; no plan needs that. "
        "Is a bracket left open?"
    ]
    deep: dict[str, object] = {"a": "x"}
    for _ in range(11):
        deep = {"a": deep}
    assert to_data(from_data(deep)) == deep
    with pytest.raises(PlanError, match="nested deeper than 12 levels"):
        from_data({"a": deep})


def test_tabs_that_do_no_harm_are_read():
    assert to_data(parse("a:\t1\n\t\n  \t# c\nb: {\tc:\td }\t# e\n")) == {"a": "1", "b": {"c": "d"}}


# --- bytes


def test_bytes_with_and_without_mark():
    assert decode("a: ²\r\n".encode()) == decode("\ufeffa: ²\r\n".encode()) == "a: ²\r\n"


@pytest.mark.parametrize(
    ("data", "place", "says"),
    [
        ("a: x".encode("utf-16"), "1:1", "UTF-16"),
        ("a: x".encode("utf-16-be"), "1:1", "not a text file"),
        (b"%PDF-1.7\n\0\1\2", "2:1", "not a text file"),
        ("a: é\nb: 2.5 mm²".encode("latin-1"), "1:4", 'in an old Windows or Latin-1 file it is "é"'),
        ("\ufeffa: é\r\nb: 2.5 mm".encode() + b"\xb2", "2:10", 'in an old Windows or Latin-1 file it is "²"'),
        (b"a: \xed\xa0\x80", "1:4", "not UTF-8"),
        (b"\xff", "1:1", "not UTF-8"),
        (b"x" * (SIZE_LIMIT + 1), "1:1", "500,001 bytes are too many for a plan: at most 500,000 are read"),
    ],
)
def test_bytes_that_are_no_plan(data, place, says):
    with pytest.raises(PlanError) as refused:
        decode(data, "van.yaml")
    assert str(refused.value).startswith(f"van.yaml:{place}  ")
    assert says in str(refused.value)


def test_the_size_counts_in_bytes():
    fits = "a: " + "é" * ((SIZE_LIMIT - 4) // 2)
    assert len(fits.encode()) <= SIZE_LIMIT
    assert len(to_data(parse(fits))["a"]) == (SIZE_LIMIT - 4) // 2
    with pytest.raises(PlanError, match="500,001 bytes are too many"):
        parse("a: " + "é" * ((SIZE_LIMIT - 2) // 2))


# --- attacks

FULL = SIZE_LIMIT
ATTACKS = {
    "brackets": "[" * FULL,
    "braces": "{" * FULL,
    "maps in brackets": "{a: " * (FULL // 4),
    "lists of maps": "[a: " * (FULL // 4),
    "brackets in lines": "[\n" * (FULL // 2),
    "dashes": "- " * (FULL // 2),
    "dashes in lines": "-\n" * (FULL // 2),
    "question marks": "? " * (FULL // 2),
    "question marks in lines": "? a\n" * (FULL // 4),
    "double quotes": '"' * FULL,
    "single quotes": "'" * FULL,
    "escapes": 'a: "' + "\\x41" * (FULL // 4 - 2) + '"',
    "one long text": "a: " + "x" * (FULL - 3),
    "one long name": "x" * (FULL - 3) + ": 1",
    "one text in many lines": "a:\n" + " x\n" * (FULL // 3 - 2),
    "one quoted text in many lines": 'a: "' + "\n" * (FULL - 5) + '"',
    "many names": "".join(f"k{number}:\n" for number in range(60_000)),
    "one name many times": "a:\n" * (FULL // 3),
    "many items": "a: [" + "b," * (FULL // 2 - 5) + "]",
    "steps down": "".join(" " * depth + "a:\n" for depth in range(900)),
    "a billion laughs": "a0: &a0 x\n"
    + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 15_000)),
    "anchors": "&a " * (FULL // 3),
    "tags": "!" * FULL,
    "colons": ": " * (FULL // 2),
    "comments": "#\n" * (FULL // 2),
    "documents": "---\n" * (FULL // 4),
    "tabs": "\t" * FULL,
    "tab indents": "\ta\n" * (FULL // 3),
    "lone surrogates": "\ud800" * (FULL // 3),
    "line separators": "\u2028" * (FULL // 3),
    "next lines": "\x85" * (FULL // 2),
    "NUL": "\0" * FULL,
    "byte order marks": "\ufeff" * (FULL // 3),
    "CR LF": "a:\r\n" * (FULL // 4),
    "CR": "\r" * FULL,
    "LF": "\n" * FULL,
}


@pytest.mark.parametrize("text", ATTACKS.values(), ids=ATTACKS)
def test_an_attack_is_answered_fast_and_small(text):
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.process_time()
    assert len(refusals(text)) <= yaml_reader.PROBLEM_LIMIT
    assert time.process_time() - start < 5.0  # a blow-up takes minutes
    assert (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024 < 200  # MB
