"""The findings margin at the right of an A3 sheet. Lengths in mm."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import FIELD, THIN, Pen
from loomwright.drawing.lettering import Weight, shorten, text_width_mm, wrap
from loomwright.drawing.paragraphs import fitted, paragraph
from loomwright.drawing.scene import Drawn, Link, Polyline, Symbol, Text, rectangle
from loomwright.drawing.symbols_marks import FINDINGS, Severity

_PITCH, _MOST_LINES = 3.5, 7
#: What the count of the rest takes above the key's rule, and what a last entry keeps clear. [mm]
_REST_LINE, _CLEAR = 4.5, 1.0
_PLAIN: Weight = 400
_MEDIUM: Weight = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginEntry:
    """One finding as the margin tells it.

    Attributes
    ----------
    number : int
        The same on every sheet.
    severity : Severity
        Chooses the sign.
    name : str
        What it is about, in a few words.
    spot : str
        Where its sign stands, "12.E"; on another sheet "3/12.E".
    says : str
        What is so, with its figure and limit.
    cure : str
        What to do; empty where nothing is offered.
    """

    number: int
    severity: Severity
    name: str
    spot: str
    says: str
    cure: str = ""


def in_margin_order(entries: Iterable[MarginEntry]) -> tuple[MarginEntry, ...]:
    """Return the entries as they stand in the margin: the gravest first, then from left to right.

    Those whose sign stands on another sheet follow the sheet's own, those without a sign come last of their
    severity; a column is read from its top.

    Parameters
    ----------
    entries : iterable of MarginEntry
        With spots such as "12.E", "3/12.E" or "".
    """
    gravity = {severity: place for place, severity in enumerate(FINDINGS)}
    return tuple(sorted(entries, key=lambda entry: (gravity[entry.severity], *_place(entry))))


def _place(entry: MarginEntry) -> tuple[bool, int, int, str, int]:
    sheet, _, spot = entry.spot.rpartition("/")
    column, _, row = spot.partition(".")
    return not spot, _figure(sheet), _figure(column), row, entry.number


def _figure(text: str) -> int:
    return int(text) if text.isdecimal() else 0


def findings_margin(
    cell: Box, entries: tuple[MarginEntry, ...], rest_at: str, danger_band: str, notice: str
) -> Iterator[Drawn]:
    """Yield bands, head, the whole entries that fit, how many more there are, and the words of the signs."""
    y = cell.top
    if danger_band:
        yield from _band(cell, y, danger_band, danger=True)
        y += _band_height(cell, danger_band)
    if notice:
        yield from _band(cell, y, notice, danger=False)
        y += _band_height(cell, notice)
    left, right = cell.left + 3.0, cell.right - 2.0
    y -= 3.0 if y > cell.top else 0.0
    yield Text((left, y + 12.0), "Findings", 5.0, 600, layer="findings")
    yield Text((right, y + 12.0), "column.row", 2.9, anchor="end", ink="grey", layer="findings")
    y += 17.5
    if not entries:
        yield Text((left, y + 2.0), "no findings", 2.9, ink="grey", layer="findings")
        return
    used = [severity for severity in FINDINGS if any(entry.severity == severity for entry in entries)]
    floor = cell.bottom - 6.0 - 6.2 * len(used)
    for done, entry in enumerate(entries):
        items = _entry(left, right, y, entry)
        bottom = max(item.box().bottom for item in items)
        left_over = len(entries) - done
        if bottom > floor - (_REST_LINE if left_over > 1 else _CLEAR):
            yield fitted(
                (left, min(y + 2.0, floor - 1.4)),
                f"{left_over} more, {rest_at}",
                right - left,
                2.9,
                500,
                layer="findings",
            )
            y += 5.0
            break
        yield from items
        y = bottom + 4.6
    yield from _words(left, right, min(y, floor), used)


def _entry(left: float, right: float, y: float, entry: MarginEntry) -> list[Text | Symbol]:
    """Return the items of one entry, of which the sign's middle is level with `y` + 2."""
    link = Link("finding", str(entry.number))
    number = (("number", str(entry.number)),)
    spot = shorten(entry.spot, 14.0, 2.9)
    name_room = right - left - 8.8 - text_width_mm(spot, 2.9)
    lines: list[tuple[str, Weight]] = [
        (line, weight)
        for text, weight in ((entry.says, _PLAIN), (entry.cure, _MEDIUM))
        for line in wrap(text, right - left, 2.9, weight, most_lines=_MOST_LINES)
    ]
    return [
        Symbol(FINDINGS[entry.severity], (left + 2.9, y + 2.0), values=number, layer="findings", of=link),
        fitted(
            (left + 7.4, y + 3.25), entry.name, name_room, 3.6, 600, layer="findings", of=link, height=5.0
        ),
        Text((right, y + 3.25), spot, 2.9, anchor="end", ink="grey", layer="findings", of=link),
        *paragraph((left, y + 8.6), lines, 2.9, _PITCH, "findings", link),
    ]


def _words(left: float, right: float, y: float, used: list[Severity]) -> Iterator[Drawn]:
    """Yield the key: each sign used, with its words."""
    yield Polyline(((left, y), (right, y)), THIN, layer="findings")
    for line, severity in enumerate(used):
        middle = y + 5.0 + 6.2 * line
        yield Symbol(FINDINGS[severity], (left + 2.9, middle), scale=0.8, layer="findings")
        yield Text((left + 8.0, middle + 1.0), FINDINGS[severity].title, 2.9, layer="findings")


def _band_lines(cell: Box, words: str) -> tuple[str, ...]:
    return wrap(words, cell.width - 5.0, 3.3, 600, most_lines=3)


def _band_height(cell: Box, words: str) -> float:
    return 4.2 * len(_band_lines(cell, words)) + 2.4


def _band(cell: Box, y: float, words: str, *, danger: bool) -> Iterator[Drawn]:
    """Yield a band across the margin: red for danger, else plain with a line below."""
    height = _band_height(cell, words)
    inset = 0.35
    yield rectangle(
        cell.left + inset,
        y + inset,
        cell.width - 2 * inset,
        height - inset,
        fill="danger" if danger else "tint",
        pen=Pen("danger_ring", 0.35) if danger else FIELD,
        layer="findings",
    )
    for line, text in enumerate(_band_lines(cell, words)):
        middle = (cell.left + cell.right) / 2
        at = (middle, y + 4.4 + 4.2 * line)
        yield Text(at, text, 3.3, 600, "middle", "on_danger" if danger else "ink", layer="findings")
