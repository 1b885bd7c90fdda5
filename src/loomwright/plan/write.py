"""A plan's data as text in the house style: a section is a block, an entry is one line while it fits.

A text is quoted exactly when YAML would read it as something else, and is read back as it was given.

Source: YAML 1.1 (2005), sections 9.1.1 to 9.1.3 (scalars in double quotes, in single quotes, plain) and 5.6
(escapes); section numbers from memory.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from loomwright.plan.tree import from_data, to_data

#: An entry is written in one line up to this length, else as a block. [characters]
LINE_LIMIT = 160

_INDENT = "  "
# What can't stand in quotes as itself, because it ends the line or can't be seen.
_ESCAPED = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_ESCAPES = {"\t": r"\t", "\n": r"\n", "\r": r"\r"}
# Quotes are needed if a text begins like this ...
_BEGINS = re.compile(r"""[,\[\]{}#&*!|>'"%@` ]|[-?:](?: |$)|(?:---|\.\.\.)(?: |$)""")
_BEGINS_IN_BRACKETS = re.compile(r"[?:]")
# ... or holds or ends with this.
_HOLDS = re.compile(r": | #|[ :]$")
_HOLDS_IN_BRACKETS = re.compile(r"[,\[\]{}?]")
# A name that holds this looks like one whose space was forgotten.
_HOLDS_IN_NAME = re.compile(r":[\[{]")


def write_plan(data: Mapping[str, Any]) -> str:
    """Return the text of a plan.

    Parameters
    ----------
    data : Mapping[str, Any]
        Sections by name, as JSON has them; every scalar is text, None is a name with nothing after it.

    Raises
    ------
    PlanError
        The data could not be typed in a plan: nested too deep, characters that can't be printed.

    Examples
    --------
    >>> plan = {"title": "Mossgrove", "studs": {"E1": {"place": "seat_base", "note": "left, low"}}}
    >>> print(write_plan(plan).rstrip())
    title: Mossgrove
    <BLANKLINE>
    studs:
      E1: {place: seat_base, note: 'left, low'}
    """
    lines: list[str] = []
    for name, value in to_data(from_data(data)).items():
        section = section_lines(name, value)
        if lines and len(section) > 1:
            lines.append("")
        lines += section
    return "".join(line + "\n" for line in lines)


def section_lines(name: str, value: Any) -> list[str]:
    """Return the lines of one section, or of one field of the header."""
    if isinstance(value, dict) and value:
        return [f"{name_text(name)}:", *block_lines(value, _INDENT)]
    return entry_lines(name, value, "")


def entry_lines(name: str, value: Any, indent: str) -> list[str]:
    """Return the lines of one entry of a block: one while it fits, else a block of its own."""
    line = f"{indent}{name_text(name)}: {value_text(value)}".rstrip(" ")
    if len(line) <= LINE_LIMIT or not value or isinstance(value, str):
        return [line]
    return [f"{indent}{name_text(name)}:", *block_lines(value, indent + _INDENT)]


def block_lines(value: dict[str, Any] | list[Any], indent: str) -> list[str]:
    """Return the lines of a map or list as a block."""
    if isinstance(value, dict):
        return [line for name, inner in value.items() for line in entry_lines(name, inner, indent)]
    return [line for item in value for line in item_lines(item, indent)]


def item_lines(item: Any, indent: str) -> list[str]:
    """Return the lines of one item of a block list."""
    line = f"{indent}- {value_text(item)}"
    if len(line) <= LINE_LIMIT or not item or isinstance(item, str):
        return [line]
    first, *rest = block_lines(item, indent + _INDENT)
    return [f"{indent}- {first.removeprefix(indent + _INDENT)}", *rest]


def value_text(value: Any, in_brackets: bool = False) -> str:
    """Return a value in one line, maps and lists in brackets."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name_text(k, True)}: {value_text(v, True)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(value_text(item, True) for item in value) + "]"
    return "" if value is None else scalar_text(value, in_brackets)


def name_text(name: str, in_brackets: bool = False) -> str:
    """Return the name of an entry or field, in quotes if need be."""
    if name == "<<" or _HOLDS_IN_NAME.search(name):
        return _quoted(name)
    return scalar_text(name, in_brackets)


def scalar_text(text: str, in_brackets: bool = False) -> str:
    """Return a text as it is typed: in quotes if YAML would read it as something else.

    Examples
    --------
    >>> scalar_text("15 A"), scalar_text("yes"), scalar_text("left, low"), scalar_text("left, low", True)
    ('15 A', 'yes', 'left, low', "'left, low'")
    """
    if not text or _ESCAPED.search(text) or _BEGINS.match(text) or _HOLDS.search(text):
        return _quoted(text)
    if in_brackets and (_BEGINS_IN_BRACKETS.match(text) or _HOLDS_IN_BRACKETS.search(text)):
        return _quoted(text)
    return text


def _quoted(text: str) -> str:
    if _ESCAPED.search(text):
        text = text.replace("\\", r"\\").replace('"', r"\"")
        return '"' + _ESCAPED.sub(lambda found: _escape(found.group()), text) + '"'
    if "'" in text and '"' not in text and "\\" not in text:
        return f'"{text}"'
    return "'" + text.replace("'", "''") + "'"


def _escape(character: str) -> str:
    return _ESCAPES.get(character, f"\\u{ord(character):04x}")
