"""What a YAML parser complains about, said in words for the person who types a plan.

The parser knows what it expected, not what was meant. Each rule here looks at where it stopped and says what
is most likely amiss and how to write it. Both parsers (libyaml and the one in Python) word their complaints
alike enough to be told apart by a few phrases.
"""

from __future__ import annotations

import yaml

from loomwright.plan.nodes import TOO_DEEP

#: Line and column from 1, and what to say.
Complaint = tuple[int, int, str]

_SAME_INDENT = "Entries of one map begin in the same column."
_QUOTES = 'Text that holds ": " or " #", or a comma inside { }, goes in quotes.'


def no_colon(name: str) -> str:
    """Say that a name in a map has no colon and value after it."""
    head, colon, tail = name.partition(":")
    if colon and head and tail:
        return f'"{_short(name)}" needs a space after the colon. Write {_short(head)}: {_short(tail)}'
    name = _short(name)
    if name[:1].isdigit():
        says = 'A decimal comma inside { } needs quotes, "2,5 mm²"; or write 2.5 mm².'
        return f'"{name}" stands after a comma. {says}'
    return f'"{name}" has no colon and value. Write {name}: value; a list goes in [ ], not in {{ }}.'


def in_plain_words(wrong: yaml.MarkedYAMLError, text: str) -> Complaint:
    """Return the place and the meaning of a syntax error in `text`."""
    stopped = wrong.problem_mark or wrong.context_mark
    assert stopped is not None, "every complaint of the parser has a place"
    problem, context = wrong.problem or "", wrong.context or ""
    line = _Line(text, stopped)
    if "quoted scalar" in context or "quoted scalar" in problem or "double-quoted" in context:
        return _in_quotes(problem, wrong.context_mark or stopped, stopped)
    if "flow mapping" in context or "flow sequence" in context:
        return _in_brackets(wrong.context_mark or stopped, stopped, text)
    if "simple key" in context:
        opened = wrong.context_mark or stopped
        return _at(opened, no_colon(_Line(text, opened).rest))
    if line.at_end and "node content" in problem:
        return _at_end(text)
    return _at(stopped, _at_token(problem, context, line))


class _Line:
    """The line a mark is in: what stands in it before the mark, and from the mark on."""

    def __init__(self, text: str, mark: yaml.Mark) -> None:
        index = min(mark.index, len(text))
        start = max(text.rfind("\n", 0, index), text.rfind("\r", 0, index)) + 1
        end = min(
            (at for at in (text.find("\n", index), text.find("\r", index)) if at >= 0), default=len(text)
        )
        self.before = text[start:index]
        self.rest = text[index:end]
        self.at_end = index >= len(text)


def _in_quotes(problem: str, opened: yaml.Mark, stopped: yaml.Mark) -> Complaint:
    if "escape" in problem or "hexdecimal" in problem or "hexadecimal" in problem:
        return _at(
            stopped, "in \"...\" a backslash begins a code. Write \\\\ for a backslash, or use '...' quotes."
        )
    return _at(opened, "the quote that opens here is not closed. A quote inside '...' is written twice.")


def _in_brackets(opened: yaml.Mark, stopped: yaml.Mark, text: str) -> Complaint:
    bracket = text[opened.index : opened.index + 1]
    closing = "}" if bracket == "{" else "]"
    if stopped.line > opened.line or stopped.index >= len(text):
        comment = " #" in text[opened.index : stopped.index]
        hint = ' What follows " #" is a comment: put such text in quotes.' if comment else ""
        return _at(
            opened, f"the {bracket} that opens here is not closed where it should be by a {closing}.{hint}"
        )
    line = _Line(text, stopped)
    if line.rest.startswith(":"):
        return _at(stopped, f"a comma or {closing} is missing before the name that ends here. {_QUOTES}")
    return _at(
        stopped, f'"{_short(line.rest)}" does not fit here: a comma or {closing} is expected. {_QUOTES}'
    )


def _at_token(problem: str, context: str, line: _Line) -> str:
    """Say what is amiss with the thing that begins where the parser stopped."""
    character = line.rest[:1]
    if "nesting" in problem:
        return TOO_DEEP
    if "cannot start any token" in problem:
        return f'a value can\'t begin with {character}. Put it in quotes: "{_short(line.rest)}"'
    if "alias" in context or "anchor" in context:
        return "text that begins with * or & goes in quotes."
    if "tag" in problem or "tag" in context:
        return "text that begins with ! goes in quotes."
    if "block scalar" in context:
        return "the text after | or > begins in the next line. Text that begins with | or > goes in quotes."
    if "node content" in problem:
        return _no_value(character, line)
    if "keys are not allowed" in problem:
        return "text that begins with ? goes in quotes."
    if "entries are not allowed" in problem:
        return 'a list written with "- " begins in the next line. In one line it is written [a, b].'
    if "values are not allowed" in problem:
        return _second_colon(line)
    if "directive" in context:
        return "a line that begins with % is not read here. Leave it out."
    if "document start" in problem:
        return "the plan ended above; nothing can follow here. Is this line indented like the others?"
    return _does_not_fit(character, line)


def _no_value(character: str, line: _Line) -> str:
    if character in ("}", "]"):
        return f"no bracket is open that this {character} could close."
    if line.rest.startswith("..."):
        return 'nothing stands before this "...". A plan begins with the line loomwright: 1'
    if character == ",":
        return "a value is missing before this comma. Text that begins with a comma goes in quotes."
    return f"a value can't begin with {character}. {_QUOTES}"


def _second_colon(line: _Line) -> str:
    if len(line.before) > 1_000:
        return "the name before this colon is too long."
    if ": " in line.before:
        return 'a second ": " in one line. Text that holds ": " goes in quotes; else begin a new line here.'
    return f'this line is read as part of the line above. Has that one its ": "? {_SAME_INDENT}'


def _does_not_fit(character: str, line: _Line) -> str:
    if line.before.strip():
        return (
            f'"{_short(line.rest)}" follows a value that is already complete. Put the whole text in quotes.'
        )
    if character == ":":
        return "a name is missing before the colon."
    if character == "-":
        return 'an item "- " stands among names. Indent a list under its name, or write name: [a, b].'
    return f"this line does not line up with those above. {_SAME_INDENT}"


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:37] + "..."


def _at_end(text: str) -> Complaint:
    """Return the place after the last character that is not blank."""
    lines = text.rstrip().split("\n")
    return (
        len(lines),
        len(lines[-1]) + 1,
        "the text ends inside brackets. Close each { with } and each [ with ].",
    )


def _at(mark: yaml.Mark, says: str) -> Complaint:
    return mark.line + 1, mark.column + 1, says
