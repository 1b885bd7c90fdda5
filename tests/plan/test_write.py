"""Plans written as text: read back as they were given, by us and by a reader of YAML that is not ours."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings

from loomwright.errors import PlanError
from loomwright.plan.tree import parse, to_data
from loomwright.plan.write import LINE_LIMIT, scalar_text, write_plan
from tests.plan.plan_texts import HOSTILE, data, names, texts


@settings(max_examples=300)
@given(data(names, texts))
def test_what_is_written_is_read_back(plan):
    text = write_plan(plan)
    assert to_data(parse(text)) == plan


@settings(max_examples=150)
@given(data(names, texts))
def test_the_yaml_library_reads_it_alike(plan):
    """PyYAML's composer, in C and in Python, all scalars as text: YAML 1.1 as others read it."""
    text = write_plan(plan)
    assert yaml.load(text, yaml.CBaseLoader) == plan
    assert yaml.load(text, yaml.BaseLoader) == plan


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_come_back_as_name_and_value(text):
    plan = {"a": {"inside": text, "list": [text, text]}}
    if text and "\n" not in text and len(text) <= 100:
        plan["a"][text] = text
        plan[text] = text
    assert to_data(parse(write_plan(plan))) == plan


def _reads(line: str, plan: dict[str, object]) -> bool:
    try:
        return yaml.load(line, yaml.CBaseLoader) == plan
    except yaml.YAMLError:
        return False


@settings(max_examples=500)
@given(texts)
def test_a_text_is_quoted_only_if_yaml_needs_it(text):
    """Typed bare, a text that we put in quotes is refused or read as something else by PyYAML."""
    if not text or text.startswith(("---", "...")) or not text.isprintable():
        return  # bare it would read as no text at all, or depend on where the line begins, or not be seen
    assert scalar_text(text) == text or not _reads(f"k: {text}", {"k": text})
    if "?" not in text and text != "-":  # readers disagree about it in brackets
        assert scalar_text(text, True) == text or not _reads(f"k: [{text}]", {"k": [text]})


def test_sections_are_blocks_and_entries_lines():
    plan = {
        "loomwright": "1",
        "title": "Mossgrove",
        "serials": ["A1", "A2"],
        "places": {"rear": ["2.3", "-0.7", "0.4"], "sill": {}},
        "parts": {"lamp": {"kind": "lamp", "note": "left, low", "says": "it's"}},
        "labels": {},
    }
    assert write_plan(plan) == (
        "loomwright: 1\n"
        "title: Mossgrove\n"
        "serials: [A1, A2]\n"
        "\n"
        "places:\n"
        "  rear: [2.3, -0.7, 0.4]\n"
        "  sill: {}\n"
        "\n"
        "parts:\n"
        "  lamp: {kind: lamp, note: 'left, low', says: it's}\n"
        "labels: {}\n"
    )


def test_a_long_entry_becomes_a_block():
    legs = {f"lamp_{n}": {"length": "1.5 m", "note": "x" * 30} for n in range(4)}
    plan = {"wiring": {"L1": {"from": "P1.1", "to": legs, "via": [f"path_{n}" for n in range(30)]}}}
    text = write_plan(plan)
    assert text.startswith("wiring:\n  L1:\n    from: P1.1\n    to:\n      lamp_0: {length: 1.5 m, note: xxx")
    assert "    via:\n      - path_0\n      - path_1\n" in text
    assert max(map(len, text.splitlines())) <= LINE_LIMIT
    assert to_data(parse(text)) == plan


def test_long_maps_and_lists_inside_a_list_become_blocks():
    plan = {"a": {"b": [{"c": "x" * 100, "d": "y" * 100}, ["z" * 100] * 2]}}
    text = write_plan(plan)
    assert "    - c: xx" in text
    assert "\n      d: yy" in text
    assert "    - - zz" in text
    assert to_data(parse(text)) == plan


def test_a_name_with_nothing_after_it_stays_one():
    text = write_plan({"title": "x", "places": {"sill": None, "rear": {"note": None, "at": "a"}}})
    assert "  sill:\n" in text
    assert to_data(parse(text)) == {"title": "x", "places": {"sill": None, "rear": {"note": None, "at": "a"}}}


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        ({"a": "\0"}, "a: a character that can't be seen or printed stands here (U+0000). Delete it."),
        ({"a": {"b": "\ud800"}}, "a.b: a character that can't be seen or printed stands here (U+D800)."),
        ({"a\nb": "x"}, 'the name "a b" runs over a line end.'),
        ({"a": {"": "x"}}, "a: a name is missing before the colon."),
        ({"x" * 101: "x"}, "has 101 characters; write at most 100."),
        ({"a": ["x", None]}, "a: an empty place in a list."),
        ({"a": object}, "a: <class 'object'> is neither a text nor a list nor a map."),
        ({"a": float("nan")}, "a: nan is neither a text nor a list nor a map."),
        ({1: "x"}, "the name 1 is not text."),
    ],
)
def test_what_could_not_be_typed_is_refused(plan, says):
    with pytest.raises(PlanError) as refused:
        write_plan(plan)
    assert says in str(refused.value)
