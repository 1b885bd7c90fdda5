"""Inspection and test of the mains side: what is done in which order, dead first, with which instrument.

The rows are in `mains_tests.csv`. A test that fails stops the sequence until it is mended. Only a
licensed person does the live ones; what is held here prepares for them and replaces nothing.

Sources: each row names its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import cast

from loomwright.source import Checked, Source
from loomwright.tables.mains_clauses import read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class MainsTest:
    """One step.

    Attributes
    ----------
    step : str
        Number in the order: "I-1", "L-2".
    test : str
        Its name in the trade.
    instrument : str
        With what.
    method : str
        How.
    limit : str
        What the reading is held against.
    live : bool
        True if the supply is on.
    clause : str
        Where it stands.
    source : Source
        Work, clause, and how far it was confirmed.
    """

    step: str
    test: str
    instrument: str
    method: str
    limit: str
    live: bool
    clause: str
    source: Source


@cache
def inspection_order(region: str) -> tuple[MainsTest, ...]:
    """Return the steps of a region in order.

    Parameters
    ----------
    region : str
        One of `mains_supplies.REGIONS`.

    Returns
    -------
    tuple of MainsTest
        Dead tests first; empty for a region that is not held.

    Examples
    --------
    >>> [step.test for step in inspection_order("uk")][1]
    'continuity of protective and bonding conductors'
    """
    return tuple(
        MainsTest(
            **{key: row[key] for key in ("step", "test", "instrument", "method", "limit", "clause")},
            live=row["live"] == "live",
            source=Source(work=row["work"], place=row["clause"], checked=cast(Checked, row["checked"])),
        )
        for row in read_rows("mains_tests.csv")
        if region in row["regions"].split()
    )
