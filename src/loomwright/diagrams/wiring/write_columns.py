"""Writes what stands in the columns: fuses, wires, parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from loomwright.drawing.geometry import box_of_boxes
from loomwright.drawing.lettering import wrap
from loomwright.drawing.scene import Link, Text
from loomwright.plan.model import Part

from .labels import Form, Line, beside_line, cut_forms, measured, near_point
from .marks import CableMark, PartMark, WireMark, middle_of
from .strands import FuseStep, PartStep
from .words import at_marks
from .writer import Writer

#: Blocks without a name within.
#: Widest name that stands under a two-way switch in one line. [mm]
_SWITCH = 11.0
#: From a part to words beyond the outline of its place. [mm]
_BEYOND = 2.4
_NAMED_BESIDE = ("solar_panel", "relay", "sensing_relay", "selector", "change_over")


class ColumnWriter(Writer):
    """Writes beside fuses, wires and parts."""

    def fuse(self, mark: PartMark) -> None:
        """Write rating and type of a fuse beside it."""
        assert isinstance(mark.step, FuseStep)
        rating, kind = self.words.fuse(mark.step)
        kind = "" if mark.step.box and kind == self._box_type(mark.step.box) else kind.replace("_", " ")
        of = Link("wire" if mark.step.piece else "part", mark.id)
        forms: list[Form] = [(Line(rating, 3.6, 500), Line(kind, 2.9, ink="grey"))] if kind else []
        forms.append((Line(rating, 3.6, 500),))
        x, _ = mark.room.centre
        room = mark.room
        texts = beside_line(self.canvas, forms, x, (room.top, room.bottom), 2.0, of, start=0.4)
        self._grow(mark, texts)
        if texts:
            return
        small: list[Form] = [(Line(rating, size, 500),) for size in (3.6, 2.9, 2.6)]
        for reach, start in (((room.top - 6.0, room.top), 1.0), ((room.bottom, room.bottom + 6.0), 0.0)):
            if beside_line(self.canvas, small, x, reach, 0.4, of, start=start):
                return
        near_point(self.canvas, small, room.centre, of, reach=12.0)

    def _grow(self, mark: PartMark, texts: list[Text] | None) -> None:
        """Count words that stand level with a thing as part of it: a sign may stand behind them."""
        if texts:
            room = box_of_boxes([mark.room, *(text.box() for text in texts)])
            index = self.p.marks.parts.index(mark)
            self.p.marks.parts[index] = replace(mark, room=room)

    def _box_type(self, box: str) -> str:
        kind = self.p.parts[box].fuse_type
        return kind if isinstance(kind, str) else ""

    def cable(self, cable: CableMark) -> None:
        """Write beside the ring of a panel's cable what it is: its cores, their size, its length."""
        room, of = cable.room, Link("part", cable.panel)
        forms = self.words.cable_forms(cable.panel, cable.wires)
        x, reach = room.centre[0], (room.top - 4.0, room.bottom + 4.0)
        if not beside_line(self.canvas, forms, x, reach, room.width / 2 - 0.4, of, start=0.5):
            near_point(self.canvas, forms, (room.right, room.centre[1]), of, reach=20.0)

    def core(self, mark: WireMark) -> None:
        """Write the label of a wire that is a core of a cable: what all of them share stands at the ring."""
        if any(mark.piece.id in cable.wires for cable in self.p.marks.cables):
            forms, of = self.words.core_forms(mark.piece), Link("wire", mark.piece.id)
            reach = (mark.top, mark.bottom)
            if not beside_line(self.canvas, forms, mark.x, reach, mark.half, of):
                near_point(self.canvas, forms, (mark.x, mark.top), of)

    def wire(self, mark: WireMark, start: float = 0.3) -> None:
        """Write the label of a wire beside its longest stretch; `start` says how far down it may begin."""
        of = Link("wire", mark.piece.id)
        if mark.over is not None and self._level(mark, mark.over, of):
            return
        upright = mark.bottom - mark.top > 0.5
        reach, best_first = (mark.top, mark.bottom), self.words.wire_forms(mark.piece)
        if upright and beside_line(self.canvas, best_first, mark.x, reach, mark.half, of, start=start):
            return
        forms = list(self.words.wire_forms(mark.piece))
        for extra in (3.0, 6.0) if upright else ():
            reach = (mark.top - extra, mark.bottom + extra)
            if beside_line(self.canvas, forms[1:], mark.x, reach, mark.half, of, start=0.5):
                return
        middle = (mark.x, (mark.top + mark.bottom) / 2)
        if near_point(self.canvas, forms[-4:], middle, of, reach=8.0):
            return
        short, reach = self.words.wire_id(mark.piece), (mark.top, mark.bottom)
        if not upright or not beside_line(self.canvas, [short], mark.x, reach, mark.half, of):
            near_point(self.canvas, [*forms, short], middle, of, reach=40.0)

    def _level(self, mark: WireMark, over: bool, of: Link) -> bool:
        """Write the label of a level wire over it or under it; say whether there was room."""
        for form in self.words.wire_forms(mark.piece):
            width, height = measured(form)
            away = [mark.half + 0.6 + 0.6 * step for step in range(4)]
            offsets = [(-width / 2, -y - height if over else y) for y in away]
            if near_point(self.canvas, [form], (mark.x, mark.top), of, offsets=offsets, reach=0.0):
                return True
        return False

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
        named = mark.kind == "block" and part.kind not in _NAMED_BESIDE
        if named:
            self._place_of_box(mark, part.place or "", of)
            return
        self._beside_part(mark, self._forms(mark, part), of)

    def _forms(self, mark: PartMark, part: Part) -> Iterable[Form]:
        """Return the words beside a part in ever shorter forms."""
        name = Line(self.words.id(mark.id), 3.6, 600)
        place = [Line(part.place, 2.9, ink="grey")] if part.place else []
        if part.kind == "plug" and isinstance(mark.step, PartStep):
            name = Line(f"{name.text}:{mark.step.enter.rstrip('<>')}", 3.6, 600)
            return [*([(name, *place)] if place else []), (name,), (Line(name.text, 2.6, 600),)]
        if part.kind == "relay" and mark.kind == "block" and (mark.id, "coil") not in self.words.spots:
            return [(name, *place), (name,)]
        if part.kind == "relay":
            coil = isinstance(mark.step, PartStep) and {mark.step.enter, mark.step.leave} & {"85", "86"}
            there = self.words.other_half(mark.id, "coil" if coil else "contact", self.p.leaf.number)
            half = Line(there, 2.9, ink="grey")
            own = [] if coil else [*self.words.ratings(part)[:1], *self.words.settings(mark.id)]
            rating = [Line(text, 2.9) for text in own]
            if there:
                return [(name, half, *rating), (name, half, *rating[:1]), (name, half), (name,)]
        if mark.kind == "switch" and measured((name,))[0] > _SWITCH:  # travellers have their labels beside it
            lines = tuple(Line(word, 2.9, 600) for word in at_marks(name.text, 13.0))
            return [(*lines, *place), lines, *self.words.part_forms(mark.id)]
        told = any(place == part.place and room.holds(mark.room) for place, room in self.p.marks.places)
        return self.words.part_forms(mark.id, with_place=not told)

    def _place_of_box(self, mark: PartMark, place: str, of: Link) -> None:
        """Write the place of a box beside it or under it; its id stands within."""
        forms = list(cut_forms((Line(place, 2.9, ink="grey"),), 30.0, 14.0)) if place else []
        x, room = mark.room.centre[0], mark.room
        reach, half = (room.top, room.bottom), room.width / 2
        if beside_line(self.canvas, forms, x, reach, half, of, sides="r"):
            return
        below, at = [(0.6, 1.2), (18.0, 1.2)], (room.left, room.bottom)
        if not near_point(self.canvas, forms, at, of, offsets=below, reach=0.0):
            beside_line(self.canvas, forms, x, reach, half, of, sides="l")

    def _beside_part(self, mark: PartMark, forms: Iterable[Form], of: Link) -> None:
        """Write beside a part: right or left of it, else over or under it beside its line.

        Under an alternator or a battery there is room, left of it stands another: so under it goes first.
        """
        room = mark.room
        x = middle_of(mark.column) if mark.kind == "part" else room.centre[0]
        kind = self.p.parts[mark.id].kind
        order = "rulo" if kind in ("alternator", "battery", "vehicle_battery") else "rlou"
        tried, corner = [], (room.left, room.bottom)
        under_it = [(dx, 1.4) for dx in (0.0, room.width / 2 + 1.0)]
        for form in forms:
            tried.append(form)
            _, height = measured(form)
            level = (room.top - 1.0, max(room.bottom, room.top + height) + 1.0)
            over, under = (room.top - height - 3.0, room.top), (room.bottom, room.bottom + height + 9.0)
            for way in order if mark.kind == "part" else "rl":
                if way in "rl":
                    half = room.right - x if way == "r" else x - room.left
                    texts = beside_line(self.canvas, [form], x, level, half, of, sides=way, start=0.3)
                else:
                    reach, start = (over, 1.0) if way == "o" else (under, 0.0)
                    texts = beside_line(self.canvas, [form], x, reach, 1.2, of, start=start)
                if texts:
                    if way in "rl":
                        self._grow(mark, texts)
                    return
            if mark.kind != "part" and near_point(
                self.canvas, [form], corner, of, offsets=under_it, reach=0.0
            ):
                return
        for form in tried if mark.kind == "part" else ():  # beyond the outline of its place
            halves = (room.right - x + _BEYOND, x - room.left + _BEYOND)
            for way, half in zip("rl", halves, strict=True):
                level = (room.top - 1.0, max(room.bottom, room.top + measured(form)[1]) + 1.0)
                if beside_line(self.canvas, [form], x, level, half, of, sides=way, start=0.3):
                    return
        offsets = [(0.0, -6.0), (0.0, room.height + 1.6)]
        near_point(self.canvas, tried, (room.left, room.top), of, offsets=offsets, reach=12.0)
