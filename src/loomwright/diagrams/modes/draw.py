"""The mode table as sheets: rows batteries and loads, columns modes, the reasons below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.assessment.why_fed import Row, mode_table
from loomwright.diagrams.common import (
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    name_of,
    numbered,
    title_block,
)
from loomwright.diagrams.live import LETTERS, letters_of, patterns_of
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import FIELD, THIN
from loomwright.drawing.lettering import Weight, shorten, wrap
from loomwright.drawing.scene import Band, Drawn, Link, Polyline, Sheet, Text
from loomwright.rules.check import Checked

from .words import why_words

TITLE = "Who feeds what"
KEY = "V vehicle battery, plain. L leisure, dots. C charger, slant. M mains, cross. –: not fed, and why."
#: Edges of the table and its first column, a row, the head. [mm]
_LEFT, _RIGHT, _TOP = FIELD_BOX.left + 4.0, FIELD_BOX.right - 4.0, FIELD_BOX.top + 5.0
_NAMES, _HEAD = 62.0, 12.0
#: Heights of a row, the roomier first, each with the size of its letters. [mm]
_ROWS = ((8.0, 3.6), (5.2, 3.0))
_MOST_MODES, _REASON = 10, 4.2
#: A swatch of the band of a cell: its length, and where its letters begin. [mm]
_SWATCH, _LETTERS = 9.0, 15.2


@dataclass(frozen=True, slots=True)
class _Page:
    """What stands on one sheet: which modes, which rows."""

    modes: tuple[int, ...]
    rows: tuple[Row, ...]
    row: float
    size: float

    def base(self, y: float) -> float:
        """Where the letters of a row stand whose upper edge is at `y`. [mm]"""
        return y + self.row / 2 + 0.36 * self.size


def mode_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw who feeds what in each mode of a van.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings; no figure is worked out here.

    Returns
    -------
    tuple of Sheet
        A3; one for each ten modes, and more where the rows or their reasons do not fit.
    """
    job = checked.assessment
    modes, rows = mode_table(job.wiring, job.modes)
    some = [tuple(range(len(modes)))[at : at + _MOST_MODES] for at in range(0, len(modes), _MOST_MODES)]
    pages = [page for few in some for page in _pages(job, few, rows)]
    return tuple(_sheet(checked, modes, page, n, len(pages)) for n, page in enumerate(pages))


def _pages(job: Assessment, modes: tuple[int, ...], rows: Sequence[Row]) -> Iterator[_Page]:
    """Give the sheets that some modes take: as many rows on each as fit with their reasons."""
    room = FIELD_BOX.bottom - 3.0 - _TOP
    row, size = next((one for one in _ROWS if _height(job, modes, rows, one[0]) <= room), _ROWS[-1])
    left = list(rows)
    while True:
        taken = [left.pop(0)] if left else []
        while left and _height(job, modes, [*taken, left[0]], row) <= room:
            taken.append(left.pop(0))
        yield _Page(modes, tuple(taken), row, size)
        if not left:
            return


def _height(job: Assessment, modes: tuple[int, ...], rows: Sequence[Row], row: float) -> float:
    reasons = sum(len(_lines(text)) for text in _reasons(modes, rows))
    states = len(_states(job, modes))
    return _HEAD + (len(rows) + states) * row + (16.0 + reasons * _REASON)


def _lines(reason: str) -> tuple[str, ...]:
    return wrap(reason, _RIGHT - _LEFT - 10.0, 3.0, most_lines=2)


def _reasons(modes: Sequence[int], rows: Sequence[Row]) -> dict[str, int]:
    """Return the reasons of some rows, each with its number, in the order in which they are met."""
    found: dict[str, int] = {}
    for row in rows:
        for place in modes:
            if not row.is_store and not row.cells[place].sources:
                found.setdefault(why_words(row.cells[place].why), len(found) + 1)
    return found


def _states(job: Assessment, modes: Sequence[int]) -> list[tuple[str, list[str]]]:
    """Return the rows below the loads: whether two batteries are joined, and what never comes to rest."""
    figures = [list(job.modes.figures.values())[place] for place in modes]
    parts = job.wiring.parts
    vehicles = [id for id, part in parts.items() if part.kind == "vehicle_battery"]
    houses = [id for id, part in parts.items() if part.kind == "battery"]
    found = []
    if vehicles and houses:
        pairs = [(one, other) for one in vehicles for other in houses]
        joined = [any(one in figure.live.at(f"{other}.plus") for one, other in pairs) for figure in figures]
        found.append(("Batteries joined", ["yes" if one else "no" for one in joined]))
    if any(figure.chatters for figure in figures):
        found.append(("Chatters", [", ".join(figure.chatters) or "no" for figure in figures]))
    return found


