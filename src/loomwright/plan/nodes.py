"""The nodes of a plan's tree, and what a name or text in it may hold.

Sources: Extensible Markup Language 1.0, production 2: no drawing or page could hold a character outside it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

#: Maps and lists inside each other, the outermost map counted.
DEPTH_LIMIT = 12
#: Longest name of an entry or field; YAML itself gives up at 1,024. [characters]
NAME_LIMIT = 100

TOO_DEEP = f"nested deeper than {DEPTH_LIMIT} levels; no plan needs that. Is a bracket left open?"
EMPTY_ITEM = "an empty place in a list. Write a value or leave it out."
NO_MAP = "a plan is made of lines like title: First van, each a name, a colon, a space and a value."

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


class Scalar(NamedTuple):  # not a data class: there are thousands, and a tuple is made in a third of the time
    """A text as typed. `start` and `end` are offsets in characters; `line` and `column` count from 1.

    `key:` with nothing after it is an empty text that is not `quoted`, placed right after the colon.
    """

    text: str
    line: int
    column: int
    start: int
    end: int
    quoted: bool


@dataclass(frozen=True, slots=True)
class Map:
    """Entries in the order of the text; `flow` if written in `{ }`, else they end with the last entry."""

    entries: tuple[tuple[Scalar, Node], ...]
    line: int
    column: int
    start: int
    end: int
    flow: bool

    def get(self, name: str) -> Node | None:
        """Return the value of the entry `name`, None if there is none."""
        return next((value for key, value in self.entries if key.text == name), None)


@dataclass(frozen=True, slots=True)
class List:
    """Items in the order of the text; `flow` if written in `[ ]`, else they end with the last item."""

    items: tuple[Node, ...]
    line: int
    column: int
    start: int
    end: int
    flow: bool


Node: TypeAlias = Scalar | Map | List


def to_data(node: Node) -> Any:
    """Return a tree as dicts, lists and texts; a name with nothing after it gives None."""
    if isinstance(node, Scalar):
        return None if is_empty(node) else node.text
    if isinstance(node, List):
        return [to_data(item) for item in node.items]
    return {key.text: to_data(value) for key, value in node.entries}


def is_empty(node: Node) -> bool:
    """True for the nothing after `key:`; `key: ""` is a text."""
    return isinstance(node, Scalar) and not node.text and not node.quoted


def text_problem(text: str) -> str | None:
    """Say what keeps a text from standing in a plan, None if nothing does."""
    found = _UNPRINTABLE.search(text)
    return None if found is None else unprintable(found.group())


def name_problem(text: str) -> str | None:
    """Say what keeps a text from being the name of an entry or field, None if nothing does."""
    if not text:
        return "a name is missing before the colon."
    if len(text) > NAME_LIMIT:
        return f'the name "{text[:20]}..." has {len(text):,} characters; write at most {NAME_LIMIT}.'
    if text.isprintable():  # the usual case, quickly
        return None
    if "\n" in text or "\r" in text:
        return f'the name "{" ".join(text.split())}" runs over a line end. Keep it on one line.'
    return text_problem(text)


def unprintable(character: str) -> str:
    """Say that a character can't stand in a plan."""
    return f"a character that can't be seen or printed stands here (U+{ord(character):04X}). Delete it."
