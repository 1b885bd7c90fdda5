"""The labels as sheets: A4 upright, each label at true size, cut along its frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from loomwright.diagrams.common import danger_band, mains_notice, numbered
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import FIELD, THIN, UNIT
from loomwright.drawing.lettering import shorten, wrap
from loomwright.drawing.scene import Drawn, Polyline, Sheet, Symbol, Text, rectangle
from loomwright.drawing.symbols_marks import FINDINGS, Severity
from loomwright.plan.model import Plan
from loomwright.rules.check import Checked

from .ways import FuseBox, FuseRow, fuse_boxes

TITLE = "Fuse labels"
PAPER = (210.0, 297.0)
#: Where labels may stand: left edge, top, bottom, and from one column of labels to the next. [mm]
_LEFT, _TOP, _BOTTOM, _NEXT = 20.0, 58.0, 272.0, 93.0
#: A label: its width, its head, a line of text, the room above and below a row, its foot. [mm]
WIDTH, _HEAD, _LINE, _PAD, _FOOT = 87.0, 14.5, 3.9, 1.3, 5.6
#: Left edges of the columns of a label, from its own left edge. [mm]
_WAY, _SIGN, _FEEDS, _RATING, _KIND = 1.5, 17.2, 20.0, 57.5, 71.5
_FEEDS_WIDTH, _WAY_WIDTH, _RATING_WIDTH, _KIND_WIDTH = 36.0, 13.0, 13.5, 14.5
_SIGN_SCALE = 0.62
_RULER = 50.0


@dataclass(frozen=True, slots=True)
class _Line:
    """One row of a label with its texts broken into lines."""

    row: FuseRow
    feeds: tuple[str, ...]
    kind: tuple[str, ...]
    sign: tuple[Severity, int] | None

    @property
    def height(self) -> float:
        return max(len(self.feeds), len(self.kind), 1) * _LINE + 2 * _PAD


def fuse_label_sheets(checked: Checked) -> list[Sheet]:
    """Return the labels of all fuse boxes of a plan.

    Parameters
    ----------
    checked : Checked
        A plan's assessment with its findings.

    Returns
    -------
    list of Sheet
        A4, to be printed without scaling; one or more, also for a plan without a box.
    """
    plan = checked.assessment.plan
    labels = [label for box in fuse_boxes(checked.assessment) for label in _cut(box, _lines(checked, box))]
    pages: list[list[Drawn]] = [[]]
    column, y = 0, _TOP
    for box, lines, part in labels:
        height = _height(lines)
        if y + height > _BOTTOM and y > _TOP:
            column, y = column + 1, _TOP
        if column > 1:
            pages.append([])
            column, y = 0, _TOP
        pages[-1] += _label(plan, box, lines, part, (_LEFT + column * _NEXT, y))
        y += height + 6.0
    return [_sheet(checked, items, n, len(pages), bool(labels)) for n, items in enumerate(pages, 1)]


def _lines(checked: Checked, box: FuseBox) -> list[_Line]:
    return [
        _Line(
            row,
            wrap(row.feeds, _FEEDS_WIDTH, 3.0, 500, most_lines=3),
            wrap(row.kind, _KIND_WIDTH, 2.6, most_lines=2),
            _sign(checked, row),
        )
        for row in box.rows
    ]


def _sign(checked: Checked, row: FuseRow) -> tuple[Severity, int] | None:
    """Return the gravest danger or fault that is about this way or what hangs on it, with its number."""
    ids = {row.at, *row.wires}
    for one in numbered(checked):
        about = {*one.ids, *(id.partition(".")[0] for id in one.ids)}
        if one.finding.severity in ("danger", "fault") and ids & about:
            return one.finding.severity, one.number
    return None


def _cut(box: FuseBox, lines: list[_Line]) -> Iterator[tuple[FuseBox, list[_Line], str]]:
    """Give the parts of a label, each no taller than a sheet; mostly there is one."""
    parts: list[list[_Line]] = [[]]
    for line in lines:
        if _height([*parts[-1], line]) > _BOTTOM - _TOP:
            parts.append([])
        parts[-1].append(line)
    for n, part in enumerate(parts, 1):
        yield box, part, f"{n} of {len(parts)}" if len(parts) > 1 else ""


def _height(lines: Sequence[_Line]) -> float:
    return _HEAD + sum(line.height for line in lines) + _FOOT


def _label(plan: Plan, box: FuseBox, lines: list[_Line], part: str, at: Point) -> Iterator[Drawn]:
    left, y = at
    yield rectangle(left, y, WIDTH, _height(lines), pen=UNIT, layer="frame")
    name = f"{box.id} {box.name}" if box.name != box.id.replace("_", " ") else box.name
    for n, text in enumerate(wrap(name, WIDTH - 24.0, 3.6, 600, most_lines=2)):
        yield Text((left + 1.5, y + 4.9 + n * 4.1), text, 3.6, 600)
    head = " · ".join(text for text in (plan.title, part) if text)
    yield Text((left + WIDTH - 1.5, y + 4.9), shorten(head, 20.0, 2.6), 2.6, anchor="end", ink="grey")
    for x, text in ((_WAY, "way"), (_FEEDS, "feeds"), (_KIND, "type")):
        yield Text((left + x, y + _HEAD - 1.6), text, 2.6, ink="grey")
    yield Text((left + _RATING + 9.5, y + _HEAD - 1.6), "fuse", 2.6, anchor="end", ink="grey")
    y += _HEAD
    yield _rule(left, y, heavy=True)
    for line in lines:
        yield from _row(line, left, y)
        y += line.height
        yield _rule(left, y, heavy=line is lines[-1])
    revision = f"revision {plan.revision}" if plan.revision else ""
    dated = f"of {plan.date}" if plan.date else ""
    foot = " ".join(text for text in ("Same rating, same type.", revision, dated) if text)
    yield Text((left + 1.5, y + 3.8), shorten(foot, WIDTH - 3.0, 2.6), 2.6, ink="grey")


def _row(line: _Line, left: float, y: float) -> Iterator[Drawn]:
    row, base = line.row, y + _PAD + 2.9
    free = row.feeds == "free"
    yield Text((left + _WAY, base), shorten(row.way, _WAY_WIDTH, 3.4, 600), 3.4, 600)
    if line.sign is not None:
        severity, number = line.sign
        at = (left + _SIGN, y + line.height / 2)
        yield Symbol(
            FINDINGS[severity], at, scale=_SIGN_SCALE, values=(("number", str(number)),), layer="findings"
        )
    for n, text in enumerate(line.feeds):
        yield Text((left + _FEEDS, base + n * _LINE), text, 3.0, 400 if free else 500,
                   ink="grey" if free else "ink")  # fmt: skip
    rating = shorten(row.rating, _RATING_WIDTH, 3.4, 600)
    yield Text((left + _RATING + 12.5, base), rating, 3.4, 600, anchor="end")
    for n, text in enumerate(line.kind):
        yield Text((left + _KIND, base + n * _LINE), text, 2.6)


def _rule(left: float, y: float, *, heavy: bool) -> Polyline:
    return Polyline(((left, y), (left + WIDTH, y)), FIELD if heavy else THIN, layer="frame")


def _sheet(checked: Checked, labels: Iterable[Drawn], number: int, count: int, any_box: bool) -> Sheet:
    plan = checked.assessment.plan
    title = TITLE if count == 1 else f"{TITLE}, sheet {number} of {count}"
    says = "Print without scaling, cut along the frames, put one into the lid of each fuse box."
    boxes = fuse_boxes(checked.assessment)
    return Sheet(
        width=PAPER[0],
        height=PAPER[1],
        title=title,
        description=f"{plan.title}: what each fuse feeds, its rating and type. "
        + "; ".join(f"{box.id}: {len(box.rows)} rows" for box in boxes),
        items=(
            *_bands(checked),
            Text((_LEFT, 38.0), title, 5.0, 600),
            Text(
                (_LEFT, 44.5),
                says if any_box else "The plan has no fuse box whose ways it names.",
                3.0,
                ink="grey",
            ),
            *_ruler(),
            *labels,
        ),
    )


def _bands(checked: Checked) -> Iterator[Drawn]:
    danger, notice = danger_band(checked), mains_notice(checked.assessment)
    if danger:
        yield rectangle(_LEFT, 10.0, 180.0, 11.0, fill="danger", pen=None, layer="frame")
        yield Text((_LEFT + 4.0, 17.1), danger, 4.4, 600, ink="on_danger")
    if notice:
        yield rectangle(_LEFT, 22.5, 180.0, 7.0, layer="frame")
        yield Text((_LEFT + 4.0, 27.1), notice, 3.2, 600)


def _ruler() -> Iterator[Drawn]:
    """Give a line of known length, by which a print that was scaled is found out."""
    left, y = _LEFT, 51.0
    yield Polyline(((left, y), (left + _RULER, y)), FIELD)
    for x in (left, left + _RULER):
        yield Polyline(((x, y - 1.5), (x, y + 1.5)), FIELD)
    words = (
        "this line measures 50 mm on a true print; a number in a sign: this finding is open, mend it first"
    )
    yield Text((left + _RULER + 3.0, y + 1.0), words, 2.8, ink="grey")
