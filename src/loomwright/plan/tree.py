"""The text of a plan as a tree: maps, lists and scalars, each with its place in the text.

Every scalar is the text as typed: `on`, `no`, `22:00`, `012`, `1e3` stay text, and the field that a scalar
stands in reads it later. The same tree is made from JSON-like data, without places.

Sources: YAML 1.1 (2005), the part of it that a plan needs; RFC 3629 (UTF-8).
"""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NoReturn

from loomwright.errors import PlanError, Problem
from loomwright.plan.nodes import (
    DEPTH_LIMIT,
    EMPTY_ITEM,
    NO_MAP,
    TOO_DEEP,
    List,
    Map,
    Node,
    Scalar,
    is_empty,
    name_problem,
    text_problem,
    to_data,
)
from loomwright.plan.yaml_reader import YamlReader, line_starts, place_of

__all__ = [
    "SIZE_LIMIT",
    "List",
    "Map",
    "Node",
    "Scalar",
    "decode",
    "from_data",
    "is_empty",
    "parse",
    "parse_all",
    "to_data",
]

#: Largest plan, looked at before anything is read. [bytes] A van of 200 wires takes about 40,000.
SIZE_LIMIT = 500_000

_NOT_TEXT = "this is not a text file (a picture, a PDF?). A plan is plain text, saved as UTF-8."


def decode(data: bytes, file: str = "plan") -> str:
    """Return the text of a plan file, without its byte order mark.

    Raises
    ------
    PlanError
        Over 500,000 bytes, not UTF-8, or not text at all.

    References
    ----------
    RFC 3629 (UTF-8); section 6 of it for the byte order mark.
    """
    if len(data) > SIZE_LIMIT:
        _refuse_size(len(data), file)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        _refuse(file, (1, 1), 'this file is saved as UTF-16 ("Unicode"). Save it again as UTF-8.')
    if b"\0" in data:
        _refuse(file, place_of(data.index(b"\0"), line_starts(data.decode("latin-1"))), _NOT_TEXT)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        # The error counts from after the byte order mark.
        body = data.removeprefix(codecs.BOM_UTF8)
        before = body[: wrong.start].decode("utf-8")
        looks_like = body[wrong.start : wrong.start + 1].decode("cp1252", "replace")
        _refuse(
            file,
            place_of(len(before), line_starts(before)),
            f'a character here is not UTF-8 (in an old Windows or Latin-1 file it is "{looks_like}"). '
            "Save the file again as UTF-8.",
        )


def parse(text: str, file: str = "plan") -> Map:
    """Return the tree of a plan's text; see `parse_all`.

    Raises
    ------
    PlanError
        With every problem that keeps the text from being a tree of names and texts.

    Examples
    --------
    >>> tree = parse("title: First van")
    >>> key, title = tree.entries[0]
    >>> title.text, title.line, title.column
    ('First van', 1, 8)
    """
    tree, problems = parse_all(text, file)
    if tree is None or problems:
        raise PlanError(problems)
    return tree


def parse_all(text: str, file: str = "plan") -> tuple[Map | None, list[Problem]]:
    """Return the tree of a plan's text and every problem that keeps it from being one of names and texts.

    The tree is None where reading could not go on; else it lacks only what the problems are about, so that
    its fields can be read and their problems given as well.

    Raises
    ------
    PlanError
        The text is too large.
    """
    # No character takes more than 4 bytes, so most texts need not be encoded to be measured.
    if len(text) > SIZE_LIMIT // 4 and (size := len(text.encode("utf-8", "surrogatepass"))) > SIZE_LIMIT:
        _refuse_size(size, file)
    tree = _sound(text)
    return (tree, []) if tree is not None else YamlReader(text, file).read()


@lru_cache(maxsize=6)
def _sound(text: str) -> Map | None:
    """Return the tree of a text without problems, None of another; a change asks for the same few again."""
    tree, problems = YamlReader(text, "plan").read()
    return None if problems else tree


def from_data(data: Mapping[str, Any], file: str = "plan") -> Map:
    """Return the tree of JSON-like data. Numbers, true and false become text; every place is 1, 1.

    Raises
    ------
    PlanError
        Something else stands in it, it is nested too deep, or a text or name could not be typed in a plan.
    """
    problems: list[Problem] = []

    def wrong(path: tuple[str, ...], says: str) -> Scalar:
        problems.append(Problem(1, 1, ".".join(path), says, file))
        return _text("")

    def node(value: Any, path: tuple[str, ...]) -> Node:
        if isinstance(value, Mapping | list | tuple) and len(path) >= DEPTH_LIMIT:
            return wrong(path, TOO_DEEP)
        if isinstance(value, Mapping):
            return Map(tuple(entry(name, value[name], path) for name in value), 1, 1, 0, 0, False)
        if isinstance(value, list | tuple):
            items = tuple(node(item, (*path, str(number))) for number, item in enumerate(value, 1))
            return wrong(path, EMPTY_ITEM) if any(map(is_empty, items)) else List(items, 1, 1, 0, 0, False)
        return scalar(value, path)

    def entry(name: Any, value: Any, path: tuple[str, ...]) -> tuple[Scalar, Node]:
        says = name_problem(name) if isinstance(name, str) else f"the name {name!r} is not text."
        if says:
            wrong(path, says)
        return _text(str(name)), node(value, (*path, str(name)))

    def scalar(value: Any, path: tuple[str, ...]) -> Scalar:
        if value is None:
            return Scalar("", 1, 1, 0, 0, False)
        if isinstance(value, bool):
            return _text("yes" if value else "no")
        if isinstance(value, int | float) and abs(value) < float("inf"):  # nan is not below it either
            return _text(str(value))
        if not isinstance(value, str):
            return wrong(path, f"{value!r} is neither a text nor a list nor a map.")
        says = text_problem(value)
        return wrong(path, says) if says else _text(value)

    tree = node(data, ())
    if not problems and isinstance(tree, Map):
        return tree
    raise PlanError(problems or [Problem(1, 1, "", NO_MAP, file)])


def _text(text: str) -> Scalar:
    return Scalar(text, 1, 1, 0, 0, True)


def _refuse_size(size: int, file: str) -> NoReturn:
    says = f"{size:,} bytes are too many for a plan: at most {SIZE_LIMIT:,} are read (200 wires take 40,000)."
    _refuse(file, (1, 1), says)


def _refuse(file: str, place: tuple[int, int], says: str) -> NoReturn:
    raise PlanError([Problem(*place, "", says, file)])
