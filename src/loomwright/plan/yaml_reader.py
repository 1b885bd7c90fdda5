"""From YAML text to nodes, over the events of the parser.

Refused, each with its place and all at once where reading can go on: anchors, aliases, `<<`, tags, a second
document, names that are not text, a name twice in one map, tab indents, control characters, nesting deeper
than 12. The events are walked with a stack of our own, so no input can exhaust Python's, and reading stops
at the thirteenth level, before the parser's own bookkeeping of open brackets costs anything.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeGuard

import yaml

from loomwright.errors import Problem
from loomwright.plan.nodes import (
    DEPTH_LIMIT,
    EMPTY_ITEM,
    NAME_LIMIT,
    NO_MAP,
    TOO_DEEP,
    List,
    Map,
    Node,
    Scalar,
    is_empty,
    name_problem,
    text_problem,
    unprintable,
)
from loomwright.plan.yaml_words import in_plain_words, no_colon

#: libyaml where it is there; else the same events, slower.
PARSER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
#: Reading stops at so many problems: this is not a plan.
PROBLEM_LIMIT = 1_000

# As typed, the two separators and the byte order mark would make lines and columns ambiguous.
_REFUSED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_TAB_INDENT = re.compile(r"^ *+\t[ \t]*+(?=[^\s#])", re.MULTILINE)
_TAB_ON_BLANK_LINE = re.compile(r"^ *+\t[ \t]*+(?=[\r\n#]|\Z)", re.MULTILINE)
_LINE_END = re.compile(r"\r\n|\r|\n")

_EMPTY = "nothing stands in this file. A plan begins with the line loomwright: 1"
_TAB = "a tab at the start of a line. Indent with spaces, two for each level."
_NAME_NOT_TEXT = 'a name is a word, not a list or map. Text that begins with [ or { goes in quotes: "[a]".'
_ALIAS = (
    '"*{}" is read by YAML as a reference. Write the value itself; text that begins with * goes in quotes.'
)
_ANCHOR = '"&{}" is read by YAML as an anchor. Leave it out; text that begins with & goes in quotes.'
_TAG = '"{}" is read by YAML as a tag. Leave it out; text that begins with ! goes in quotes.'
_MERGE = '"<<" (merging of maps) is not read. Write the fields out; a part like another one says like: P1.'
_TWICE = "{} stands twice (first in line {}). Give one of them another name."
_SECOND = "a second document begins here (---). One file holds one plan: take this line out."
_EXPLICIT = '"? " before a name is not read. Write name: value.'
_DIRECTIVE = "a line that begins with % is not read here. Leave it out."


@dataclass(slots=True)
class _Open:
    """A map or list whose end has not been read yet."""

    line: int
    column: int
    start: int
    flow: bool
    is_map: bool
    entries: dict[str, tuple[Scalar, Node]] = field(default_factory=dict)
    items: list[Node] = field(default_factory=list)
    awaits_value: bool = False
    key: Scalar | None = None  # of the value awaited; None if the key was refused


class _GiveUpError(Exception):
    """Reading can't go on; the problems so far say why."""


