"""Writes heads of rails, names of bars and studs, where a bar goes on, what the body rail is."""

from __future__ import annotations

from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.drawing.scene import Link, Text, rectangle

from .labels import Form, Line, block, cut_forms, measured, near_point
from .marks import goes_on_between, middle_of
from .stage import BODY_RAIL
from .strip import COLUMNS
from .units import unit_of
from .writer import Writer

_ROWS = "ABCDEF"
#: Where the number of the body stands, below the left end of its rail. [mm]
_BODY_LEFT = FIELD_BOX.left + 1.8
#: How far along its rail a number may stand. [mm]
_HEAD_REACH = 80.0


class BarWriter(Writer):
    """Writes what belongs to rails, bars, studs and the body."""

    def bar(self, id: str) -> None:
        """Write the head or the name of a bar, and where it goes on."""
        kind, y = self.p.hang.bars[id], self.p.heights.bars[id]
        mark = next(m for m in self.p.marks.parts if m.id == id and m.kind in ("bar", "stud"))
        if kind == "rail":
            self._head(id, self.words.rail(id))
        elif kind == "bus" and self.p.hang.above[id]:
            self._head(id, self.words.bus(id), self.p.parts[id].place or "")
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
        elif kind == "box" and unit_of(id):  # without an outline of its own, in the frame of its unit
            name = self.words.id(id).partition("#")[0].removesuffix(".in")
            self._above_bar([(Line(name, 2.9, ink="grey"),)], mark.room, y, Link("part", id))

    def _head(self, id: str, head: tuple[str, str], place: str = "") -> None:
        """Write what a rail or bar of the feed side is: its number or id in a box, words behind it."""
        room = next(m.room for m in self.p.marks.parts if m.id == id and m.kind == "bar")
        number, words = head
        width = text_width_mm(number, 3.6, 600) + 3.2
        of = Link("part", self.p.job.wiring.part_of(id) or id)
        spots = [at for at in _head_spots(room, width) if self._is_free(at, width, 5.0)]
        for form in (*_head_forms(words, place), ()):
            wide, high = measured(form) if form else (0.0, 0.0)
            for x, top in spots:
                y = top + (5.0 - high) / 2
                beside = [(x + width + 1.6, y), (x - wide - 1.6, y)]
                text = next((at for at in beside if self._is_free(at, wide, high)), None)
                if form and text is None:
                    continue
                self.canvas.add([
                    rectangle(x, top, width, 5.0, fill="paper", layer="rails", of=of),
                    Text((x + width / 2, top + 3.75), number, 3.6, 600, "middle", layer="rails", of=of),
                    *(block(form, text, "start", of) if text else ()),
                ])  # fmt: skip
                return
        self._above_bar(
            [(Line(f"{number} {words}", 3.0),), (Line(number, 3.0),)], room, self.p.heights.bars[id], of
        )

    def _is_free(self, at: Point, width: float, height: float) -> bool:
        return self.canvas.is_free(Box(at[0], at[1], at[0] + width, at[1] + height).grown(0.3))

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

    def body_number(self) -> None:
        """Write the terminal number of the body below the left end of its rail, at the same place always."""
        if self.p.has_body:
            number, top = "31", BODY_RAIL + 3.2
            width = text_width_mm(number, 3.6, 600) + 3.2
            self.canvas.add([
                rectangle(_BODY_LEFT, top, width, 5.0, fill="paper", layer="rails"),
                Text((_BODY_LEFT + width / 2, top + 3.75), number, 3.6, 600, "middle", layer="rails"),
            ])  # fmt: skip

    def body_words(self) -> None:
        """Write what the body rail is: beside its number, or further right under its own rail."""
        if self.p.has_body:
            words = f"body, {self.p.job.plan.vehicle.body}"
            at = (_BODY_LEFT + text_width_mm("31", 3.6, 600) + 4.8, BODY_RAIL + 4.2)
            if not near_point(self.canvas, [(Line(words, 3.0),)], at, None, offsets=[(0.0, 0.0)], reach=0.0):
                further = [(12.0 * k, 0.0) for k in range(1, 20)]
                near_point(self.canvas, [(Line(f"31 {words}", 3.0),)], at, None, offsets=further, reach=0.0)

    def goes_on(self, id: str) -> None:
        """Write at the edge of the sheet where a bar or wire goes on: sheet/column.row."""
        y = self.p.heights.bars[id]
        for side, spots in (("left", self.p.leaf.before), ("right", self.p.leaf.after)):
            if id not in spots:
                continue
            sheet, column = spots[id]
            there = row_of(self.words.levels[sheet, id])
            text = f"{self.words.spot_sheet(sheet)}/{column + 1}.{there}"
            width = text_width_mm(text, 2.9)
            left, right = goes_on_between(self.p.leaf, id)
            x = left + 1.6 if side == "left" else right - 1.6 - width
            inwards = [
                step if side == "left" else -step for step in (0.0, 2.0, 4.0, 6.0, 9.0, 12.0, 16.0, 20.0)
            ]
            near_point(
                self.canvas, [(Line(text, size, ink="grey"),) for size in (2.9, 2.6)], (x, y), None,
                offsets=[(dx, dy) for dx in inwards for dy in (-4.0, -4.3, -4.6, 1.6, 1.9, -5.0)], reach=10.0,
            )  # fmt: skip


def _head_spots(room: Box, width: float) -> list[Point]:
    """Return where the box of a rail's number may stand: above its left end first, last below it."""
    y = room.centre[1]
    lefts = [
        room.left,
        *(middle_of(k) + dx for k in range(COLUMNS) for dx in (-8.0, 1.6)),
        room.right - width,
    ]
    most = max(room.left, min(room.right - width, room.left + _HEAD_REACH))
    lefts = [x for x in lefts if room.left <= x <= most]
    over = [(x, y + dy) for x in lefts for dy in (-6.6, -8.0)]
    return over + [(x, y + 1.8) for x in lefts]


def _head_forms(words: str, place: str) -> list[Form]:
    """Return the words behind a rail's number in ever shorter forms."""
    short = words.partition(",")[0]
    forms: list[Form] = [(Line(words, 3.0), Line(place, 2.9, ink="grey"))] if place else []
    forms += [(Line(words, 3.0),)]
    for size, room in ((3.0, 30.0), (2.6, 22.0), (2.6, 17.0), (2.6, 13.5)):
        forms.append(tuple(Line(one, size) for one in wrap(words, room, size)))
    forms += [(Line(short, 3.0),), (Line(short, 2.6),)]
    forms.append(tuple(Line(one, 2.6) for one in wrap(short, 13.5, 2.6)))
    return [form for form in forms if words and len(form) <= 3]


def row_of(y: float) -> str:
    """Return the letter of the row in which a height lies."""
    step = FIELD_BOX.height / len(_ROWS)
    return _ROWS[min(max(int((y - FIELD_BOX.top) / step), 0), len(_ROWS) - 1)]
