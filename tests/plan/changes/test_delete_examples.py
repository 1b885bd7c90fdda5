"""Every entry of every example taken out: the rest reads, and stands as it was typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwright.errors import PlanError
from loomwright.plan.changes.delete import delete
from loomwright.plan.edit import apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.plan.tree import Map, parse
from tests.plan.changes.test_rename_examples import SECTIONS
from tests.plans import random_plan

VANS = {path.stem: path.read_text("utf-8") for path in sorted(Path("examples").glob("*.yaml"))}
VANS |= {f"random {seed}": random_plan(seed, 14) for seed in (3, 4)}


@pytest.mark.parametrize("van", VANS)
def test_whatever_goes_the_rest_reads_and_stands_as_typed(van: str) -> None:
    text = VANS[van]
    plan, tree = read_plan(text), parse(text)
    for section in SECTIONS:
        for id in getattr(plan, section):
            if section == "places" and any(stud.place == id for stud in plan.studs.values()):
                with pytest.raises(PlanError, match="elsewhere first"):
                    delete(plan, text, section, id)
                continue
            after = apply_edits(text, delete(plan, text, section, id).edits)
            left = read_plan(after)
            assert id not in getattr(left, section)
            check_untouched(text, tree, plan, after, left, id)


def check_untouched(text: str, tree: Map, plan: Plan, after: str, left: Plan, id: str) -> None:
    """Check that each line that neither names what went nor is part of it is there, and in its order."""
    gone = {
        section: [name for name in getattr(plan, section) if name not in getattr(left, section)]
        for section in SECTIONS
    }
    may_go = set(lines_of(tree, gone))
    names = "|".join(re.escape(name) for name in [id, *(name for listed in gone.values() for name in listed)])
    named = re.compile(rf"(?<!\w)(?:{names})(?!\w)")
    is_now = iter(after.splitlines())
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and number not in may_go and not named.search(line):
            assert line in is_now  # from the last one found on


def lines_of(tree: Map, gone: dict[str, list[str]]) -> Iterator[int]:
    """Lines of entries that went, and of headings that nothing stands under any more."""
    for section, node in tree.entries:
        if not isinstance(node, Map) or section.text not in gone:
            continue
        if len(gone[section.text]) == len(node.entries):
            yield section.line
        following = [key.line for key, _ in node.entries[1:]]
        for (key, _), end in zip(node.entries, [*following, key_after(tree, section.line)], strict=True):
            if key.text in gone[section.text]:
                yield from range(key.line, end)


def key_after(tree: Map, line: int) -> int:
    return next((key.line for key, _ in tree.entries if key.line > line), 10**6)
