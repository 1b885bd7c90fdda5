"""The year of a van as a picture: charge by the day, what is taken and brought by month, flat nights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from loomwright.assessment.energy.year_record import MonthFigure, Year
from loomwright.diagrams.common import (
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
)
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import FIELD, THIN, Pen, Token
from loomwright.drawing.lettering import shorten, wrap
from loomwright.drawing.scene import Drawn, Polygon, Polyline, Sheet, Text, rectangle
from loomwright.energy.standard_year import DAYS_IN_MONTH
from loomwright.plan.calendar import MONTH_NAMES, in_words
from loomwright.rules.check import Checked

TITLE = "Energy through the year"
KEY = "Thick line: half of the years lie below. Band: eight years in ten. Dashed: planned floor."
BEFORE = "Thick line: half of the years lie below. Accent: the plan as it stands. Dashed: planned floor."
CAUTION = "Weather is drawn by lot from the climate or the weather file: a year to come is none of these."
#: A head, and the sentences under it.
Said = Sequence[tuple[str, Sequence[str]]]
#: Edges of the picture, of the charge, and of the bars below it. [mm]
_LEFT, _RIGHT = FIELD_BOX.left + 24.0, FIELD_BOX.right - 8.0
_TOP, _BOTTOM, _BARS_TOP, _BARS_BOTTOM, _NIGHTS = 31.0, 112.0, 128.0, 166.0, 173.0
_WORDS, _LINE = 184.0, 4.3
_MONTH = (_RIGHT - _LEFT) / 12.0
_BAR = 6.6
_MEDIAN, _FLOOR, _EDGE = Pen("ink", 0.7), Pen("ink", 0.35, (1.6, 1.2)), Pen("ink", 0.18)
_BEFORE = Pen("accent", 0.45)
#: What the bars are, with their filling.
_BARS: tuple[tuple[str, Token], ...] = (("taken", "grey"), ("sun", "paper"), ("driving", "band"))


def energy_sheets(checked: Checked, year: Year, said: Said = ()) -> tuple[Sheet, ...]:
    """Draw the year of a van.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings.
    year : Year
        As it was worked out.
    said : sequence of (str, sequence of str)
        What stands below the picture: heads with sentences.
    """
    return (_sheet(checked, list(_picture(year, said))),)


def what_if_sheet(checked: Checked, year: Year, before: Year, what: str, said: Said = ()) -> Sheet:
    """Draw a supposed year, with the plan's own median behind it.

    Parameters
    ----------
    checked : Checked
        Of the plan as it stands.
    year, before : Year
        What is supposed, and the plan's own.
    what : str
        What is supposed, in words.
    said : sequence of (str, sequence of str)
        As for `energy_sheets`.
    """
    head = shorten(f"What if: {what}. {year.years} years of weather", 196.0, 3.6)
    return _sheet(checked, list(_picture(year, said, head, before)))


def no_year_sheet(checked: Checked, why: str) -> Sheet:
    """Return the sheet of a van whose year cannot be worked out, with the reason in its place."""
    return _sheet(checked, list(_none(why)))


def tightest(months: Sequence[MonthFigure]) -> MonthFigure | None:
    """Return the month of use with the smallest margin: largest share of flat nights, else lowest charge."""
    used = [
        pair for pair in zip(months, DAYS_IN_MONTH, strict=True) if pair[0].season and pair[0].load_ah > 0.0
    ]
    tight = min(
        used, key=lambda of: (-round(of[0].flat_nights / of[1], 2), of[0].lowest_pct.p10), default=None
    )
    return None if tight is None else tight[0]


def _sheet(checked: Checked, items: Sequence[Drawn]) -> Sheet:
    job = checked.assessment
    border = Border(
        columns=8,
        title_block=title_block(job.plan, TITLE, sheet=1, sheets=1),
        findings=margin_entries(numbered(checked), {}),
        danger_band=danger_band(checked),
        notice=mains_notice(job),
        cautions=cautions(job, CAUTION),
        key=KEY,
    )
    words = " ".join(item.text for item in items if isinstance(item, Text))
    return Sheet(
        width=PAPER[0],
        height=PAPER[1],
        title=f"{job.plan.title}: {TITLE}",
        description=f"{TITLE}: {words}",
        items=(*border_items(border), *items),
    )


def _none(why: str) -> Iterator[Drawn]:
    yield Text((FIELD_BOX.left + 8.0, 40.0), "There is no year to draw", 5.0, 600)
    for n, line in enumerate(wrap(f"Because {why}.", _RIGHT - _LEFT, 3.6, most_lines=4)):
        yield Text((FIELD_BOX.left + 8.0, 49.0 + 5.4 * n), line, 3.6)


def _picture(year: Year, said: Said, head: str = "", before: Year | None = None) -> Iterator[Drawn]:
    usual = f"Charge at the end of each day, {year.years} years of weather, from full each January"
    yield Text((_LEFT, 22.0), head or usual, 3.6, 600)
    yield Text((_RIGHT, 22.0), KEY if before is None else BEFORE, 2.9, anchor="end", ink="grey")
    yield from _marked(year)
    yield from _charge(year)
    if before is not None:
        yield Polyline(_line(before.held_pct[1]), _BEFORE)
    yield from _bars(year)
    yield from _words(said)


def _marked(year: Year) -> Iterator[Drawn]:
    """Mark the month of the smallest margin."""
    one = tightest(year.months)
    if one is None:
        return
    left = _LEFT + _MONTH * year.months.index(one)
    box = rectangle(
        left, _TOP, _MONTH, _NIGHTS + 2.0 - _TOP, fill="mark", pen=Pen("accent", 0.5), layer="places"
    )
    yield box
    where = min(max(left + _MONTH / 2, _LEFT + 14.0), _RIGHT - 14.0)
    yield Text((where, _TOP - 2.0), "smallest margin", 3.0, 600, "middle", "accent")


def _charge(year: Year) -> Iterator[Drawn]:
    low, half, high = (_line(row) for row in year.held_pct)
    yield Polygon((*low, *reversed(high)), "band", _EDGE, layer="overlay")
    yield Polyline(half, _MEDIAN)
    yield Polyline(_line(year.floor_pct), _FLOOR)
    for pct in (0, 25, 50, 75, 100):
        y = _y(pct)
        yield Polyline(((_LEFT - 1.5, y), (_LEFT, y)), THIN, layer="frame")
        yield Text((_LEFT - 2.5, y + 1.1), f"{pct} %", 3.0, anchor="end")
    for month in range(13):
        x = _LEFT + _MONTH * month
        yield Polyline(((x, _TOP), (x, _BOTTOM)), THIN, layer="frame")
    yield Polyline(((_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)), FIELD, layer="frame")
    yield Polyline(((_LEFT, _TOP), (_RIGHT, _TOP)), THIN, layer="frame")
    for n, one in enumerate(year.months):
        x = _LEFT + _MONTH * (n + 0.5)
        yield Text((x, _BOTTOM + 4.6), MONTH_NAMES[one.month], 3.0, 500, "middle")
        if one.season:
            yield Text(
                (x, _BOTTOM + 8.6),
                shorten(in_words(one.season), _MONTH - 2.0, 2.6),
                2.6,
                400,
                "middle",
                "grey",
            )


def _line(row: np.ndarray) -> tuple[Point, ...]:
    """Return a figure of each day as a line; each month is as wide as any other. [%]"""
    steps = np.concatenate([m + (np.arange(n) + 0.5) / n for m, n in enumerate(DAYS_IN_MONTH)])
    return tuple((_LEFT + _MONTH * float(x), _y(float(pct))) for x, pct in zip(steps, row, strict=True))


def _y(pct: float) -> float:
    return round(_BOTTOM - (_BOTTOM - _TOP) * min(max(pct, 0.0), 100.0) / 100.0, 3)


def _bars(year: Year) -> Iterator[Drawn]:
    rows = [(one.load_ah, one.sun_ah, one.driven_ah + one.hook_up_ah) for one in year.months]
    most = max(1e-9, *(value for row in rows for value in row))
    high = _BARS_BOTTOM - _BARS_TOP - 4.0
    hooked = any(one.hook_up_ah > 0.0 for one in year.months)
    x = FIELD_BOX.left + 2.0
    yield Text((x, _BARS_TOP + 2.0), "Ah a day", 3.0, 600)
    for n, (name, fill) in enumerate(_BARS):
        y = _BARS_TOP + 7.0 + 5.0 * n
        yield rectangle(x, y - 2.4, 3.0, 2.4, fill=fill, pen=_EDGE)
        yield Text(
            (x + 4.5, y), "drives, hook-up" if n == 2 and hooked else name, 2.5 if n == 2 and hooked else 2.9
        )
    for n, row in enumerate(rows):
        left = _LEFT + _MONTH * n + (_MONTH - 3 * _BAR) / 2
        for k, (value, (_, fill)) in enumerate(zip(row, _BARS, strict=True)):
            tall = high * value / most
            if tall > 0.2:
                yield rectangle(left + _BAR * k, _BARS_BOTTOM - tall, _BAR, tall, fill=fill, pen=_EDGE)
            if value >= 0.5:
                at = (left + _BAR * (k + 0.5), _BARS_BOTTOM - tall - 1.0)
                yield Text(at, f"{value:.0f}", 2.5, anchor="middle")
    yield Polyline(((_LEFT, _BARS_BOTTOM), (_RIGHT, _BARS_BOTTOM)), FIELD, layer="frame")
    yield Text((x, _NIGHTS), "flat nights", 2.9, 600)
    for n, one in enumerate(year.months):
        nights = one.flat_nights
        text = f"{nights:.1f}" if nights >= 0.05 else "–"
        yield Text((_LEFT + _MONTH * (n + 0.5), _NIGHTS), text, 3.0, 600 if nights >= 0.05 else 400, "middle")


def _words(said: Said) -> Iterator[Drawn]:
    """Set the sentences below the picture, in two columns; what does not fit is told in the text alone."""
    wide = (FIELD_BOX.right - FIELD_BOX.left - 12.0) / 2
    lines: list[tuple[str, bool]] = []
    for head, sentences in said:
        lines.append((head, True))
        lines += [
            (line, False) for one in sentences for line in wrap(one.strip(), wide - 4.0, 2.9, most_lines=2)
        ]
    room = int((FIELD_BOX.bottom - 3.0 - _WORDS) / _LINE) + 1
    if len(lines) > 2 * room:
        lines = [*lines[: 2 * room - 1], ("More stands in what `loomwright year` prints.", False)]
    column = min(room, max(math.ceil(len(lines) / 2), 1))
    while column < room and column < len(lines) and not lines[column][1]:
        column += 1
    for n, (line, is_head) in enumerate(lines):
        side, row = (0, n) if n < column else (1, n - column)
        x = FIELD_BOX.left + 4.0 + side * (wide + 4.0) + (0.0 if is_head else 3.0)
        yield Text((x, _WORDS + _LINE * row), line, 2.9, 600 if is_head else 400)


__all__ = ["energy_sheets", "no_year_sheet", "tightest", "what_if_sheet"]
