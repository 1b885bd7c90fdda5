"""Every id of every example renamed: back again it is the same text, and the same is found wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwright.errors import PlanError
from loomwright.plan.changes.rename import rename
from loomwright.plan.checks import BUILT_IN_MODES
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan

EXAMPLES = sorted(Path("examples").glob("*.yaml"))
SECTIONS = (
    *("places", "paths", "studs", "parts", "wiring", "supplies", "modes", "use"),
    *("promises", "questions", "cargo", "revisions", "accepted"),
)


def ids_in(plan: Plan) -> Iterator[tuple[str, str]]:
    """Section and id of every entry, those inside composites too."""
    for section in SECTIONS:
        yield from ((section, id) for id in getattr(plan, section))
    for unit, part in plan.parts.items():
        if part.inside is not None:
            yield from (("parts", f"{unit}/{id}") for id in part.inside.parts)
            yield from (("wiring", f"{unit}/{id}") for id in part.inside.wiring)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_id_goes_there_and_back_byte_for_byte(path: Path) -> None:
    text = path.read_text("utf-8")
    for section, id in ids_in(read_plan(text)):
        unit, slash, name = id.rpartition("/")
        renamed = rename(text, section, id, "zz_é9")
        assert renamed != text
        assert rename(renamed, section, f"{unit}{slash}zz_é9", name) == text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_with_every_id_renamed_the_same_is_found(path: Path) -> None:
    text = renamed = path.read_text("utf-8")
    for section, id in ids_in(read_plan(text)):
        if id not in BUILT_IN_MODES:  # renamed, the built-in one would be there beside it
            unit, slash, name = id.rpartition("/")
            renamed = rename(renamed, section, f"{unit and unit + '_xq'}{slash}{name}", f"{name}_xq")
    assert renamed.replace("_xq", "") == text
    assert findings(renamed) == findings(text)


def findings(text: str) -> list[tuple[str, ...]]:
    """What is found, without the ending that marks the new names."""
    found = check_plan(read_plan(text)).findings
    return sorted(
        tuple(
            str(one).replace("_xq", "") for one in (said.severity, said.rule, said.where, said.says, said.do)
        )
        for said in found
    )


PLAN = """\
loomwright: 1
title: Van
region: eu
parts: {P1: {kind: fuse_box, ways: 3}, pump: {kind: water_pump}, S1: {kind: switch}}
wiring: {W4: {from: P1.3, through: S1, to: pump}}
labels: {W4: 1, W4.S1: 2, retired: [9]}
accepted:
  1: {rule: x, where: P1.3, because: short, by: me}
  the long one: {rule: x, where: W4.S1, because: "W4, W4", by: me}
"""


@pytest.mark.parametrize(
    ("section", "old", "new", "says"),
    [
        ("wiring", "W4", "retired", "has a meaning of its own there"),
        ("wiring", "W4", "P1", "would be taken for something else in accepted.1.where"),
        ("accepted", "1", "the long one", "is there already"),
        ("accepted", "1", "", "a name is missing"),
    ],
)
def test_a_name_that_would_be_mistaken_is_refused(section: str, old: str, new: str, says: str) -> None:
    with pytest.raises(PlanError, match=says):
        rename(PLAN, section, old, new)


def test_what_nothing_refers_to_may_have_any_name() -> None:
    renamed = rename(PLAN, "accepted", "the long one", "wire: 3")
    assert "  'wire: 3': {rule: x, where: W4.S1," in renamed
    assert rename(renamed, "accepted", "wire: 3", "one") == PLAN.replace("the long one:", "'one':")


def test_a_name_in_quotes_or_escapes_is_found() -> None:
    text = PLAN.replace("to: pump", r'to: "pu\x6dp"').replace("through: S1", "through: 'S1'")
    assert 'to: "zz"' in rename(text, "parts", "pump", "zz")
    assert "through: 'S7'" in rename(text, "parts", "S1", "S7")
