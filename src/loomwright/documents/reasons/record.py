"""What a slip of reasons holds: frozen data in words and figures, no markup.

A row shows its sum and its value as texts; the `step` behind them works out to the same value again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from loomwright.rules.finding import Severity
from loomwright.source import Source
from loomwright.steps import Step

Kind = Literal["wire", "part", "stud", "finding", "terminal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a table of sums.

    Attributes
    ----------
    what : str
        What it is: "Wire C4", "3 loaded cores together".
    sum : str
        The sum with its figures, "19.5 mΩ/m × 2.7 m"; empty for a figure taken as it stands.
    value, unit : str
        The result as printed, without and with its unit apart.
    source : Source or None
        Who says so, where, and how far that was confirmed (`source.checked`); None for plain arithmetic and
        for rows whose details have several.
    is_total : bool
        It sums up the rows above it.
    step : Step or None
        The sum itself; None for a figure taken as it stands.
    details : tuple of Row
        The single rows that this one adds up.
    of : tuple of str or None
        Kind and id of the thing this row is about, if one can choose it.
    unknown : str
        Dotted path of the field to fill in, if the figure is a guess.
    """

    what: str
    sum: str = ""
    value: str
    unit: str = ""
    source: Source | None = None
    is_total: bool = False
    step: Step | None = None
    details: tuple[Row, ...] = ()
    of: tuple[str, str] | None = None
    unknown: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One titled table of sums; `key` names it for good, `result` says in one line what comes out."""

    key: str
    title: str
    rows: tuple[Row, ...]
    result: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What the thing is, and where.

    Attributes
    ----------
    id : str
        As in the plan.
    what : str
        In plain words: "C4 · BU 1 mm²", "pump · water pump".
    runs : str
        Where a wire runs, what feeds a part: "U1 way 4 to the pump, 2.7 m, by cross_floor, right_sill".
    colours : tuple of str
        Colour letters of a wire, the main colour first: ("RD", "YE").
    area_mm2 : float or None
        Copper of a wire, for a specimen true to size. [mm²]
    place : str
        Places and paths it touches, as the plan names them.
    """

    id: str
    what: str
    runs: str = ""
    colours: tuple[str, ...] = ()
    area_mm2: float | None = None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """One finding about the thing; `number` is that of the check list, `value` and `limit` have one unit."""

    number: int
    severity: Severity
    rule: str
    where: str
    says: str
    do: str
    source: Source
    beside: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    value: float | None = None
    limit: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One limit that the thing is held against.

    Attributes
    ----------
    what : str
        "drop, running".
    value : str
        The figure of this thing, with its unit.
    watch, fault : str
        Where either grade begins, with its unit; empty if there is no such grade.
    level : str
        "within", "watch" or "fault".
    source : Source
        Whose limit it is.
    beside : tuple of str
        What standards have that the plan does not name; it changes no verdict.
    """

    what: str
    value: str
    watch: str
    fault: str
    level: Literal["within", "watch", "fault"]
    source: Source
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """The whole slip of one thing.

    Attributes
    ----------
    kind, id : str
        What was asked for.
    head : Head
        What and where it is.
    findings : tuple of About
        What is wrong with it, gravest first.
    tables : tuple of Table
        The sums, the one that matters most first.
    limits : tuple of Held
        What it is held against.
    unknown : tuple of str
        Dotted paths of the fields that were guessed at and took part.
    """

    kind: Kind
    id: str
    head: Head
    findings: tuple[About, ...] = ()
    tables: tuple[Table, ...] = ()
    limits: tuple[Held, ...] = ()
    unknown: tuple[str, ...] = ()
