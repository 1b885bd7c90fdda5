"""The tables of the plan-format page, made from the field table.

The page's prose is written by hand; between `<!-- table NAME -->` and `<!-- end -->` stands what this module
makes. `python -m loomwright.plan.docs` tells whether the page is up to date, `--write` brings it up to date.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from loomwright.plan.columns import Column, Entries, Nested, columns
from loomwright.plan.kinds import COMMON, KINDS, Pair, fields_of
from loomwright.plan.model import RECORDS, Plan
from loomwright.plan.spellings import UNITS

PAGE = Path("docs", "plan-format.md")

_CONSUMER = fields_of("lamp")[len(COMMON) :]
_BLOCK = re.compile(r"(<!-- table ([\w ]+) -->\n).*?(<!-- end -->)", re.DOTALL)


def filled(page: str) -> str:
    """Return the page with every marked table made anew.

    Raises
    ------
    KeyError
        A marker names no table.
    """
    return _BLOCK.sub(lambda block: f"{block[1]}{table(block[2])}\n{block[3]}", page)


def table(name: str) -> str:
    """Return one table as Markdown: of a record, or `header`, `sections`, `units`, `kinds`, `common` ..."""
    if name in _TABLES:
        return _TABLES[name]()
    return _fields(columns(RECORDS[name]).values())


def _rows(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [" | ".join(head), "|".join("---" for _ in head), *(" | ".join(row) for row in rows)]
    return "\n".join(f"| {line} |" if "---" not in line else f"|{line}|" for line in lines)


def _fields(rows: Iterable[Column]) -> str:
    return _rows(
        ("field", "kind", "when left out", "meaning"),
        (
            (f"`{row.name}`", row.kind.says, "**needed**" if row.needed else row.default, row.says)
            for row in rows
            if row.name not in ("note", "photo")
        ),
    )


def _of_plan(*, header: bool) -> list[Column]:
    return [
        row
        for row in columns(Plan).values()
        if header != (isinstance(row.kind, Entries | Nested) or row.name == "labels")
    ]


def _parts(kind_of_field: str) -> str:
    """Return the common fields of parts, those of consumers, or all others with the kinds that have them."""
    rows = columns(RECORDS["Part"])
    if kind_of_field == "common":
        return _fields(rows[name] for name in COMMON)
    if kind_of_field == "consumer":
        return _fields(rows[name] for name in _CONSUMER)
    return _rows(
        ("field", "kind", "when left out", "meaning", "of"),
        (
            (f"`{name}`", row.kind.says, row.default, row.says, _owners(name))
            for name, row in rows.items()
            if name not in COMMON and name not in _CONSUMER
        ),
    )


def _owners(name: str) -> str:
    owners = [f"**{kind}**" if name in row.needed else kind for kind, row in KINDS.items() if name in row.own]
    return " ".join(owners)


def _kinds() -> str:
    rows = []
    for kind, row in KINDS.items():
        usual = " / ".join("–" if end is None else end or "itself" for end in (row.to, row.from_))
        named = [f"**{name}**" if name in row.needed else name for name in row.own if name not in _CONSUMER]
        own = " ".join((["c."] if row.consumer else []) + named)
        rows.append((f"`{kind}`", " ".join(row.terminals) or "–", usual, _states(kind), own or "–", row.says))
    return _rows(
        ("kind", "terminals", "as `to` / as `from`", "passages by state", "own fields", "what it is"), rows
    )


def _states(kind: str) -> str:
    row = KINDS[kind]
    said = [f"{state}: {_pairs(closed) or 'none'}" for state, closed in row.states.items()]
    return "; ".join([*([_pairs(row.always)] if row.always else []), *said]) or "–"


def _pairs(pairs: Iterable[Pair]) -> str:
    return " ".join(f"{a}-{b}" for a, b in pairs)


def _units() -> str:
    return _rows(
        ("kind", "units", "for example"),
        (
            (
                f"{'%' if unit == 'fraction' else unit}, {entry.called}",
                " ".join(f"`{spelling}`" for spelling in entry.spellings)
                + (" `AWG`" if unit == "mm²" else ""),
                f"`{entry.example}`",
            )
            for unit, entry in UNITS.items()
        ),
    )


_TABLES: dict[str, Callable[[], str]] = {
    "header": lambda: _fields(_of_plan(header=True)),
    "sections": lambda: _rows(
        ("section", "made of", "meaning"),
        ((f"`{row.name}`", row.kind.says, row.says) for row in _of_plan(header=False)),
    ),
    "units": _units,
    "kinds": _kinds,
    "common": lambda: _parts("common"),
    "consumer": lambda: _parts("consumer"),
    "other": lambda: _parts("other"),
}


def main(arguments: Sequence[str]) -> int:
    """Check the page, or write it with `--write`; return the exit code."""
    page = PAGE.read_text(encoding="utf-8")
    made = filled(page)
    if "--write" in arguments:
        PAGE.write_text(made, encoding="utf-8")
        return 0
    if made != page:
        print(f"{PAGE} is out of date. Run: python -m loomwright.plan.docs --write")
    return int(made != page)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
