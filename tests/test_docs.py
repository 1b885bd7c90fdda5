"""Docstrings match signatures, decisions are dated, words are used as listed."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import loomwright
from loomwright.rules.registry import RULES

ROOT = Path(__file__).resolve().parent.parent
SOURCES = sorted((ROOT / "src" / "loomwright").rglob("*.py"))
MODULES = ["loomwright", *(m.name for m in pkgutil.walk_packages(loomwright.__path__, "loomwright."))]
DECISIONS = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))


def section(doc: str, title: str) -> list[str] | None:
    """Return the names documented under one underlined title of a docstring; None if it is not there."""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n-+\n|\Z)", doc, re.MULTILINE | re.DOTALL)
    if found is None:
        return None
    rows = [line for line in found[1].splitlines() if line and not line[0].isspace()]
    return [name.strip(" *") for row in rows for name in row.split(" : ")[0].split(",")]


def public_things(module_name: str) -> Iterator[tuple[str, object]]:
    """Yield the functions, classes and methods that a module defines for others."""
    module = importlib.import_module(module_name)
    for name, thing in vars(module).items():
        if name.startswith("_") or getattr(thing, "__module__", None) != module_name:
            continue
        if inspect.isclass(thing):
            yield f"{module_name}.{name}", thing
            for method, function in vars(thing).items():
                if not method.startswith("_") and inspect.isfunction(function):
                    yield f"{module_name}.{name}.{method}", function
        elif inspect.isfunction(thing):
            yield f"{module_name}.{name}", thing


def taken(thing: object) -> list[str]:
    """Return the parameters that a function or class takes, without self."""
    assert callable(thing)
    return [name for name in inspect.signature(thing).parameters if name not in ("self", "cls")]


def test_section_reads_names():
    doc = "Add.\n\nParameters\n----------\na, b : float\n    Two. [m]\n*rest : int\n    More.\n\n"
    doc += "Returns\n-------\nfloat\n"
    assert section(doc, "Parameters") == ["a", "b", "rest"]
    assert section(doc, "Raises") is None


@pytest.mark.parametrize("module", MODULES)
def test_documented_parameters_are_those_of_the_signature(module):
    wrong: list[str] = []
    for name, thing in public_things(module):
        doc = inspect.getdoc(thing) or ""
        documented = section(doc, "Parameters")  # in any order: neighbours of one kind share a row
        if documented is not None and sorted(documented) != sorted(taken(thing)):
            wrong.append(f"{name}: documented {documented}, takes {taken(thing)}")
        if (attributes := section(doc, "Attributes")) is not None:
            held = set(dir(thing))
            if dataclasses.is_dataclass(thing):
                held |= {field.name for field in dataclasses.fields(thing)}
            wrong += [f"{name}: documents {a}, which it lacks" for a in attributes if a not in held]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("module", MODULES)
def test_public_things_say_what_they_are(module):
    silent = [name for name, thing in public_things(module) if not own_words(thing)]
    assert not silent, f"without a docstring: {silent}"


def own_words(thing: object) -> str:
    """Return what a thing says of itself: its docstring, or what a rule asks and why."""
    if (registered := RULES.get(getattr(thing, "__name__", ""))) is not None and registered.check is thing:
        return registered.asks and registered.why
    doc = (thing.__doc__ or "").strip()
    given_to_dataclass = inspect.isclass(thing) and doc.startswith(f"{thing.__name__}(")
    return "" if given_to_dataclass else doc


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT / "src")))
def test_every_module_says_what_it_is_for(path):
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), f"{path} has no docstring"


@pytest.mark.parametrize("path", DECISIONS, ids=lambda path: path.stem)
def test_decision_is_dated_and_has_a_title(path):
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert re.search(r"\b20\d\d-[01]\d-[0-3]\d\b", "\n".join(text.splitlines()[:6])), f"{path.name}: no date"


def test_decisions_are_numbered_once_and_listed():
    numbers = [path.name[:4] for path in DECISIONS]
    assert numbers
    assert len(set(numbers)) == len(numbers), numbers
    listed = (ROOT / "docs" / "decisions" / "README.md").read_text(encoding="utf-8")
    assert not [path.name for path in DECISIONS if f"({path.name})" not in listed]


# The word list

WORD_ROW = re.compile(r"^\| \*\*(.+?)\*\* \| (.+?) \| (.*?) ?\|$", re.MULTILINE)


def word_rows() -> list[tuple[str, str, list[str]]]:
    """Return word, meaning, and the words that it stands instead of."""
    text = (ROOT / "docs" / "words.md").read_text(encoding="utf-8")
    rows = WORD_ROW.findall(text)
    return [
        (word, says, [w.strip() for w in avoided.split(",") if w.strip()]) for word, says, avoided in rows
    ]


def own_texts() -> str:
    """Return all that we wrote in code and documents, the word list aside."""
    folders = ("src", "docs", "examples")
    paths = [p for f in folders for p in (ROOT / f).rglob("*") if p.suffix in {".py", ".md", ".yaml"}]
    texts = [p.read_text(encoding="utf-8") for p in paths if p.name != "words.md"]
    return plain("\n".join(texts))


def plain(text: str) -> str:
    """Return a text in small letters, `cut_out` and `cut-out` alike."""
    return re.sub(r"[_-]", " ", text.lower())


def test_words_are_in_order_and_say_each_word_once():
    words = [word.lower() for word, _, _ in word_rows()]
    assert len(words) > 30
    assert words == sorted(set(words))


def test_every_listed_word_is_used():
    text = own_texts()
    unused = [word for word, _, _ in word_rows() if not re.search(rf"\b{re.escape(plain(word))}", text)]
    assert not unused, f"listed, but used nowhere: {unused}"


def test_avoided_words_are_not_in_our_texts():
    avoided = [word for _, _, words in word_rows() for word in words]
    pattern = re.compile(rf"\b({'|'.join(map(re.escape, avoided))})\b", re.IGNORECASE)
    wrong: list[str] = []
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                wrong += [f"{path.name}:{node.lineno}: {m}" for m in pattern.findall(node.value)]
    assert avoided
    assert not wrong, "\n".join(wrong)