class YamlReader:
    """One walk over the text of a plan."""

    def __init__(self, text: str, file: str) -> None:
        self._text = text
        self._file = file
        self._skipped = 1 if text.startswith("\ufeff") else 0  # not counted in columns
        self._problems: list[Problem] = []
        self._open: list[_Open] = []
        self._root: Node | None = None

    def read(self) -> tuple[Map | None, list[Problem]]:
        """Return the tree and every problem found.

        The tree is None if reading could not go on to the end; else it lacks what the problems are about.
        """
        finished = False
        try:
            self._walk()
            finished = True
        except _GiveUpError:
            pass
        except yaml.MarkedYAMLError as wrong:
            line, column, says = in_plain_words(wrong, self._text[self._skipped :])
            self._problems.append(Problem(line, column, self._path(), says, self._file))
        if isinstance(self._root, Map):
            return (self._root if finished else None), self._problems
        nothing = self._root is None or is_empty(self._root)
        return None, self._problems or [Problem(1, 1, "", _EMPTY if nothing else NO_MAP, self._file)]

    def _walk(self) -> None:
        parser = PARSER(self._cleaned())
        try:
            while (kind := type(event := parser.get_event())) is not yaml.StreamEndEvent:
                if kind is yaml.ScalarEvent:
                    self._scalar(event)
                elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                    self._begin(event, kind is yaml.MappingStartEvent)
                elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                    self._end(event)
                elif kind is yaml.AliasEvent:
                    self._refuse(event, _ALIAS.format(event.anchor))
                    self._attach(Scalar(event.anchor, 1, 1, 0, 0, True))
                elif kind is yaml.DocumentStartEvent:
                    self._document(event)
        finally:
            parser.dispose()

    def _cleaned(self) -> str:
        """Return the text as the parser may have it, no offset changed; note what it must not see."""
        text = self._text[self._skipped :]
        if _REFUSED.search(text):
            for found in _REFUSED.finditer(text):
                self._note(*place_of(found.start(), self._line_starts), "", unprintable(found.group()))
            text = _REFUSED.sub(" ", text)
        if "\t" not in text:
            return text
        tabs = list(_TAB_INDENT.finditer(text))
        for found in tabs:
            self._note(*place_of(found.start(), self._line_starts), "", _TAB)
        if tabs:
            raise _GiveUpError  # what belongs to what is anyone's guess
        return _TAB_ON_BLANK_LINE.sub(lambda found: " " * len(found.group()), text)

    def _document(self, event: Any) -> None:
        if self._root is not None:
            self._refuse(event, _SECOND)
            raise _GiveUpError
        if event.version or event.tags:
            self._refuse(event, _DIRECTIVE)

    def _scalar(self, event: Any) -> None:
        mark, style, end = event.start_mark, event.style, event.end_mark.index + self._skipped
        if style or event.anchor is not None or event.tag is not None:
            end = self._unusual(event, style, end)
        start = mark.index + self._skipped
        self._attach(Scalar(event.value, mark.line + 1, mark.column + 1, start, end, bool(style)))

    def _unusual(self, event: Any, style: str, end: int) -> int:
        """Look at what can't be wrong with a plain text; return where this one ends."""
        self._refuse_properties(event)
        if style == '"' and (says := text_problem(event.value)):
            self._refuse(event, says)
        return self._end_of_block(event.start_mark.index + self._skipped, end) if style in ("|", ">") else end

    def _end_of_block(self, start: int, end: int) -> int:
        """Return where a `|` or `>` text ends: before the last line end that belongs to it."""
        typed = self._text[start:end]
        if "+" not in _LINE_END.split(typed, maxsplit=1)[0]:
            return start + len(typed.rstrip())
        last = _LINE_END.search(typed[-2:])
        return end - len(last.group()) if last else end

    def _begin(self, event: Any, is_map: bool) -> None:
        self._refuse_properties(event)
        if len(self._open) >= DEPTH_LIMIT:
            self._refuse(event, TOO_DEEP)
            raise _GiveUpError
        mark = event.start_mark
        start = mark.index + self._skipped
        self._open.append(_Open(mark.line + 1, mark.column + 1, start, bool(event.flow_style), is_map))

    def _end(self, event: Any) -> None:
        done = self._open.pop()
        nodes = [value for _, value in done.entries.values()] if done.is_map else done.items
        # The end of a block is where the parser meets the next thing; take that of its last node instead.
        end = event.end_mark.index + self._skipped if done.flow else nodes[-1].end if nodes else done.start
        if done.is_map:
            entries = tuple(done.entries.values())
            self._attach(Map(entries, done.line, done.column, done.start, end, done.flow))
        else:
            self._attach(List(tuple(nodes), done.line, done.column, done.start, end, done.flow))

    def _attach(self, node: Node) -> None:
        """Put a finished node where it belongs: it is the root, an item, a name or a value."""
        if not self._open:
            self._root = node
            return
        parent = self._open[-1]
        if parent.awaits_value:
            parent.awaits_value = False
            if (key := parent.key) is not None:
                parent.entries[key.text] = key, node if node.end > node.start else self._after_colon(key)
                parent.key = None
        elif parent.is_map:
            parent.awaits_value = True
            if self._can_name(node, parent):
                parent.key = node
        else:
            if is_empty(node):
                self._note(node.line, node.column, self._path(), EMPTY_ITEM)
            parent.items.append(node)

    def _can_name(self, node: Node, parent: _Open) -> TypeGuard[Scalar]:
        """Tell whether a node can name an entry of its map; note why not."""
        if not isinstance(node, Scalar):
            self._note(node.line, node.column, self._path(), _NAME_NOT_TEXT)
        elif says := self._name_problem(node):
            self._note(node.line, node.column, self._path(), says)
        elif first := parent.entries.get(node.text):
            whole = ".".join(filter(None, [self._path(), node.text]))
            self._note(node.line, node.column, "", _TWICE.format(whole, first[0].line))
        else:
            return True
        return False

    def _name_problem(self, key: Scalar) -> str | None:
        name, text = key.text, self._text
        if key.start >= 2 and text[key.start - 2 : key.start] in ("? ", "?\t"):
            return _EXPLICIT
        if text[key.end : key.end + 1] == ":" and name.isidentifier() and len(name) <= NAME_LIMIT:
            return None  # nearly all names: no need to look closer
        if name and (self._colon(key) < 0 or (not key.quoted and (":{" in name or ":[" in name))):
            return no_colon(name)
        return _MERGE if name == "<<" and not key.quoted else name_problem(name)

    def _colon(self, key: Scalar) -> int:
        """Return the offset of the colon after a name, -1 if there is none."""
        text, after = self._text, key.end
        while (character := text[after : after + 1]) in (" ", "\t"):
            after += 1
        return after if character == ":" else -1

    def _after_colon(self, key: Scalar) -> Scalar:
        """Return the nothing after `key:`, in one place whatever the parser says."""
        start = self._colon(key) + 1
        return Scalar("", key.line, key.column + start - key.start, start, start, False)

    def _refuse_properties(self, event: Any) -> None:
        if event.anchor is not None:
            self._refuse(event, _ANCHOR.format(event.anchor))
        if event.tag is not None:
            self._refuse(event, _TAG.format(event.tag.replace("tag:yaml.org,2002:", "!!")))

    def _refuse(self, event: Any, says: str) -> None:
        self._note(event.start_mark.line + 1, event.start_mark.column + 1, self._path(), says)

    def _note(self, line: int, column: int, path: str, says: str) -> None:
        self._problems.append(Problem(line, column, path, says, self._file))
        if len(self._problems) >= PROBLEM_LIMIT:
            raise _GiveUpError

    def _path(self) -> str:
        return ".".join(level.key.text for level in self._open if level.key is not None)

    @cached_property
    def _line_starts(self) -> list[int]:
        return line_starts(self._text[self._skipped :])


def line_starts(text: str) -> list[int]:
    """Return the offsets at which the lines of a text begin."""
    return [0, *(end.end() for end in _LINE_END.finditer(text))]


def place_of(offset: int, starts: list[int]) -> tuple[int, int]:
    """Return line and column, from 1, of a character of the text with these `line_starts`."""
    line = bisect_right(starts, offset)
    return line, offset - starts[line - 1] + 1
