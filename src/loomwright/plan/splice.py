"""Changed data written into the text of a plan, so that only what changed is touched.

The tree of the text is laid beside the new data. Where a value differs, its own characters are replaced;
what is gone loses its line, or its place between commas; what is new is written after its neighbours, in
their style. Everything else stays as typed: comments, quotes, line ends.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import takewhile
from typing import Any

from loomwright.plan.tree import List, Map, Node, Scalar, is_empty, to_data
from loomwright.plan.write import LINE_LIMIT, entry_lines, item_lines, name_text, section_lines, value_text

#: From where to where an entry or item is typed, without what separates it from the next.
Span = tuple[int, int]

_LINE_END = re.compile(r"\r\n|\r|\n|\Z")


def rewrite(text: str, tree: Map, data: dict[str, Any]) -> str:
    """Return `text`, whose tree is `tree`, changed so that it says `data`. One entry at least must stay."""
    changes = _Changes(text)
    changes.map(tree, data, top=True)
    return changes.applied()


class _Changes:
    """The splices that turn one text into another."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._splices: list[tuple[int, int, str]] = []
        self._newline = self._line_end(0)[1] or "\n"
        self._first = 1 if text.startswith("\ufeff") else 0

    def applied(self) -> str:
        """Return the new text. At one offset, what is put in comes before what is taken out."""
        out, reached = [], 0
        for start, end, new in sorted(self._splices, key=lambda splice: (splice[0], splice[1] > splice[0])):
            assert start >= reached, "two changes of one text overlap"
            out += [self._text[reached:start], new]
            reached = end
        return "".join(out) + self._text[reached:]

    def map(self, old: Map, new: dict[str, Any], top: bool = False) -> None:
        """Change the entries of a map; `top` if its entries are the header and sections."""
        for key, value in old.entries:
            if key.text in new and to_data(value) != new[key.text]:
                self._value(old, key, value, new[key.text], top)
        spans, names = self._spans(old), [key.text for key, _ in old.entries]
        stays = [number for number, name in enumerate(names) if name in new]
        self._take_out(old, spans, stays)
        added = {name: value for name, value in new.items() if name not in names}
        if top and not old.flow:
            self._add_to_top(old, stays, added)
        elif old.flow:
            texts = [f"{name_text(name, True)}: {value_text(value, True)}" for name, value in added.items()]
            self._put_into_brackets(old, spans[stays[-1]], texts)
        else:
            lines = [line for name, value in added.items() for line in entry_lines(name, value, _indent(old))]
            self._put_lines_after(spans[stays[-1]][1], lines)

    def _value(self, parent: Map, key: Scalar, old: Node, new: Any, top: bool) -> None:
        if (
            isinstance(old, Map)
            and isinstance(new, dict)
            and any(name.text in new for name, _ in old.entries)
        ):
            self.map(old, new)
        elif isinstance(old, List) and isinstance(new, list) and old.items and new:
            self._list(old, new)
        else:
            self._replace(parent, key, old, new, top)

    def _list(self, old: List, new: list[Any]) -> None:
        """Change the items between those that are alike at the front and at the back."""
        was, spans = to_data(old), self._spans(old)
        front = _alike(was, new)
        back = _alike(was[front:][::-1], new[front:][::-1])
        middle = new[front : len(new) - back]
        swapped = min(len(was) - front - back, len(middle))
        for item, value in zip(old.items[front:], middle[:swapped], strict=False):
            self._splices.append((item.start, item.end, value_text(value, old.flow)))
        self._take_out(old, spans, [*range(front + swapped), *range(len(was) - back, len(was))])
        self._add_items(old, spans, front + swapped, middle[swapped:])

    def _replace(self, parent: Map, key: Scalar, old: Node, new: Any, top: bool) -> None:
        """Write a value that has nothing in common with the old one, in one line if it fits."""
        colon = self._text.index(":", key.end) + 1
        if isinstance(old, Map | List) and not old.flow:
            self._take_out(old, self._spans(old), [])
            old = Scalar("", key.line, key.column, colon, colon, False)
        block = section_lines(key.text, new) if top else entry_lines(key.text, new, _indent(parent))
        if len(block) > 1 and not parent.flow and self._line_end(colon)[0] >= old.end:
            self._splices.append((colon, old.end, ""))
            self._put_lines_after(old.end, block[1:])
        else:
            gap = " " if is_empty(old) else ""
            self._splices.append((old.start, old.end, gap + value_text(new, parent.flow)))

    # --- taking out

    def _take_out(self, old: Map | List, spans: list[Span], stays: list[int]) -> None:
        gone = [number for number in range(len(spans)) if number not in set(stays)]
        if old.flow:
            for first, last in _runs(gone):
                self._take_out_of_brackets(old, spans, first, last)
        else:
            self._splices += [self._lines(*spans[number]) for number in gone]

    def _take_out_of_brackets(self, old: Map | List, spans: list[Span], first: int, last: int) -> None:
        """Take out neighbours and one comma; where nothing else stands in their lines, those lines."""
        text, start, end = self._text, spans[first][0], spans[last][1]
        comma = self._comma_after(end)
        after = end if comma is None else comma + 1
        line_start = self._line_start(start)
        rest = text[after : self._line_end(after)[0]].strip()
        before = self._comma_after(spans[first - 1][1]) if comma is None and first else None
        if old.start < line_start and not text[line_start:start].strip() and rest[:1] in ("", "#"):
            self._splices.append(self._lines(start, after))
        elif before is not None and not text[before + 1 : start].strip():
            self._splices.append((before, end, ""))
            before = None
        elif comma is not None and "#" in text[end:comma]:
            self._splices += [(start, end, ""), (comma, comma + 1, "")]
        else:
            self._splices.append(self._with_blanks(start, after, at_line_end=not rest))
        if before is not None:
            self._splices.append((before, before + 1, ""))

    def _lines(self, start: int, end: int) -> tuple[int, int, str]:
        """Return the cut of whole lines, with the line end before them: lines may be put in after them."""
        line_start, (line_end, newline) = self._line_start(start), self._line_end(end)
        if line_start <= self._first:
            return line_start, line_end + len(newline), ""
        return line_start - (2 if self._text.endswith("\r\n", 0, line_start) else 1), line_end, ""

    def _with_blanks(self, start: int, end: int, at_line_end: bool) -> tuple[int, int, str]:
        """Return what to cut so that no blanks are left at the line's end, or doubled in it."""
        line_start, line_end = self._line_start(start), self._line_end(end)[0]
        if at_line_end:
            return line_start + len(self._text[line_start:start].rstrip(" ")), end, ""
        return start, line_end - len(self._text[end:line_end].lstrip(" ")), ""

    # --- putting in

    def _add_to_top(self, old: Map, stays: list[int], added: dict[str, Any]) -> None:
        """Put fields of the header after those there are, sections at the end, a blank line before each."""
        kept = [old.entries[number][1] for number in stays]
        header = list(takewhile(lambda value: not isinstance(value, Map) and not is_empty(value), kept))
        for name, value in added.items():
            lines = section_lines(name, value)
            if header and isinstance(value, str | list):
                self._put_lines_after(header[-1].end, lines)
            else:
                at = self._line_end(kept[-1].end)[0]
                blank = [] if at == self._line_start(at) else [""]  # one that is there may be part of a text
                self._put_lines_after(at, [*blank, *lines])

    def _add_items(self, old: List, spans: list[Span], place: int, items: list[Any]) -> None:
        """Put items in before the one at `place`, or at the end."""
        lines = [line for item in items for line in item_lines(item, _indent(old))]
        texts = [value_text(item, True) for item in items]
        if place > 0 and old.flow:
            self._put_into_brackets(old, spans[place - 1], texts)
        elif place > 0:
            self._put_lines_after(spans[place - 1][1], lines)
        elif old.flow:
            self._splices.append((spans[0][0], spans[0][0], "".join(f"{text}, " for text in texts)))
        else:
            at = self._line_start(spans[0][0])
            self._splices.append((at, at, "".join(line + self._newline for line in lines)))

    def _put_into_brackets(self, old: Map | List, after: Span, texts: Sequence[str]) -> None:
        """Put texts after an entry or item, in a new line where the old one would get too long."""
        at = after[1]
        line_start, line_end = self._line_start(at), self._line_end(at)[0]
        line = self._text[line_start:line_end]
        indent = line[: len(line) - len(line.lstrip(" "))] + ("  " if old.start >= line_start else "")
        length, new = len(line), " " if self._text[at - 1] == ":" else ""
        for text in texts:
            length += len(text) + 2
            wraps = length > LINE_LIMIT
            if wraps:
                length = len(indent) + len(text) + line_end - at
            new += f",{self._newline}{indent}{text}" if wraps else f", {text}"
        if texts:
            self._splices.append((at, at, new))

    def _put_lines_after(self, offset: int, lines: Sequence[str]) -> None:
        at = self._line_end(offset)[0]
        if lines:
            self._splices.append((at, at, "".join(self._newline + line for line in lines)))

    # --- looking at the text

    def _line_start(self, offset: int) -> int:
        before = max(self._text.rfind("\n", 0, offset), self._text.rfind("\r", 0, offset)) + 1
        return max(before, self._first)

    def _line_end(self, offset: int) -> tuple[int, str]:
        """Return where the line ends, and with what."""
        found = _LINE_END.search(self._text, offset)
        assert found is not None, "every text has an end"
        return found.start(), found.group()

    def _comma_after(self, offset: int) -> int | None:
        """Return where the comma after an entry or item is; None if a bracket closes first."""
        comma = self._next(offset)
        return comma if self._text[comma] == "," else None

    def _next(self, offset: int) -> int:
        """Return where something stands next that is neither blank nor comment."""
        while (character := self._text[offset]).isspace() or character == "#":
            offset = self._line_end(offset)[0] if character == "#" else offset + 1
        return offset

    def _spans(self, node: Map | List) -> list[Span]:
        if isinstance(node, Map):
            return [(key.start, value.end) for key, value in node.entries]
        if node.flow:
            return [(item.start, item.end) for item in node.items]
        dashes = [node.start, *(self._next(item.end) for item in node.items[:-1])]
        return [(dash, item.end) for dash, item in zip(dashes, node.items, strict=True)]


def _indent(block: Map | List) -> str:
    return " " * (block.column - 1)


def _alike(one: list[Any], other: list[Any]) -> int:
    """Return how many items at the front are the same in both."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def _runs(numbers: list[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last of each run of neighbours."""
    for number in numbers:
        if number - 1 not in numbers:
            last = number
            while last + 1 in numbers:
                last += 1
            yield number, last
