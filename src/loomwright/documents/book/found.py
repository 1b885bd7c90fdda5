"""The findings of the book, and the full chain of sums behind each danger and fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.documents.cured import NOTHING_TOLD, RECHECKED, Told
from loomwright.documents.reasons import Row, Table, reasons
from loomwright.documents.reasons import thing_of as _thing_of
from loomwright.documents.reasons.expected import decides, of_finding
from loomwright.documents.reasons.loose import KEYS as LOOSE
from loomwright.documents.reasons.record import Held
from loomwright.rules.check import Checked
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.sizing.nearest import Nearest

from .citing import Citing
from .marks import Mark

GRAVE = ("danger", "fault")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """One finding as printed; `words` are those of its severity, `cure_tells` figures or why none."""

    number: int
    severity: str
    words: str
    rule: str
    where: str
    place: str
    says: str
    do: str
    beside: tuple[str, ...]
    unknown: tuple[str, ...]
    source: str
    cite: int
    accepted: str
    cure: str
    cure_tells: tuple[str, ...]
    flips: str
    expected: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SumRow:
    """One line of a table of sums."""

    what: str
    sum: str
    value: str
    cite: int
    total: bool
    detail: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SumTable:
    """A titled table of sums with its result in one line."""

    title: str
    result: str
    rows: tuple[SumRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One limit that the thing is held against."""

    what: str
    value: str
    watch: str
    fault: str
    level: str
    cite: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """One thing with dangers or faults: what it is, and the sums behind them."""

    id: str
    what: str
    runs: str
    place: str
    colours: tuple[str, ...]
    marks: tuple[Mark, ...]
    says: tuple[str, ...]
    tables: tuple[SumTable, ...]
    limits: tuple[LimitRow, ...]
    unknown: tuple[str, ...]


def found_rows(
    checked: Checked, citing: Citing, cures: Mapping[int, Told], flips: Nearest
) -> tuple[FoundRow, ...]:
    """Return every finding, gravest first, with the number it has everywhere."""
    return tuple(
        _found(checked, number, finding, citing, cures.get(number, NOTHING_TOLD), flips)
        for number, finding in enumerate(checked.findings, 1)
    )


def _found(
    checked: Checked, number: int, finding: Finding, citing: Citing, cure: Told, flips: Nearest
) -> FoundRow:
    return FoundRow(
        number=number,
        severity=finding.severity,
        words=SEVERITIES[finding.severity],
        rule=finding.rule,
        where=finding.where,
        place=finding.place.replace("_", " "),
        says=sentence(finding.says),
        do=sentence(finding.do) if finding.severity != "note" else "",
        beside=finding.beside,
        unknown=finding.unknown,
        source=str(finding.source),
        cite=citing.number(finding.source),
        accepted=f"Accepted: {sentence(finding.accepted)}" if finding.accepted else "",
        cure=cure_words(cure),
        cure_tells=_cure_tells(cure),
        flips=_flip(number, flips),
        expected=_expected(checked, finding) if finding.at_worst else "",
    )


def _expected(checked: Checked, finding: Finding) -> str:
    """Return the band of a verdict that is not sure, and what decides it."""
    spread, told = of_finding(checked, finding), decides(finding)
    band = "" if spread is None else f"Expected, {spread.words}. "
    return band + (f"What decides it: {', '.join(told)}." if told else "")


def cure_words(told: Told) -> str:
    """Return the cure in a line, that there is none, or nothing if none was looked for."""
    if told.cure is None:
        return "No cure found." if told.why else ""
    return f"Cure: {f'that of {told.first}' if told.first else told.cure.says}. {RECHECKED}."


def _cure_tells(told: Told) -> tuple[str, ...]:
    if told.cure is None:
        return (sentence(told.why),) if told.why else ()
    figures = tuple(sentence(text) for text in told.figures)
    return (*figures, f"Cures {told.clears}.") if told.clears and not told.first else figures


#: The figures of the plan that may flip a verdict, as one says them.
_FIELDS = {"area": "size", "length": "length", "fuse": "fuse", "running": "current"}


def _flip(number: int, flips: Nearest) -> str:
    """Return what flips the verdict; empty if nothing that was tried does, or if it was not looked for."""
    flip = flips.flips.get(number)
    if flip is None:
        return ""
    thing = flip.at.split(".")[1]
    return f"What flips it, {_FIELDS[flip.field]} of {thing}: {flip.words[:1].lower()}{flip.words[1:]}"


def flips_words(flips: Nearest) -> str:
    """Return what is said of the bound of the trials; empty if they sufficed for all findings."""
    if not flips.left:
        return ""
    return (
        f"What flips a verdict is found by trying, here for {len(flips.asked)} of "
        f"{len(flips.asked) + len(flips.left)} findings, the gravest: a book makes no more trials. "
        "The page tells it of each."
    )


def chains(checked: Checked, citing: Citing) -> tuple[Chain, ...]:
    """Return the things with a danger or fault, each once, in the order of the findings."""
    grave: dict[str, list[int]] = {}
    for number, finding in enumerate(checked.findings, 1):
        if finding.severity in GRAVE:
            grave.setdefault(finding.where, []).append(number)
    return tuple(_chain(checked, where, numbers, citing) for where, numbers in grave.items())


def _chain(checked: Checked, where: str, numbers: list[int], citing: Citing) -> Chain:
    findings = [checked.findings[number - 1] for number in numbers]
    marks = tuple(Mark(n, finding.severity) for n, finding in zip(numbers, findings, strict=True))
    says = tuple(sentence(finding.says) for finding in findings)
    if _thing_of(checked.assessment, where) is None:
        return Chain(
            id=where, what="", runs="", place=findings[0].place.replace("_", " "), colours=(), marks=marks,
            says=says, tables=(), limits=(), unknown=tuple(name for one in findings for name in one.unknown),
        )  # fmt: skip
    found = reasons(checked, "finding", str(numbers[0]))
    return Chain(
        id=where,
        what=found.head.what.removeprefix(f"{where} · "),
        runs=found.head.runs.replace("_", " "),
        place=found.head.place.replace("_", " "),
        colours=found.head.colours,
        marks=marks,
        says=says,
        tables=tuple(_table(table, citing) for table in found.tables if table.key not in LOOSE),
        limits=tuple(_limit(held, citing) for held in found.limits),
        unknown=found.unknown,
    )


def _table(table: Table, citing: Citing) -> SumTable:
    rows = tuple(line for row in table.rows for line in _lines(row, citing))
    return SumTable(title=table.title, result=sentence(table.result), rows=rows)


def _lines(row: Row, citing: Citing, detail: bool = False) -> Iterator[SumRow]:
    yield SumRow(
        what=row.what,
        sum=row.sum,
        value=f"{row.value} {row.unit}".strip(),
        cite=0 if row.source is None else citing.number(row.source),
        total=row.is_total,
        detail=detail,
    )
    if len(row.details) > 1 or (row.details and row.details[0].source is not None):
        for one in row.details:
            yield from _lines(one, citing, detail=True)


def _limit(held: Held, citing: Citing) -> LimitRow:
    return LimitRow(
        what=held.what,
        value=held.value,
        watch=held.watch,
        fault=held.fault,
        level=held.level,
        cite=citing.number(held.source),
    )


def sentence(text: str) -> str:
    """Return a text with a capital and a full stop; "" stays so.

    Examples
    --------
    >>> sentence("fit 10 A or less")
    'Fit 10 A or less.'
    """
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if not text or text.endswith((".", "!", "?")) else ".")
