"""The lines of the `*.expect.yaml` files: what must come out of each van; `figures` and `grades` look it up.

A line names a wire, a circuit (by its load) or a part, says what is measured, its value and its class. The
class is the worst severity among the findings of the rules that belong to what is measured and touch the
thing; "pass" is none of watch, fault and danger.

How the figures were worked out by hand: copper at 20 °C; a battery's posts at 12.0 V (lead) or 12.8 V
(LiFePO4), twice that at 24 V; a drop from those posts, or a converter's output, to the load, with this
circuit alone; per cent of 12 V or 24 V; a wire of several loads with all of them on unless one is named; a
charging path at the charger's own current; a dip with the battery's inside in it; a rating derated and held
against the fuse. Tolerances are those of the lines. `selector` is where the van's selector stands (`leisure`:
at rest), `after_cure` names the edits that the line holds after.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from loomwright import read_text
from loomwright.plan.edit import apply_edits, edits_from_data
from loomwright.rules.check import Checked, check_plan

HERE = Path(__file__).resolve().parent
EXAMPLES = HERE.parent.parent / "examples"
VANS = ("alderford", "amberquay", "highcol", "mossgrove", "planeshed", "saltpan")

#: Counted with three loads that have no wire: `test_highcol_main_feed` says why.
BY_HAND = frozenset({("highcol", "W3", "drop_v")})


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an expect file."""

    van: str
    thing: str  # wire, circuit, part or plan
    name: str
    what: str
    value: str | None
    grade: str
    percent: float
    absolute: float | None
    of: str
    by: str
    selector: str
    after_cure: str
    note: str
    charge: str
    temperature: str
    month: str

    def __str__(self) -> str:
        words = (self.name, self.what, self.of, self.by, self.selector, self.after_cure, self.note[:10])
        words += (self.charge, self.temperature)
        return "-".join([self.van, *(word for word in words if word)])


def text_of(van: str, cure: str) -> str:
    """Return the text of a van, with the edits of that name applied."""
    text = (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")
    return apply_edits(text, edits_from_data(expect_file(van)["edits"][cure])) if cure else text


@cache
def checked(van: str, cure: str = "") -> Checked:
    """Return the checked plan of a van."""
    return check_plan(read_text(text_of(van, cure)))


@cache
def expect_file(van: str) -> dict:
    """Return what a van's expect file holds, all scalars as typed."""
    return yaml.load((HERE / f"{van}.expect.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def lines(van: str) -> Iterator[Line]:
    """Give the lines of a van."""
    for row in expect_file(van)["expect"]:
        thing = next(word for word in ("wire", "circuit", "part", "plan") if word in row)
        yield Line(
            van,
            thing,
            row[thing],
            row["what"],
            {"null": None, "yes": "1", "none": "0"}.get(row["value"], row["value"]),
            row["class"],
            float(row.get("tolerance_pct", 0.0)),
            float(row["absolute"]) if "absolute" in row else None,
            row.get("of", ""),
            row.get("by", ""),
            row.get("selector", ""),
            row.get("after_cure", ""),
            row.get("note", ""),
            row.get("charge", ""),
            row.get("temperature", ""),
            row.get("month", ""),
        )


def all_lines() -> list[Line]:
    """Return the lines of all vans."""
    return [line for van in VANS for line in lines(van)]
