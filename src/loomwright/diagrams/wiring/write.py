"""Writes on a painted sheet: heads of rails, names of bars and studs, fuses, parts, wires, ways."""

from __future__ import annotations

from dataclasses import replace

from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box, box_of_boxes
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.drawing.scene import Link, Text, rectangle

from .labels import Form, Line, beside_line, cut_forms, measured, near_point
from .levels import BODY_RAIL
from .marks import PartMark, WireMark, middle_of
from .paint import Painter
from .strands import FuseStep, PartStep, PortStep
from .strip import COLUMNS
from .words import at_marks

_ROWS = "ABCDEF"


def write_sheet(painter: Painter) -> None:
    """Write all words of a painted sheet on it."""
    writer = _Writer(painter)
    for bar_id in painter.leaf.met:
        writer.bar(bar_id)
    for stud in painter.marks.studs:
        writer.stud(*stud)
    for box in painter.marks.outlines:
        writer.box(box)
    for unit, room in painter.marks.units:
        writer.unit(unit, room)
    for port, at in painter.marks.ports:
        writer.port(port, at)
    for id, at in painter.marks.pieces:
        writer.piece(id, at)
    for place, room in painter.marks.places:
        writer.place(place, room)
    for mark in painter.marks.ways:
        writer.way(*mark)
    writer.body()
    for part in painter.marks.parts:
        if part.kind == "fuse" and isinstance(part.step, FuseStep):
            writer.fuse(part)
    for part in painter.marks.parts:
        if part.kind == "unwired":
            writer.unwired(part)
        if part.kind in ("part", "block", "switch"):
            writer.part(part)
    done: set[str] = set()
    for wire in sorted(painter.marks.wires, key=lambda w: w.top - w.bottom):
        figure = painter.job.wires.get(wire.piece.id)
        if wire.piece.id not in done and (figure is None or not figure.inner):
            done.add(wire.piece.id)
            writer.wire(wire)
    for id, at in painter.marks.opens:
        near_point(painter.canvas, [(Line(id.rpartition("/")[2].rstrip("<>"), 2.9, ink="grey"),)], at, None)


