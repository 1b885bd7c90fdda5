"""Writes heads of rails, names of bars and studs, where a bar goes on, what the body rail is."""

from __future__ import annotations

from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.drawing.scene import Link, Text, rectangle

from .labels import Form, Line, cut_forms, measured, near_point
from .marks import middle_of
from .stage import BODY_RAIL
from .strip import COLUMNS
from .writer import Writer

_ROWS = "ABCDEF"


class BarWriter(Writer):
    """Writes what belongs to rails, bars, studs and the body."""

    def bar(self, id: str) -> None:
        """Write the head or the name of a bar, and where it goes on."""
        kind, y = self.p.hang.bars[id], self.p.heights.bars[id]
        mark = next(m for m in self.p.marks.parts if m.id == id and m.kind in ("bar", "stud"))
        if kind == "rail":
            self._head(id, mark.room.left, y, mark.room.right)
        elif kind == "bus":
            part = self.p.parts[id]
            words = part.name or self.words.id(id)
            forms: list[Form] = [(Line(words, 3.6, 600), Line(part.place or "", 2.9, ink="grey"))]
            forms = [tuple(line for line in form if line.text) for form in forms] + [(Line(words, 3.6, 600),)]
            self._above_bar(forms, mark.room, y, Link("part", id))
        elif kind == "minus" and id.endswith(".minus") and self.p.job.wiring.part_of(id) is not None:
            owner = self.p.job.wiring.part_of(id) or ""
            if self.p.parts[owner].kind == "fuse_box":
                self._above_bar([(Line(f"{owner} minus", 3.6, 600),)], mark.room, y, Link("part", owner))
        self._goes_on(id, y)

    def _head(self, id: str, left: float, y: float, right: float) -> None:
        """Write a rail's terminal number in a box above its left end, and its words."""
        number, words = self.words.rail(id)
        width = text_width_mm(number, 3.6, 600) + 3.2
        of = Link("part", self.p.job.wiring.part_of(id) or id)
        for x in (left, *(middle_of(k) - 8.0 for k in range(COLUMNS)), right - width):
            if x + width > FIELD_BOX.right - 1.0 or x < FIELD_BOX.left:
                continue
            for top in (y - 6.6, y - 8.0):
                head = Box(x, top, x + width, top + 5.0)
                if not self.canvas.is_free(head.grown(0.3)) or abs(x - left) > 40.0:
                    continue
                self.canvas.add([
                    rectangle(x, top, width, 5.0, fill="paper", layer="rails", of=of),
                    Text((x + width / 2, top + 3.75), number, 3.6, 600, "middle", layer="rails", of=of),
                ])  # fmt: skip
                self._head_words(words, x + width + 1.6, top + 1.0, x, of)
                return

    def _head_words(self, words: str, x: float, top: float, left: float, of: Link) -> None:
        short = words.partition(",")[0]
        forms: list[Form] = [(Line(words, 3.0),), (Line(short, 3.0),)]
        forms += [tuple(Line(one, 3.0) for one in wrap(words, 30.0, 3.0, most_lines=2))]
        for form in forms:
            width, height = measured(form)
            if self.canvas.is_free(Box(x, top, x + width, top + height)):
                near_point(self.canvas, [form], (x, top), of, offsets=[(0.0, 0.0)])
                return
        near_point(self.canvas, forms[1:], (left, top - 2.0), of, reach=10.0)

    def _above_bar(self, forms: list[Form], room: Box, y: float, of: Link) -> None:
        for form in forms:
            width, height = measured(form)
            offsets = [(dx, dy) for dx in (0.0, 4.0, 10.0, 18.0, 27.0) for dy in (-height - 1.4, 1.6)]
            offsets += [
                (room.width - width, -height - 1.4),
                (room.width - width, 1.6),
                (room.width + 1.0, -height / 2),
            ]
            if near_point(self.canvas, [form], (room.left, y), of, offsets=offsets, reach=0.0):
                return
        near_point(self.canvas, forms[-1:], (room.left, y), of, reach=18.0)

    def stud(self, id: str, x: float) -> None:
        """Write the name of a stud below its sign, and its place beside the name."""
        stud = self.p.job.plan.studs.get(id)
        of = Link("stud", id)
        place = stud.place if stud is not None else ""
        lugs = self.p.job.studs[id].lugs if id in self.p.job.studs else 0
        count = f", {lugs} rings" if lugs > 4 else ""
        full = (Line(id, 5.0, 600), Line(f"{place}{count}", 2.9, ink="grey"))
        width = text_width_mm(id, 5.0, 600)
        y = BODY_RAIL + 3.6
        for x0 in (x - width / 2, x - width - 2.0, x + 2.0):
            box = Box(x0, y, x0 + width, y + 4.0)
            if self.canvas.is_free(box):
                self.canvas.add([Text((x0, y + 3.8), id, 5.0, 600, of=of)])
                if full[1].text:
                    forms = list(cut_forms((full[1],), 40.0, 20.0, 12.0))
                    for form in forms:
                        wide, high = measured(form)
                        spot = Box(x0 + width + 1.6, y + 1.2, x0 + width + 1.6 + wide, y + 1.2 + high)
                        if self.canvas.is_free(spot):
                            near_point(self.canvas, [form], (spot.left, spot.top), of, offsets=[(0.0, 0.0)])
                            return
                return
        near_point(self.canvas, [(Line(id, 3.6, 600),)], (x, y), of, reach=8.0)

    def body(self) -> None:
        """Write what the body rail is."""
        kinds = {self.p.hang.bars[id] for id in self.p.leaf.met}
        if kinds & {"stud", "body"}:
            body = self.p.job.plan.vehicle.body
            line = (Line(f"31 body, {body}", 3.0, 600),)
            near_point(
                self.canvas, [line], (FIELD_BOX.left + 2.0, BODY_RAIL + 4.4), None,
                offsets=[(0.0, 0.0), (12.0, 0.0), (24.0, 0.0), (40.0, 0.0)], reach=0.0,
            )  # fmt: skip

    def _goes_on(self, id: str, y: float) -> None:
        for side, spots in (("left", self.p.leaf.before), ("right", self.p.leaf.after)):
            if id not in spots:
                continue
            sheet, column = spots[id]
            text = f"{self.words.spot_sheet(sheet)}/{column + 1}.{row_of(y)}"
            width = text_width_mm(text, 2.9)
            x = FIELD_BOX.left + 1.6 if side == "left" else FIELD_BOX.right - 1.6 - width
            near_point(
                self.canvas, [(Line(text, 2.9, ink="grey"),)], (x, y), None,
                offsets=[(0.0, -4.0), (0.0, 1.6), (0.0, -7.0)], reach=6.0,
            )  # fmt: skip


def row_of(y: float) -> str:
    """Return the letter of the row in which a height lies."""
    step = FIELD_BOX.height / len(_ROWS)
    return _ROWS[min(max(int((y - FIELD_BOX.top) / step), 0), len(_ROWS) - 1)]
