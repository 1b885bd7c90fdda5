"""The text of a plan as a tree: maps, lists and scalars, each with its place in the text.

Every scalar is the text as typed. `on`, `no`, `22:00`, `012`, `1e3` stay text; the field that a scalar
stands in reads it later. Only the part of YAML that a plan needs is accepted: anchors, aliases, `<<`, tags,
a second document, names that are not text, a name twice in one map, tab indents, control characters and
nesting deeper than 12 are refused, each with its place and all at once where reading can go on.

The events of the YAML parser are walked with a stack of our own, so no input can exhaust Python's.

Sources: YAML 1.1 (2005) as libyaml reads it; Extensible Markup Language 1.0, production 2 (characters that
no drawing or page could hold); RFC 3629 (UTF-8).
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NoReturn, TypeAlias

import yaml

from loomwright.errors import PlanError, Problem
from loomwright.plan.yaml_words import in_plain_words

try:
    from yaml.cyaml import CParser as _Parser
except ImportError:  # libyaml is missing: slower, same events
    from yaml import SafeLoader as _Parser  # type: ignore[assignment]

#: Largest plan, before anything is read. [bytes] A van of 200 wires takes about 40,000.
SIZE_LIMIT = 500_000
#: Maps and lists inside each other, the outermost map counted.
DEPTH_LIMIT = 12
#: Longest name of an entry or field. YAML itself gives up at 1,024. [characters]
NAME_LIMIT = 100
#: Reading stops when so many problems are found: this is not a plan.
PROBLEM_LIMIT = 1_000

#: Text with these in it can't be drawn, printed or put on a page.
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
#: Typed as themselves these would also make line numbers ambiguous; as escapes in quotes they may stand.
_CONTROL_IN_FILE = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]"
)
_TAB_INDENT = re.compile(r"^ *+\t[ \t]*+(?=[^\s#])", re.MULTILINE)
_TAB_BLANK = re.compile(r"^ *+\t[ \t]*+(?=[\r\n#]|\Z)", re.MULTILINE)
_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Scalar:
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
    """Entries in the order of the text; `flow` if written in `{ }`. `end` is the end of the last entry."""

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
    """Items in the order of the text; `flow` if written in `[ ]`. `end` is the end of the last item."""

    items: tuple[Node, ...]
    line: int
    column: int
    start: int
    end: int
    flow: bool


Node: TypeAlias = Scalar | Map | List
#: The same as plain data; None is a name with nothing after it.
Data: TypeAlias = "str | None | list[Data] | dict[str, Data]"


def decode(data: bytes, file: str = "plan") -> str:
    """Return the text of a plan file; a byte order mark is taken off.

    Raises
    ------
    PlanError
        Over 500,000 bytes, not UTF-8, or not text at all.
    """
    if len(data) > SIZE_LIMIT:
        _refuse(file, 1, 1, _too_large(len(data)))
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        _refuse(file, 1, 1, 'this file is saved as UTF-16 ("Unicode"). Save it again as UTF-8.')
    if b"\0" in data:
        _refuse(file, *_place(data.decode("latin-1"), data.index(0)), _NOT_TEXT)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line, column = _place(data[: wrong.start].decode("utf-8-sig"), None)
        seen = data[wrong.start : wrong.start + 1].decode("cp1252", "replace")
        _refuse(
            file,
            line,
            column,
            f'this character is not UTF-8 (in an old Windows or Latin-1 file it would be "{seen}"). '
            "Save the file again as UTF-8.",
        )


def parse(text: str, file: str = "plan") -> Map:
    """Return the tree of a plan's text.

    Raises
    ------
    PlanError
        With every problem that keeps the text from being a tree of names and texts.
    """
    size = len(text) if text.isascii() else len(text.encode("utf-8", "surrogatepass"))
    if size > SIZE_LIMIT:
        _refuse(file, 1, 1, _too_large(size))
    return _Reading(text, file).tree()


def from_data(data: Mapping[str, Any], file: str = "plan") -> Map:
    """Return the tree of JSON-like data: texts (numbers and yes/no become text), lists and maps.

    Every place is line 1, column 1.

    Raises
    ------
    PlanError
        Something else stands in it, it is nested too deep, or a text or name could not be typed in a plan.
    """
    problems: list[Problem] = []
    tree = _node(data, (), problems, file)
    if not isinstance(tree, Map):
        problems.append(Problem(1, 1, "", "a plan is a map of names and values.", file))
    if problems:
        raise PlanError(problems)
    assert isinstance(tree, Map)
    return tree


def to_data(node: Node) -> Any:
    """Return the tree as dicts, lists and texts; a name with nothing after it gives None."""
    if isinstance(node, Scalar):
        return node.text if node.text or node.quoted else None
    if isinstance(node, List):
        return [to_data(item) for item in node.items]
    return {key.text: to_data(value) for key, value in node.entries}


_NOT_TEXT = "this is not a text file (a picture, PDF, spreadsheet?). A plan is plain text saved as UTF-8."
_EMPTY = "nothing stands in this file. A plan begins with the line loomwright: 1"
_NO_MAP = "a plan is made of lines like title: First van, each a name, a colon, a space and a value."
_TOO_DEEP = f"nested deeper than {DEPTH_LIMIT} levels. No part of a plan needs that: is a bracket left open?"
_EMPTY_ITEM = "an empty place in a list. Write a value or leave it out."
_NAME_NOT_TEXT = (
    'a name is a word or a text, not a list or map. Text that begins with [ or { goes in quotes: "[a]".'
)


def _too_large(size: int) -> str:
    return f"{size:,} bytes are too many for a plan (at most {SIZE_LIMIT:,}; 200 wires take about 40,000)."


def _refuse(file: str, line: int, column: int, says: str) -> NoReturn:
    raise PlanError([Problem(line, column, "", says, file)])


def _place(text: str, offset: int | None) -> tuple[int, int]:
    """Return line and column, from 1, of a character; of the end of the text for None."""
    starts = [0] + [end.end() for end in _LINE_END.finditer(text, 0, len(text) if offset is None else offset)]
    return len(starts), (len(text) if offset is None else offset) - starts[-1] + 1


def _name_problem(text: str) -> str | None:
    if not text:
        return "a name is missing before the colon."
    if len(text) > NAME_LIMIT:
        return f'the name "{text[:20]}..." has {len(text)} characters; at most {NAME_LIMIT} are read.'
    if "\n" in text or "\r" in text:
        return f"the name {text!r} runs over a line end. Keep names on one line."
    return None


def _node(data: Any, path: tuple[str, ...], problems: list[Problem], file: str) -> Node:
    def wrong(says: str) -> Scalar:
        problems.append(Problem(1, 1, ".".join(path), says, file))
        return _text("")

    if isinstance(data, Mapping | list | tuple) and len(path) >= DEPTH_LIMIT:
        return wrong(_TOO_DEEP)
    if isinstance(data, Mapping):
        entries = []
        for name, value in data.items():
            if not isinstance(name, str):
                wrong(f"the name {name!r} is not text.")
                continue
            says = _name_problem(name) or _character_problem(name)
            if says:
                wrong(says)
            entries.append((_text(name), _node(value, (*path, name), problems, file)))
        return Map(tuple(entries), 1, 1, 0, 0, False)
    if isinstance(data, list | tuple):
        items = tuple(_node(item, (*path, str(n)), problems, file) for n, item in enumerate(data, 1))
        if None in data:
            return wrong(_EMPTY_ITEM)
        return List(items, 1, 1, 0, 0, False)
    if data is None:
        return Scalar("", 1, 1, 0, 0, False)
    if isinstance(data, bool):
        return _text("yes" if data else "no")
    if isinstance(data, int | float) and abs(data) < float("inf"):  # not nan either
        return _text(str(data))
    if isinstance(data, str):
        says = _character_problem(data)
        return wrong(says) if says else _text(data)
    return wrong(f"{data!r} is neither text, list nor map.")


def _text(text: str) -> Scalar:
    return Scalar(text, 1, 1, 0, 0, True)


def _character_problem(text: str) -> str | None:
    found = _CONTROL.search(text)
    return None if found is None else _control_says(found.group())


def _control_says(character: str) -> str:
    return f"a character that can't be seen or printed stands here (U+{ord(character):04X}). Delete it."


@dataclass(slots=True)
class _Open:
    """A map or list whose end has not been read yet."""

    line: int
    column: int
    start: int
    flow: bool
    is_map: bool
    entries: list[tuple[Scalar, Node]] = field(default_factory=list)
    items: list[Node] = field(default_factory=list)
    seen: dict[str, int] = field(default_factory=dict)
    key: Scalar | None = None
    awaits_value: bool = False


class _GiveUp(Exception):  # noqa: N818
    """Reading can't go on; the problems so far say why."""


