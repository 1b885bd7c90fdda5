"""What each region's rules say of a van's mains side, one clause a row, in our own words.

The rows are in `mains_clauses.csv`. Few of these works were read; every row says how far it was
confirmed, and where no figure was found the limit is left empty and the words say so. Editions move:
print the edition with the clause.

Sources: each row names its own.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal, cast

from loomwright.errors import OutOfTableError
from loomwright.source import Checked, Source
from loomwright.tables.lookup import listed

Bound = Literal["least", "most", "exactly", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """One rule of one region.

    Attributes
    ----------
    topic, region : str
        What it is about, and where: "poles", "uk".
    work, edition, clause : str
        Where it stands.
    says : str
        In our words.
    limit : float or None
        The figure, if one is known. [`unit`]
    bound : str
        Whether the limit is the "least", the "most" or "exactly"; "" without one.
    unit : str
        "mA", "mm²", "m", "%", "s", "V", "" for a factor or a count.
    clause_seen : bool
        Whether the number of the clause was seen, not only the rule.
    source : Source
        Work with edition, clause, and how far it was confirmed.
    """

    topic: str
    region: str
    work: str
    edition: str
    clause: str
    says: str
    limit: float | None
    bound: Bound
    unit: str
    clause_seen: bool
    source: Source

    @property
    def to_check(self) -> bool:
        """True if whoever prints it adds "check against a licensed copy"."""
        return not self.clause_seen or self.source.checked not in _SURE


def clause(topic: str, region: str) -> Clause:
    """Return what a region says of a topic.

    Parameters
    ----------
    topic : str
        One of `topics()`.
    region : str
        One of `mains_supplies.REGIONS`.

    Returns
    -------
    Clause
        The row.

    Raises
    ------
    OutOfTableError
        No such topic, or nothing is held for this region.

    Examples
    --------
    >>> clause("rcd_trip", "uk").limit
    30.0
    """
    found = _clauses().get((topic, region))
    if found is None:
        held = [r for t, r in _clauses() if t == topic]
        raise OutOfTableError(
            f"nothing on {topic!r} for region {region!r}; held for: {', '.join(held)}"
            if held
            else f"no topic {topic!r}; held: {', '.join(topics())}"
        )
    return found


def clauses(region: str) -> tuple[Clause, ...]:
    """Return all rows of a region, in the order of topics.

    Parameters
    ----------
    region : str
        One of `mains_supplies.REGIONS`.

    Returns
    -------
    tuple of Clause
        Empty for a region that is not held.
    """
    return tuple(row for (_, of), row in _clauses().items() if of == region)


def topics() -> tuple[str, ...]:
    """Return every topic that some region has a row on.

    Returns
    -------
    tuple of str
        In the order of the table.
    """
    return tuple(dict.fromkeys(topic for topic, _ in _clauses()))


def lead_area(rating_a: float, region: str) -> Clause:
    """Return the least area of a lead for the rating of its plugs.

    Parameters
    ----------
    rating_a : float
        Of inlet and plug; one between two rows counts as the next larger. [A]
    region : str
        One of `mains_supplies.REGIONS`.

    Returns
    -------
    Clause
        Its limit is in mm².

    Raises
    ------
    OutOfTableError
        The region has no row for so large a lead.

    Examples
    --------
    >>> lead_area(16.0, "uk").limit
    2.5
    """
    rated = {
        float(row.topic.rpartition("_")[2]): row for row in clauses(region) if row.topic.startswith(_LEAD)
    }
    for held in sorted(rated):
        if rating_a <= held:
            return rated[held]
    ratings = listed(sorted(rated))
    raise OutOfTableError(f"no lead for {rating_a:g} A in region {region!r}; ratings held: {ratings}")


#: Printed beside a clause whose number was not seen in the work.
TO_CHECK = "check against a licensed copy"
_LEAD = "lead_area_"
_SURE = ("read in the work", "published, second hand")


@cache
def _clauses() -> Mapping[tuple[str, str], Clause]:
    found: dict[tuple[str, str], Clause] = {}
    for row in read_rows("mains_clauses.csv"):
        limit, checked = row["limit"], cast(Checked, row["checked"])
        unsure = row["clause_seen"] != "yes" and checked not in ("from memory", "common practice")
        place = f"{row['clause']}: {TO_CHECK}" if unsure else row["clause"]
        source = Source(work=f"{row['work']} {row['edition']}".strip(), place=place, checked=checked)
        words = {key: row[key] for key in ("topic", "region", "work", "edition", "clause", "says", "unit")}
        bound = cast(Bound, row["bound"])
        found[row["topic"], row["region"]] = Clause(
            **words,
            limit=float(limit) if limit else None,
            bound=bound,
            clause_seen=row["clause_seen"] == "yes",
            source=source,
        )
    return MappingProxyType(found)


def read_rows(name: str) -> Iterator[dict[str, str]]:
    """Yield the rows of a table that lies beside this module.

    Parameters
    ----------
    name : str
        Its file.

    Yields
    ------
    dict
        Cell by column.
    """
    text = files("loomwright.tables").joinpath(name).read_text(encoding="utf-8")
    yield from csv.DictReader(text.splitlines())
