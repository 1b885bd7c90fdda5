"""The manual page on cables and fuses says what the tables hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.protection.rating import TABLES
from loomwright.tables import abyc_e11, iso_10133
from loomwright.tables.fuse_type import FuseType, Gates
from loomwright.tables.fuses import FUSE_TYPES

PAGE = (Path(__file__).parents[2] / "docs" / "methods" / "cables-and-fuses.md").read_text(encoding="utf-8")
ROWS = [
    [cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.splitlines() if line[:1] == "|"
]
SHOWN = (1.35, 2.00, 3.50, 6.00)


def gates_of(row: Gates) -> str:
    """Return gates as the page writes them: "0.75–600, 0.15–5"."""

    def ends(multiple: float) -> str | None:
        gate = next((gate for gate in row.gates if gate.multiple == multiple), None)
        if gate is None:
            return None
        least, most = ("" if end is None else f"{end:g}" for end in (gate.at_least_s, gate.at_most_s))
        return f"{least}–{most}"

    return ", ".join(text for multiple in SHOWN if (text := ends(multiple)))


@pytest.mark.parametrize("kind", FUSE_TYPES.values(), ids=lambda kind: kind.name)
def test_fuses(kind: FuseType) -> None:
    rows = [row for row in ROWS if row[0] == f"`{kind.name}`" and len(row) == 5]
    assert {row[1] for row in rows} == {kind.standard}
    printed = [float(number) for row in rows for number in row[2].replace(",", " to").split(" to ")]
    assert (min(printed), max(printed)) == (kind.ratings_a[0], kind.ratings_a[-1])
    for gates, row in zip(kind.gates, rows, strict=bool(kind.gates)):
        assert row[4] == gates.source.checked
        assert row[3] == gates_of(gates) or row[3].startswith("the same")
    (volts,) = (row[2] for row in ROWS if f"`{kind.name}`" in row[0] and len(row) == 3)
    assert {f"{end:g}" for end in (kind.rated_v.low, kind.rated_v.high)} <= set(
        volts.replace(",", " ").split()
    )


def test_tables_of_cables():
    assert [row[0].strip("`") for row in ROWS if len(row) == 5 and row[0].strip("`") in TABLES] == list(
        TABLES
    )
    for factors in (abyc_e11.ENGINE_SPACE, iso_10133.ENGINE_SPACE):
        held = ", ".join(f"{factor:.2f}" for column, factor in factors.items() if column != 60.0)
        assert held in PAGE
