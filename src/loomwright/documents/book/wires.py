"""The wire table: every wire as `check --json` has it, in the words of a workshop."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.record import Assessment, WireFigure
from loomwright.documents.reasons.figures import figure
from loomwright.documents.reasons.wire import named_fuses
from loomwright.documents.reasons.words import colour_letters, end_words
from loomwright.documents.report import is_listed
from loomwright.rules.check import Checked

from .marks import Mark, marks_of

NONE = "–"


@dataclass(frozen=True, slots=True)
class FuseWords:
    """A fuse of a wire as printed: "15 A*" if the program chose it, "? A" if it is not known; and where."""

    rating: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRow:
    """One wire as printed; `figure` has what the CSV gives as numbers. A star: the program chose it."""

    figure: WireFigure
    id: str
    label: str
    first_of_run: bool
    ends: str
    way: str
    size: str
    colour: str
    colours: tuple[str, ...]
    length: str
    fuses: tuple[FuseWords, ...]
    runs: str
    good: str
    loses: str
    percent: str
    marks: tuple[Mark, ...]


def wire_rows(checked: Checked) -> tuple[WireRow, ...]:
    """Return the wires that lists and tables hold, in the plan's order."""
    rows: list[WireRow] = []
    for wire in checked.assessment.wires.values():
        if is_listed(wire):
            first = not rows or rows[-1].figure.run != wire.run
            rows.append(_row(checked, wire, first))
    return tuple(rows)


def _row(checked: Checked, wire: WireFigure, first: bool) -> WireRow:
    job = checked.assessment
    number = job.plan.labels.numbers.get(wire.id)
    a, b = (end_words(job, text) for text in (wire.from_, wire.to))
    lies = ", ".join(place.replace("_", " ") for place in wire.places)
    return WireRow(
        figure=wire,
        id=wire.id,
        label="" if number is None else str(number),
        first_of_run=first,
        ends=f"{a[:1].upper()}{a[1:]} to {b}",
        way=" · ".join(word for word in (lies, "factory" if wire.factory else "", _mains(wire)) if word),
        size=_size(wire),
        colour=wire.colour,
        colours=colour_letters(wire.colour),
        length=_length(wire),
        fuses=_fuses(job, wire),
        runs=_number(wire.current_a, "A"),
        good=_number(wire.rating_a, "A"),
        loses=_number(wire.drop_v, "V"),
        percent=_number(wire.drop_pct, "%"),
        marks=marks_of(checked, wire.id),
    )


def _mains(wire: WireFigure) -> str:
    return "mains, not checked" if wire.mains else ""


def _size(wire: WireFigure) -> str:
    if wire.area_mm2 is None:
        return NONE
    return f"{wire.gauge or f'{wire.area_mm2:g}'}{_star(wire, 'area')}"


def _star(wire: WireFigure, field: str) -> str:
    return "*" if field in wire.chosen else ""


def _length(wire: WireFigure) -> str:
    if wire.length_m is None:
        return NONE
    digits = f"{wire.length_m:.1f}" if wire.length_m >= 1.0 else f"{wire.length_m:.2g}"
    return digits + _star(wire, "length")


def _fuses(job: Assessment, wire: WireFigure) -> tuple[FuseWords, ...]:
    piece = next(piece for piece in job.wiring.runs[wire.run].pieces if piece.id == wire.id)
    return tuple(
        FuseWords(
            "? A" if fuse.rating_a is None else f"{fuse.rating_a:g} A{'*' if fuse.auto else ''}",
            end_words(job, fuse.at),
        )
        for fuse in named_fuses(job, piece)
    )


def _number(value: float | None, unit: str) -> str:
    return NONE if value is None else figure(value, unit)[0]