class _Writer:
    def __init__(self, painter: Painter) -> None:
        self.p = painter
        self.canvas = painter.canvas
        self.words = painter.words

    # bars -------------------------------------------------------------------------------------------

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

    # boxes ------------------------------------------------------------------------------------------

    def box(self, id: str) -> None:
        """Write the name of a fuse box at the top of its outline, its place at the right."""
        room, part = self.p.marks.outlines[id], self.p.parts[id]
        of = Link("part", id)
        ways = f", {part.ways} ways" if isinstance(part.ways, int) else ""
        name = part.name or ("fuse box" if part.name is None else "")
        forms: list[Form] = [
            (Line(f"{id} {name}{ways}", 3.6, 600),),
            (Line(f"{id}{ways}", 3.6, 600),),
            (Line(id, 3.6, 600),),
        ]
        for form in forms:
            width, _ = measured(form)
            offsets = [
                (dx, dy)
                for dy in (1.4, 2.4, 5.6)
                for dx in (1.4, 12.0, 22.0, 34.0)
                if dx + width < room.width - 1.4
            ]
            if offsets and near_point(
                self.canvas, [form], (room.left, room.top), of, offsets=offsets, reach=0.0
            ):
                break
        if part.place:
            for cut in cut_forms((Line(part.place, 2.9, ink="grey"),), 30.0, 14.0):
                width, _ = measured(cut)
                at = (room.right - width - 1.4, room.top)
                offsets = [(0.0, 1.8), (0.0, 5.6), (-8.0, 1.8), (-17.0, 1.8)]
                if near_point(self.canvas, [cut], at, of, offsets=offsets, reach=0.0):
                    break

    def unit(self, id: str, room: Box) -> None:
        """Write the name of a combined unit within its frame, and its place."""
        part = self.p.parts[id]
        of = Link("part", id)
        full = f"{id} {part.name[:1].lower() + part.name[1:]}" if part.name else id
        name = Line(full, 3.6, 600)
        forms: list[Form] = [(name, Line(part.place or "", 2.9, ink="grey")), (name,), (Line(id, 3.6, 600),)]
        for form in [tuple(line for line in form if line.text) for form in forms]:
            width, height = measured(form)
            for x in (
                room.left + 1.6,
                *(middle_of(k) + 1.6 for k in range(COLUMNS)),
                room.right - width - 1.6,
            ):
                if not room.left < x < room.right - width:
                    continue
                offsets = [(0.0, room.bottom - height - 1.8), (0.0, room.top + 1.8)]
                if near_point(self.canvas, [form], (x, 0.0), of, offsets=offsets, reach=0.0):
                    return

    def port(self, port: PortStep, at: tuple[float, float]) -> None:
        """Write the name of a port inside the frame, beside its terminal."""
        line = (Line(port.port.removeprefix("way_"), 2.9),)
        width, height = measured(line)
        dy = 1.2 if port.upper else -height - 1.2
        offsets = [(-width - 1.5, dy), (1.5, dy)]
        near_point(self.canvas, [line], at, Link("part", port.unit), offsets=offsets, reach=5.0)

    def piece(self, id: str, at: tuple[float, float]) -> None:
        """Write the port by which a unit's minus is known at a piece of its minus bar."""
        unit = self.p.parts.get(id.partition("/")[0])
        ports = [name for name, end in unit.ports.items() if end.id == id.rpartition("/")[2]] if unit else []
        words = next(iter(ports), id.rpartition("/")[2])
        line = (Line(words, 2.9),)
        width, height = measured(line)
        offsets = [(5.3, -height / 2), (-5.3 - width, -height / 2), (1.4, -height - 1.3), (1.4, 1.3)]
        near_point(self.canvas, [line], at, Link("part", id), offsets=offsets, reach=6.0)

    def place(self, id: str, room: Box) -> None:
        """Write the name of a place within its outline, at the top."""
        for form in cut_forms((Line(id, 2.9, ink="grey"),), 30.0, 15.0):
            width, _ = measured(form)
            offsets = [(room.right - room.left - width - 1.4, 1.4), (1.4, 1.4), (1.4, 4.6)]
            offsets += [(room.right - room.left - width - 1.4, dy) for dy in (4.6, 7.8)]
            offsets += [(dx, -4.8) for dx in (0.8, room.width / 2, room.width - width)]
            at = (room.left, room.top)
            if near_point(self.canvas, [form], at, Link("place", id), offsets=offsets, reach=0.0):
                return

    def way(self, box: str, words: str, at: tuple[float, float], free: bool) -> None:
        """Write the number of a way inside its box, beside its terminal."""
        of = Link("part", box)
        line = (Line(words, 2.9),)
        width, height = measured(line)
        offsets = [(-width - 1.5, -height - 0.9), (1.5, -height - 0.9), (-width - 1.5, 0.9)]
        near_point(self.canvas, [line], at, of, offsets=offsets, reach=6.0)
        if free:
            near_point(
                self.canvas, [(Line("free", 2.9, ink="grey"),)], (at[0], at[1] - 12.0), of,
                offsets=[(3.0, 0.0), (3.0, 3.6), (3.0, -3.6), (-8.6, 0.0)], reach=0.0,
            )  # fmt: skip

    # in the columns -----------------------------------------------------------------------------

    def fuse(self, mark: PartMark) -> None:
        """Write rating and type of a fuse beside it."""
        assert isinstance(mark.step, FuseStep)
        rating, kind = self.words.fuse(mark.step)
        kind = "" if mark.step.box and kind == self._box_type(mark.step.box) else kind.replace("_", " ")
        of = Link("wire", mark.id)
        forms: list[Form] = [(Line(rating, 3.6, 500), Line(kind, 2.9, ink="grey"))] if kind else []
        forms.append((Line(rating, 3.6, 500),))
        x, _ = mark.room.centre
        texts = beside_line(self.canvas, forms, x, (mark.room.top, mark.room.bottom), 2.0, of, start=0.4)
        self._grow(mark, texts)

    def _grow(self, mark: PartMark, texts: list[Text] | None) -> None:
        """Count words that stand level with a thing as part of it: a sign may stand behind them."""
        if texts:
            room = box_of_boxes([mark.room, *(text.box() for text in texts)])
            index = self.p.marks.parts.index(mark)
            self.p.marks.parts[index] = replace(mark, room=room)

    def _box_type(self, box: str) -> str:
        kind = self.p.parts[box].fuse_type
        return kind if isinstance(kind, str) else ""

    def wire(self, mark: WireMark) -> None:
        """Write the label of a wire beside its longest stretch."""
        of = Link("wire", mark.piece.id)
        upright = mark.bottom - mark.top > 0.5
        reach, best_first = (mark.top, mark.bottom), self.words.wire_forms(mark.piece)
        if upright and beside_line(self.canvas, best_first, mark.x, reach, mark.half, of, start=0.3):
            return
        forms = list(self.words.wire_forms(mark.piece))
        if upright:
            for extra in (3.0, 6.0):
                reach = (mark.top - extra, mark.bottom + extra)
                if beside_line(self.canvas, forms[1:], mark.x, reach, mark.half, of, start=0.5):
                    return
        middle = (mark.x, (mark.top + mark.bottom) / 2)
        if not near_point(self.canvas, forms[-4:], middle, of, reach=10.0):
            near_point(self.canvas, forms, middle, of, reach=22.0)

    def unwired(self, mark: PartMark) -> None:
        """Write the id of a part without wires into its dashed box."""
        x, y = mark.room.centre
        of = Link("part", mark.id)
        lines = [
            line for word in at_marks(self.words.id(mark.id), 12.0)[:4] for line in wrap(word, 12.4, 2.9)
        ][:4]
        for row, line in enumerate(lines):
            at = (x, y + 1.0 + 3.7 * (row - (len(lines) - 1) / 2))
            self.canvas.add([Text(at, line, 2.9, 500, "middle", of=of)])

    def part(self, mark: PartMark) -> None:
        """Write what stands beside a part: id, ratings, place."""
        part = self.p.parts[mark.id]
        of = Link("part", mark.id)
        named = mark.kind == "block" and part.kind not in ("solar_panel", "relay", "selector", "change_over")
        if named:
            self._place_of_box(mark, part.place or "", of)
            return
        forms = list(self.words.part_forms(mark.id))
        if part.kind == "plug" and isinstance(mark.step, PartStep):
            name = Line(f"{self.words.id(mark.id)}:{mark.step.enter.rstrip('<>')}", 3.6, 600)
            forms = [(name, Line(part.place, 2.9, ink="grey"))] if part.place else []
            forms += [(name,), (Line(name.text, 2.6, 600),)]
        if part.kind == "relay":
            coil = isinstance(mark.step, PartStep) and {mark.step.enter, mark.step.leave} & {"85", "86"}
            there = self.words.other_half(mark.id, "coil" if coil else "contact", self.p.leaf.number)
            name = Line(self.words.id(mark.id), 3.6, 600)
            short = [(name, Line(there, 2.9, ink="grey"))] if there else []
            rating = [Line(text, 2.9) for text in ([] if coil else self.words.ratings(part)[:1])]
            forms = [(*one, *rating) for one in short] + short + [(name,)] if short else forms
        if mark.kind == "block" and part.kind == "relay" and (mark.id, "coil") not in self.words.spots:
            forms = [(Line(self.words.id(mark.id), 3.6, 600), Line(part.place or "", 2.9, ink="grey"))]
            forms = [tuple(line for line in form if line.text) for form in forms] + [forms[0][:1]]
        self._beside_part(mark, forms, of)

    def _place_of_box(self, mark: PartMark, place: str, of: Link) -> None:
        """Write the place of a box beside it or under it; its id stands within."""
        forms = list(cut_forms((Line(place, 2.9, ink="grey"),), 30.0, 14.0)) if place else []
        x, room = mark.room.centre[0], mark.room
        for side in ("r", "l"):
            if beside_line(self.canvas, forms, x, (room.top, room.bottom), room.width / 2, of, sides=side):
                return
        near_point(
            self.canvas, forms, (room.left, room.bottom), of, offsets=[(0.6, 1.2), (18.0, 1.2)], reach=0.0
        )

    def _beside_part(self, mark: PartMark, forms: list[Form], of: Link) -> None:
        """Write beside a part: right or left of it, else over or under it beside its line."""
        room = mark.room
        x = middle_of(mark.column) if mark.kind == "part" else room.centre[0]
        for form in forms:
            _, height = measured(form)
            for side, half in (("r", room.right - x), ("l", x - room.left)):
                reach = (room.top - 1.0, max(room.bottom, room.top + height) + 1.0)
                texts = beside_line(self.canvas, [form], x, reach, half, of, sides=side, start=0.3)
                if texts:
                    self._grow(mark, texts)
                    return
            if mark.kind != "part":
                continue
            for reach, start in (
                ((room.top - height - 3.0, room.top), 1.0),
                ((room.bottom, room.bottom + height + 3.0), 0.0),
            ):
                if beside_line(self.canvas, [form], x, reach, 1.2, of, start=start):
                    return
        offsets = [(0.0, -6.0), (0.0, room.height + 1.6)]
        near_point(self.canvas, forms, (room.left, room.top), of, offsets=offsets, reach=12.0)


def row_of(y: float) -> str:
    """Return the letter of the row in which a height lies."""
    step = FIELD_BOX.height / len(_ROWS)
    return _ROWS[min(max(int((y - FIELD_BOX.top) / step), 0), len(_ROWS) - 1)]
