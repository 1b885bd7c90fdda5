"""Cables made on their own, each to scale between its two labels; and the wires that can't be drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from loomwright.assessment.looms import Looms, Single
from loomwright.diagrams.common import inks_of
from loomwright.drawing.ink import Pen, core_width_mm
from loomwright.drawing.lettering import shorten, text_width_mm, wrap
from loomwright.drawing.scene import Drawn, Link, Symbol, Text, Wire, rectangle
from loomwright.drawing.symbols_ends import END_MM

from .ends import Ends
from .picture import RATIO

_ROW, _HEAD = 9.6, 8.0
_FLAG, _GAP, _BETWEEN = 36.0, 0.6, 10.0
_SCALE = 25
#: A longer cable is drawn so long and broken in the middle. [mm]
_LONGEST = 84.0
_PEN = Pen("ink", 0.25)
Row = tuple[float, Callable[[float], Iterator[Drawn]]]


@dataclass(frozen=True)
class SinglesBlock:
    """Rows of single cables between a left and a right edge. [mm]"""

    looms: Looms
    ends: Ends
    left: float
    right: float

    def rows(self) -> Iterator[Row]:
        """Yield the rows, each with its height. [mm]"""
        singles = self.looms.singles
        if singles:
            rows = list(self._packed(singles))
            first = rows[0]
            yield _HEAD + _ROW, partial(self._first, first)
            for row in rows[1:]:
                yield _ROW, partial(self._row, row)
        yield from self._told()

    def _packed(self, singles: tuple[Single, ...]) -> Iterator[list[Single]]:
        row: list[Single] = []
        used = 0.0
        for one in singles:
            wide = 2 * (_FLAG + _GAP + END_MM) + self._long(one) + _BETWEEN
            if row and used + wide > self.right - self.left + _BETWEEN:
                yield row
                row, used = [], 0.0
            row.append(one)
            used += wide
        yield row

    def _long(self, one: Single) -> float:
        least = text_width_mm(self._says(one), 2.7) + 2.0
        return max(min(one.metres * 1000.0 / _SCALE, _LONGEST), min(least, _LONGEST))

    def _says(self, one: Single) -> str:
        return f"{one.metres:.2f} m  {self.ends.size(one.wire)}"

    def _first(self, row: list[Single], y: float) -> Iterator[Drawn]:
        name = Text((self.left, y + 4.6), "Cables on their own", 3.6, 600)
        yield name
        longest = _LONGEST * _SCALE / 1000
        says = f"1:{_SCALE} if no longer than {longest:.1f} m, with the slack; cut to the length written."
        yield Text((self.left + name.width + 4.0, y + 4.6), says, 2.9, ink="grey")
        yield from self._row(row, y + _HEAD)

    def _row(self, row: list[Single], y: float) -> Iterator[Drawn]:
        x = self.left
        for one in row:
            yield from self._cable(one, x, y + _ROW / 2)
            x += 2 * (_FLAG + _GAP + END_MM) + self._long(one) + _BETWEEN

    def _cable(self, one: Single, x: float, y: float) -> Iterator[Drawn]:
        job = self.looms.job
        link = Link("wire", one.wire)
        start = x + _FLAG + _GAP + END_MM
        far = start + self._long(one)
        wire = job.wires[one.wire]
        core, inks = core_width_mm(wire.area_mm2 or 1.0, RATIO), inks_of(wire.colour)
        yield from self._flag(one, "a", x, y)
        yield Symbol(self.ends.of(one.wire, "a").sign, (start, y), mirrored=True, of=link)
        middle = (start + far) / 2
        broken = one.metres * 1000.0 / _SCALE > far - start + 0.1
        gaps = ((middle - start - 1.0, middle - start + 1.0),) if broken else ()
        yield Wire(((start, y), (far, y)), core, inks, gaps=gaps, of=link)
        yield Symbol(self.ends.of(one.wire, "b").sign, (far, y), of=link)
        yield Text((middle, y - core / 2 - 1.4), self._says(one), 2.7, 500, "middle", of=link)
        by = ", ".join(id.replace("_", " ") for id in one.by)
        if by:
            yield Text(
                (middle, y + core / 2 + 3.2),
                shorten(f"by {by}", far - start, 2.6),
                2.6,
                400,
                "middle",
                "grey",
                of=link,
            )
        yield from self._flag(one, "b", far + END_MM + _GAP, y)

    def _flag(self, one: Single, side: str, left: float, y: float) -> Iterator[Drawn]:
        link = Link("wire", one.wire)
        words = self.ends.of(one.wire, side)
        yield rectangle(left, y - 4.0, _FLAG, 8.0, fill="paper", pen=_PEN, of=link)
        lines = wrap(words.label, _FLAG - 2.0, 2.9, 600, most_lines=2)
        last = () if len(lines) > 1 else (words.within(_FLAG - 2.0, 2.6),)
        base = y - 0.7
        for n, line in enumerate(lines):
            yield Text((left + 1.0, base + 3.4 * n), line, 2.9, 600, of=link)
        for line in last:
            yield Text((left + 1.0, base + 3.4), line, 2.6, ink="grey", of=link)

    def _told(self) -> Iterator[Row]:
        """Yield in words what is not drawn."""
        told = [f"{self.ends.number(one.wire)}: no way known: {one.why}" for one in self.looms.no_way]
        if self.looms.mains:
            mains = ", ".join(self.looms.mains)
            told.append(f"Mains cables {mains}: in no loom; they lie apart from all these wires.")
        if not self.looms.looms and not self.looms.singles and not told:
            told.append("The plan has no wires yet.")
        if not self.looms.looms and self.looms.singles:
            told.append(
                "No loom: no two wires are known to share a path. Say `via` or give paths coordinates."
            )
        for text in told:
            lines = wrap(text, self.right - self.left, 2.9)
            yield 1.0 + 4.0 * len(lines), partial(self._lines, lines)

    def _lines(self, lines: tuple[str, ...], y: float) -> Iterator[Drawn]:
        for n, line in enumerate(lines):
            yield Text((self.left, y + 3.0 + 4.0 * n), line, 2.9)


__all__ = ["SinglesBlock"]