def _sheet(checked: Checked, modes: Sequence[str], page: _Page, number: int, count: int) -> Sheet:
    job, findings = checked.assessment, numbered(checked)
    title = TITLE + (f", part {number + 1} of {count}" if count > 1 else "")
    border = Border(
        columns=8,
        title_block=title_block(job.plan, title, sheet=number + 1, sheets=count),
        findings=margin_entries(findings, {}),
        danger_band=danger_band(checked),
        notice=mains_notice(job),
        cautions=cautions(
            job, "A contact may weld, a plan may err: what is told to be dead is tested first."
        ),
        key=KEY,
    )
    says = f"{title}: {len(page.rows)} batteries and loads of {job.plan.title} in {len(page.modes)} modes."
    return Sheet(
        width=PAPER[0],
        height=PAPER[1],
        title=f"{job.plan.title}: {title}",
        description=says,
        items=(*border_items(border), *_table(job, modes, page)),
    )


def _table(job: Assessment, modes: Sequence[str], page: _Page) -> Iterator[Drawn]:
    width = min(34.0, (_RIGHT - _LEFT - _NAMES) / max(1, len(page.modes)))
    lefts = [_LEFT + _NAMES + place * width for place in range(len(page.modes))]
    right = _LEFT + _NAMES + width * len(page.modes)
    reasons, states = _reasons(page.modes, page.rows), _states(job, page.modes)
    bottom = _TOP + _HEAD + (len(page.rows) + len(states)) * page.row
    for left, place in zip(lefts, page.modes, strict=True):
        for n, line in enumerate(wrap(modes[place].replace("_", " "), width - 2.0, 3.3, 600, most_lines=2)):
            yield Text((left + 1.0, _TOP + 5.0 + 4.2 * n), line, 3.3, 600)
    for edge in (*lefts, right):
        yield Polyline(((edge, _TOP), (edge, bottom)), THIN, layer="frame")
    y = _TOP + _HEAD
    yield Polyline(((_LEFT, y), (right, y)), FIELD, layer="frame")
    for row in page.rows:
        yield from _names(job, page, row, y)
        for left, place in zip(lefts, page.modes, strict=True):
            yield from _cell(job, page, row, place, reasons, (left, y))
        y += page.row
        yield Polyline(((_LEFT, y), (right, y)), THIN, layer="frame")
    for name, said in states:
        yield Text((_LEFT + 1.0, page.base(y)), name, page.size, 500)
        for left, text in zip(lefts, said, strict=True):
            weight: Weight = 400 if text == "no" else 600
            cut = shorten(text, width - 3.0, page.size, weight)
            yield Text((left + 2.0, page.base(y)), cut, page.size, weight)
        y += page.row
        yield Polyline(((_LEFT, y), (right, y)), THIN, layer="frame")
    yield Text((_LEFT + 1.0, y + 6.0), shorten(_sources(job), _RIGHT - _LEFT - 2.0, 3.0), 3.0, ink="grey")
    yield from _told(reasons, y + 14.0)


def _names(job: Assessment, page: _Page, row: Row, y: float) -> Iterator[Drawn]:
    of = Link("part", row.id)
    text = shorten(row.id, _NAMES - 2.0, page.size, 600)
    id = Text((_LEFT + 1.0, page.base(y)), text, page.size, 600, of=of)
    yield id
    x = _LEFT + id.width + 3.0
    name = "charged by" if row.is_store else name_of(job.wiring.parts.get(row.id), row.id)
    room = _LEFT + _NAMES - 1.0 - x
    if name != row.id.replace("_", " ") and room > 8.0:
        yield Text((x, page.base(y)), shorten(name, room, 2.9), 2.9, ink="grey", of=of)


def _cell(
    job: Assessment, page: _Page, row: Row, place: int, reasons: dict[str, int], at: Point
) -> Iterator[Drawn]:
    (left, y), cell = at, row.cells[place]
    of, base = Link("part", row.id), page.base(y)
    letters = letters_of(job.wiring, cell.sources)
    if letters:
        ends = ((left + 2.0, y + page.row / 2), (left + 2.0 + _SWATCH, y + page.row / 2))
        yield Band(ends, patterns_of(letters), page.row / 2 - 1.1, of=of)
        yield Text((left + _LETTERS, base), letters, page.size, 600, of=of)
        return
    yield Text((left + 2.0, base), "–", page.size, 600, of=of)
    if not row.is_store:
        number = str(reasons[why_words(cell.why)])
        yield Text((left + 5.5, base), number, page.size, ink="grey", of=of)


def _sources(job: Assessment) -> str:
    """Return which source has which letter."""
    by_letter: dict[str, list[str]] = {}
    for one in job.modes.net.origins:
        part = one.id if one.id in job.wiring.parts else job.wiring.part_of(one.id) or one.id
        named = by_letter.setdefault(letters_of(job.wiring, (one.id,)), [])
        named += [] if part in named else [part]
    return "  ·  ".join(
        f"{letter} {', '.join(by_letter[letter])}" for letter in LETTERS if letter in by_letter
    )


def _told(reasons: dict[str, int], y: float) -> Iterator[Drawn]:
    if reasons:
        yield Text((_LEFT + 1.0, y), "Not fed, because", 3.0, 600)
    for reason, number in reasons.items():
        for n, line in enumerate(_lines(reason)):
            y += _REASON
            if n == 0:
                yield Text((_LEFT + 6.0, y), str(number), 3.0, 500, "end")
            yield Text((_LEFT + 8.0, y), line, 3.0)
