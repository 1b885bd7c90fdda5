"""The labels of all wires at true size, in the order in which they are put on, to be cut out.

A paper label is laid around the wire under clear heat-shrink or clear tape: it is as tall as the wire is
round, so that it closes and does not overlap, and as wide as its text.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from loomwright.assessment.looms import Looms
from loomwright.diagrams.common import name_of
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import Pen
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Drawn, Link, Sheet, Text, rectangle
from loomwright.rules.check import Checked
from loomwright.tables.terminals import shrink_mm

from .ends import Ends
from .true_size import head

TITLE = "Labels of wires"
PAPER = (210.0, 297.0)
_LEFT, _RIGHT, _TOP, _BOTTOM = 15.0, 195.0, 56.0, 278.5
#: Between labels; a line of text; the most and the least height of a label. [mm]
_APART, _LINE, _TALLEST, _LEAST = 2.5, 2.95, 14.0, 3.4
_NAME, _SECOND = 2.8, 2.5
_PAD = 1.2
_WIDEST = 85.0
_EDGE = Pen("ink", 0.25)
_PLATE_MM = 10.0


@dataclass(frozen=True, slots=True)
class Label:
    """One label: its texts, and its size. [mm]"""

    name: str
    second: str
    width: float
    height: float
    of: Link

    @property
    def size(self) -> float:
        """How much larger than on thin wires its letters are."""
        return 1.3 if self.height >= 10.0 else 1.0


@dataclass(frozen=True, slots=True)
class Group:
    """Labels that are put on together, under a heading."""

    title: str
    labels: tuple[Label, ...]


def label_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Return the labels of all wires, parts and studs of a plan.

    Parameters
    ----------
    checked : Checked

    Returns
    -------
    tuple of Sheet
        A4, to be printed without scaling; one or more, also for a plan without a wire.
    """
    return _Strips(checked).sheets()


