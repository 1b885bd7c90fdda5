"""Random plan data, and the many ways in which a person may type it."""

from __future__ import annotations

import json
from random import Random
from typing import Any

from hypothesis import strategies as st

#: Texts that have broken readers, pages, tables or spreadsheets before.
HOSTILE = (
    '</svg>', '<script>alert(1)</script>', '&amp;', '"quoted"', "it's", "'", '"', '\'"\\', '\\', '\\n',
    '\u202eRTL\u202c שלום', '😀🔧', "=cmd|'/c calc'!A0", '@SUM(A1)', '+1', '-', '- x', '-x', '#', '# x',
    'a # b', 'a#b', ': ', 'a: b', 'a:b', ':', ':x', '?', '? x', '?x', 'a?b', 'x:', 'yes', 'no', 'null', '~',
    '1e3', '012', '22:00', '0x1F', '1_000', '2026-11-25', '.5', '...', '---', '--- x', '%YAML', '`x`', '!',
    '!!str x', '&a', '*a', '<<', '=', '|', '>', '| x', '{', '}', '[a]', '{a: b}', 'a, b', 'a,b', ',', '',
    ' ', ' x', 'x ', 'a  b', 'a\nb', 'a\n', '\na', 'a\r\nb', 'a\tb', '\t', '\u2028', 'a\u2029b', '\ufeff',
    '\xa0x', 'é ² Ω °C', '${x}', '../etc', '%s%n', "'; drop table", "x" * 200, 'a\u200bb',
)  # fmt: skip
#: Texts of several lines, which may be typed as a block.
LINES = ("first line\nsecond: line\n", "first # line\n\n  third line")

printable = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufffe\uffff")
texts = st.sampled_from(HOSTILE + LINES) | st.text(
    printable | st.sampled_from("\n\t :#,-'\"{}[]"), max_size=12
)
ids = st.from_regex(r"[A-Za-zé_][A-Za-z0-9_]{0,5}", fullmatch=True)
names = ids | texts.filter(lambda text: bool(text) and len(text) <= 100 and not set(text) & set("\r\n"))


def data(keys: st.SearchStrategy[str], values: st.SearchStrategy[str]) -> st.SearchStrategy[dict[str, Any]]:
    """Nested data that a plan may hold, at most seven deep."""

    def deeper(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
        return st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=4)

    node = values
    for _ in range(5):
        node = values | deeper(node)
    return st.dictionaries(keys, node, min_size=1, max_size=4)


class Typist:
    """Types data in a style of its own: blocks and brackets, comments, blank lines, quotes, line ends."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.newline = random.choice(["\n", "\r\n"])
        self.step = random.choice([2, 4])
        self.comments = 0
        self.literals = False

    def typed(self, plan: dict[str, Any]) -> str:
        text = self.block(plan, 0).removeprefix(self.newline)
        text = self.random.choice(["", "\ufeff"]) + self.random.choice(["", f"# top{self.newline}"]) + text
        ends = [
            "" if not self.literals else self.newline,
            self.newline,
            f"{self.newline}# bottom{self.newline}",
        ]
        return text + self.random.choice(ends)

    def comment(self) -> str:
        if self.random.random() < 0.7:
            return ""
        self.comments += 1
        return f"  # c{self.comments}, it's {{a: comment}}"

    def block(self, value: Any, indent: int) -> str:
        """Return the lines of a map or list, each with its line end in front."""
        return "".join(self.line(part, indent) for part in self.parts(value, indent))

    def line(self, typed: str, indent: int) -> str:
        above = self.random.choice(
            ["", "", "", self.newline, f"{self.newline}{' ' * indent}#{self.comment()}"]
        )
        return f"{above}{self.newline}{' ' * indent}{typed}"

    def parts(self, value: Any, indent: int) -> list[str]:
        if isinstance(value, dict):
            return [f"{self.scalar(name, True)}:{self.value(inner, indent)}" for name, inner in value.items()]
        return [f"-{self.value(item, indent)}" for item in value]

    def value(self, value: Any, indent: int) -> str:
        if isinstance(value, str) and value in LINES and self.random.random() < 0.7:
            return self.literal(value, indent + self.step)
        if isinstance(value, dict | list) and value and self.random.random() < 0.5:
            return self.comment() + self.block(value, indent + self.step)
        return f" {self.in_brackets(value, indent + self.step)}{self.comment()}"

    def literal(self, value: str, indent: int) -> str:
        """Return a text of several lines as a block of its own."""
        self.literals = True
        chomping = "" if value.endswith("\n") else "-"
        lines = value.removesuffix("\n").split("\n")
        return f" |{chomping}" + "".join(
            self.newline + (" " * indent + line if line else "") for line in lines
        )

    def in_brackets(self, value: Any, indent: int) -> str:
        if not isinstance(value, dict | list):
            return self.scalar(value, False)
        first, last = "{}" if isinstance(value, dict) else "[]"
        parts = (
            [f"{self.scalar(name, True)}: {self.in_brackets(inner, indent)}" for name, inner in value.items()]
            if isinstance(value, dict)
            else [self.in_brackets(item, indent) for item in value]
        )
        text = first + self.gap(indent)
        for number, part in enumerate(parts):
            comma = "," if number < len(parts) - 1 or self.random.random() < 0.1 else ""
            text += part + comma + (self.gap(indent) or " " * bool(comma))
        return text + last

    def gap(self, indent: int) -> str:
        """Return nothing, or a new line inside brackets, with or without a comment before it."""
        if self.random.random() < 0.8:
            return ""
        return f"{self.comment()}{self.newline}{' ' * indent}"

    def scalar(self, text: str, name: bool) -> str:
        plain = text.replace(" ", "").isalnum() and text == text.strip() and "  " not in text
        if plain and self.random.random() < 0.9:
            return text
        if text.isprintable() and self.random.random() < 0.5:
            return "'" + text.replace("'", "''") + "'"
        quoted = json.dumps(text, ensure_ascii=False)
        return "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in quoted)


@st.composite
def typed_plans(draw: st.DrawFn, values: st.SearchStrategy[str] = texts) -> tuple[str, dict[str, Any]]:
    """A plan's text, in some style, and its data."""
    plan = draw(data(ids, values))
    return Typist(draw(st.randoms(use_true_random=False))).typed(plan), plan