class _Reading:
    """One walk over the events of a text."""

    def __init__(self, text: str, file: str) -> None:
        self.bom = 1 if text.startswith("\ufeff") else 0
        self.text = text[self.bom :]
        self.file = file
        self.problems: list[Problem] = []
        self.stack: list[_Open] = []
        self.root: Node | None = None

    def tree(self) -> Map:
        try:
            self._walk(self._scanned())
        except _GiveUp:
            pass
        except yaml.MarkedYAMLError as wrong:
            line, column, says = in_plain_words(wrong, self.text)
            self.problems.append(Problem(line, column, self._path(), says, self.file))
        if not self.problems and not isinstance(self.root, Map):
            empty = self.root is None or to_data(self.root) is None
            self._wrong(1, 1, _EMPTY if empty else _NO_MAP, path="")
        if self.problems:
            raise PlanError(self.problems)
        assert isinstance(self.root, Map)
        return self.root

    def _scanned(self) -> str:
        """Return the text as the parser may have it, of the same length; find what it must not see."""
        text = self.text
        for found in _CONTROL_IN_FILE.finditer(text):
            self._wrong(*_place(text, found.start()), _control_says(found.group()), path="")
        for found in _TAB_INDENT.finditer(text):
            says = "a tab at the start of a line. Indent with spaces (two a level)."
            self._wrong(*_place(text, found.start()), says, path="")
        if self.problems and _TAB_INDENT.search(text):
            raise _GiveUp  # what belongs to what is not known
        text = _CONTROL_IN_FILE.sub(" ", text)
        return _TAB_BLANK.sub(lambda found: " " * len(found.group()), text)

    def _walk(self, text: str) -> None:
        for event in self._events(text):
            kind = type(event)
            if kind is yaml.ScalarEvent:
                self._scalar(event)
            elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                self._open(event, kind is yaml.MappingStartEvent)
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                self._close(event)
            elif kind is yaml.AliasEvent:
                self._refused(
                    event,
                    f'"*{event.anchor}" is a YAML alias. Write the value itself; text that begins with * goes in quotes.',
                )
                self._attach(Scalar("", 1, 1, 0, 0, True))
            elif kind is yaml.DocumentStartEvent:
                self._document(event)

    def _events(self, text: str) -> Iterator[Any]:
        parser: Any = _Parser(text)
        try:
            while True:
                event = parser.get_event()
                if event is None or type(event) is yaml.StreamEndEvent:
                    return
                yield event
        finally:
            parser.dispose()

    def _document(self, event: Any) -> None:
        if self.root is not None:
            self._refused(event, "a second document begins here (---). One file holds one plan: take it out.")
            raise _GiveUp
        if event.version or event.tags:
            self._refused(event, "lines that begin with % are not read. Leave them out.")

    def _scalar(self, event: Any) -> None:
        mark, style, text = event.start_mark, event.style, event.value
        self._check_properties(event)
        quoted = bool(style)
        start, end = mark.index, event.end_mark.index
        if style == '"':
            says = _character_problem(text)
            if says:
                self._refused(event, says)
        elif style in ("|", ">"):
            end = self._block_end(start, end)
        self._attach(Scalar(text, mark.line + 1, mark.column + 1, start + self.bom, end + self.bom, quoted))

    def _block_end(self, start: int, end: int) -> int:
        """Return where a `|` or `>` text ends: its last line, with the empty lines if they count (`+`)."""
        raw = self.text[start:end]
        kept = "+" in raw[: raw.find("\n")]
        bare = raw.rstrip("\r\n") if kept else raw.rstrip()
        return end - len(_last_line_end(raw)) if kept else start + len(bare)

    def _open(self, event: Any, is_map: bool) -> None:
        self._check_properties(event)
        if len(self.stack) >= DEPTH_LIMIT:
            self._refused(event, _TOO_DEEP)
            raise _GiveUp
        mark = event.start_mark
        self.stack.append(
            _Open(mark.line + 1, mark.column + 1, mark.index + self.bom, bool(event.flow_style), is_map)
        )

    def _close(self, event: Any) -> None:
        done = self.stack.pop()
        end = event.end_mark.index + self.bom
        if not done.flow:
            end = (
                done.entries[-1][1].end if done.entries else done.items[-1].end if done.items else done.start
            )
        if done.is_map:
            self._attach(Map(tuple(done.entries), done.line, done.column, done.start, end, done.flow))
        else:
            self._attach(List(tuple(done.items), done.line, done.column, done.start, end, done.flow))

    def _attach(self, node: Node) -> None:
        if not self.stack:
            self.root = node
            return
        parent = self.stack[-1]
        if not parent.is_map:
            if isinstance(node, Scalar) and not node.text and not node.quoted:
                self._wrong(node.line, node.column, _EMPTY_ITEM)
            parent.items.append(node)
        elif parent.awaits_value:
            parent.awaits_value = False
            key, parent.key = parent.key, None
            if key is not None:
                parent.entries.append((key, self._after_colon(key, node)))
        else:
            parent.awaits_value = True
            parent.key = self._key(parent, node)

    def _key(self, parent: _Open, node: Node) -> Scalar | None:
        """Return the node if it may name an entry, else None and the reason among the problems."""
        if not isinstance(node, Scalar):
            self._wrong(node.line, node.column, _NAME_NOT_TEXT)
            return None
        says = _name_problem(node.text)
        if says is None and node.text == "<<" and not node.quoted:
            says = (
                '"<<" (merging of maps) is not read. Write the fields out, or use like: for a similar part.'
            )
        if says is None and self._colon(node) is None:
            says = f'"{node.text}" has no colon and value. Write {node.text}: value; a list goes in [ ].'
        if says is None and node.text in parent.seen:
            path = ".".join([*filter(None, [self._path()]), node.text])
            says = f"{path} stands twice (first in line {parent.seen[node.text]}). Give one of them another name."
            self._wrong(node.line, node.column, says, path="")
            return None
        if says is not None:
            self._wrong(node.line, node.column, says)
            return None
        parent.seen[node.text] = node.line
        return node

    def _colon(self, key: Scalar) -> int | None:
        """Return the offset of the colon after a name; None if it was typed in another way (`? name`)."""
        at = key.end - self.bom
        while self.text[at : at + 1] in (" ", "\t"):
            at += 1
        explicit = self.text[: key.start - self.bom][-80:].rstrip(" \t").endswith("?")
        return None if explicit or self.text[at : at + 1] != ":" else at + self.bom

    def _after_colon(self, key: Scalar, node: Node) -> Node:
        """Return the value; one that is empty gets its place right after the colon."""
        if not isinstance(node, Scalar) or node.text or node.quoted:
            return node
        colon = self._colon(key)
        assert colon is not None
        column = key.column + colon - key.start + 1
        return Scalar("", key.line, column, colon + 1, colon + 1, False)

    def _check_properties(self, event: Any) -> None:
        if event.anchor is not None:
            self._refused(
                event,
                f'"&{event.anchor}" is a YAML anchor. Leave it out; text that begins with & goes in quotes.',
            )
        if event.tag is not None:
            self._refused(
                event, f'"{event.tag}" is a YAML tag. Leave it out; text that begins with ! goes in quotes.'
            )

    def _refused(self, event: Any, says: str) -> None:
        self._wrong(event.start_mark.line + 1, event.start_mark.column + 1, says)

    def _wrong(self, line: int, column: int, says: str, path: str | None = None) -> None:
        self.problems.append(Problem(line, column, self._path() if path is None else path, says, self.file))
        if len(self.problems) >= PROBLEM_LIMIT:
            raise _GiveUp

    def _path(self) -> str:
        return ".".join(level.key.text for level in self.stack if level.key is not None)


def _last_line_end(raw: str) -> str:
    return "\r\n" if raw.endswith("\r\n") else raw[-1:] if raw.endswith(("\n", "\r")) else ""