@dataclass(frozen=True)
class _Strips:
    checked: Checked

    @cached_property
    def looms(self) -> Looms:
        return Looms(self.checked.assessment)

    @cached_property
    def ends(self) -> Ends:
        return Ends(self.checked.assessment)

    def groups(self) -> Iterator[Group]:
        """Yield the labels in the order in which they are put on."""
        job = self.checked.assessment
        for loom in self.looms.looms:
            wires = sorted(loom.tree.wires, key=lambda one: -(job.wires[one].area_mm2 or 0.0))
            yield Group(f"Loom {loom.id}: {loom.name}", tuple(self._of_wires(wires)))
        singles = [one.wire for one in self.looms.singles] + [one.wire for one in self.looms.no_way]
        if singles:
            yield Group("Cables on their own", tuple(self._of_wires(singles)))
        if self.looms.mains:
            yield Group("Mains cables: a licensed person", tuple(self._of_wires(self.looms.mains)))
        plates = tuple(self._plates())
        if plates:
            yield Group("Parts and studs", plates)

    def _of_wires(self, wires: Sequence[str]) -> Iterator[Label]:
        for wire in wires:
            for side, other in (("a", "b"), ("b", "a")):
                name = self.ends.label(wire, side)
                says = "from" if side == "b" else "to"
                second = f"{says} {self.ends.at(wire, other)}, {self.ends.size(wire)}"
                yield self._label(name, second, self._height(wire), Link("wire", wire))

    def _height(self, wire: str) -> float:
        """Return how tall a label is: what it takes to go around the wire once. [mm]"""
        thick = self.checked.assessment.loom.thick_mm(wire) or 3.0
        return min(max(math.floor(2 * math.pi * thick) / 2, _LEAST), _TALLEST)

    def _label(self, name: str, second: str, height: float, of: Link) -> Label:
        if height < 2 * _LINE + 0.4:
            name, second = f"{name}  {second}", ""
        room = _WIDEST - 2 * _PAD
        name, second = shorten(name, room, _NAME, 600), shorten(second, room, _SECOND)
        wide = max(text_width_mm(name, _NAME, 600), text_width_mm(second, _SECOND))
        label = Label(name, second, wide + 2 * _PAD, height, of)
        return replace(label, width=label.size * wide + 2 * _PAD)

    def _plates(self) -> Iterator[Label]:
        plan = self.checked.assessment.plan
        for id, part in plan.parts.items():
            if part.place:
                name = name_of(part, id)
                second = f"{name}, {part.place}" if name != id.replace("_", " ") else part.place
                yield self._label(id, second, _PLATE_MM, Link("part", id))
        for id, stud in plan.studs.items():
            yield self._label(id, f"{stud.thread}, {stud.place}", _PLATE_MM, Link("stud", id))

    def sheets(self) -> tuple[Sheet, ...]:
        pages: list[list[Drawn]] = [[]]
        y = _TOP
        for group in self.groups():
            rows = list(_rows(group.labels))
            if y + 6.0 + rows[0][0].height > _BOTTOM and y > _TOP:
                pages.append([])
                y = _TOP
            pages[-1].append(Text((_LEFT, y + 3.6), shorten(group.title, _RIGHT - _LEFT, 3.2, 600), 3.2, 600))
            y += 6.0
            for row in rows:
                tall = max(one.height for one in row)
                if y + tall > _BOTTOM:
                    pages.append([])
                    y = _TOP
                x = _LEFT
                for one in row:
                    pages[-1] += _drawn(one, (x, y))
                    x += one.width + _APART
                y += tall + _APART
            y += 2.0
        return tuple(self._sheet(items, n, len(pages)) for n, items in enumerate(pages, 1))

    def _sheet(self, items: list[Drawn], number: int, count: int) -> Sheet:
        plan = self.checked.assessment.plan
        title = f"{TITLE}: {plan.title}" + (f", sheet {number} of {count}" if count > 1 else "")
        says = (
            "Cut along the frames; lay each once around its wire 40 mm from the end, under clear heat-shrink."
            if items
            else "The plan has no wires yet."
        )
        return Sheet(
            width=PAPER[0],
            height=PAPER[1],
            title=title,
            description=f"{plan.title}: a label for both ends of each wire, at true size. {self._sleeves()}",
            items=(
                *head(self.checked, _LEFT, _RIGHT - _LEFT, title, says),
                *items,
                Text((_LEFT, 282.5), shorten(self._sleeves(), _RIGHT - _LEFT, 2.6), 2.6, ink="grey"),
            ),
        )

    def _sleeves(self) -> str:
        """Return which clear heat-shrink goes over which cables."""
        sizes: dict[float, set[str]] = {}
        for id in self.ends.wires:
            thick = self.checked.assessment.loom.thick_mm(id)
            bore = shrink_mm(thick + 0.3) if thick else None
            if bore is not None:
                sizes.setdefault(bore, set()).add(next(iter(self.ends.sizes(id)), "?"))
        told = [
            f"{bore:g} mm: {', '.join(sorted(areas, key=_figure))}" for bore, areas in sorted(sizes.items())
        ]
        return f"Clear heat-shrink over them: {'; '.join(told)}." if told else ""


def _figure(text: str) -> float:
    digits = text.partition(" ")[0]
    return float(digits) if digits.replace(".", "", 1).isdigit() else 0.0


def _rows(labels: Sequence[Label]) -> Iterator[list[Label]]:
    """Yield labels row by row: those of one height stand together in their order, as many as fit."""
    row: list[Label] = []
    used = 0.0
    for one in labels:
        if row and (used + one.width > _RIGHT - _LEFT or one.height != row[0].height):
            yield row
            row, used = [], 0.0
        row.append(one)
        used += one.width + _APART
    if row:
        yield row


def _drawn(label: Label, at: Point) -> Iterator[Drawn]:
    x, y = at
    yield rectangle(x, y, label.width, label.height, pen=_EDGE, layer="frame", of=label.of)
    lines = 2 if label.second else 1
    pitch = _LINE * label.size
    base = y + (label.height - lines * pitch) / 2 + 0.76 * pitch
    yield Text((x + _PAD, base), label.name, _NAME * label.size, 600, of=label.of)
    if label.second:
        yield Text((x + _PAD, base + pitch), label.second, _SECOND * label.size, of=label.of)


__all__ = ["PAPER", "Group", "Label", "label_sheets"]
