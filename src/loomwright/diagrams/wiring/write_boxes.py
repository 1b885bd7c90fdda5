"""Writes what belongs to outlines: fuse boxes with their ways, units with their ports, places."""

from __future__ import annotations

from loomwright.drawing.geometry import Box
from loomwright.drawing.scene import Link

from .labels import Form, Line, cut_forms, measured, near_point
from .marks import middle_of
from .strands import PortStep
from .strip import COLUMNS
from .writer import Writer


class BoxWriter(Writer):
    """Writes what belongs to fuse boxes, units and places."""

    def box(self, id: str) -> None:
        """Write the name of a fuse box at the top of its outline, its place at the right."""
        room, part = self.p.marks.outlines[id], self.p.parts[id]
        of = Link("part", id)
        ways = f", {part.ways} ways" if isinstance(part.ways, int) else ""
        name = part.name or ("fuse box" if part.name is None else "")
        bar = next(bar for bar in (f"{id}.in", f"{id}#bar") if bar in self.p.hang.bars)
        fed = self.words.fed.get(bar, "")
        fed = f", {fed}" if fed.startswith("after") else ""
        forms: list[Form] = [(Line(f"{id} {name}{ways}{fed}", 3.6, 600),)]
        forms += [(Line(f"{id}{ways}{fed}", 3.6, 600),)]
        forms += [
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
        offsets = [(-width - 1.8, dy), (1.8, dy)]
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

    def way(self, box: str, words: str, at: tuple[float, float]) -> None:
        """Write the number of a way inside its box, beside its terminal."""
        of = Link("part", box)
        line = (Line(words, 2.9),)
        width, height = measured(line)
        offsets = [(-width - 1.8, -height - 0.9), (1.8, -height - 0.9), (-width - 1.8, 0.9)]
        near_point(self.canvas, [line], at, of, offsets=offsets, reach=6.0)

    def free(self, box: str, at: tuple[float, float]) -> None:
        """Write beside the dashed fuse of a way that it is free."""
        line = (Line("free", 2.9, ink="grey"),)
        width, height = measured(line)
        offsets = [(3.0, dy - height / 2) for dy in (0.0, 3.6, -3.6)] + [(-3.0 - width, -height / 2)]
        near_point(self.canvas, [line], at, Link("part", box), offsets=offsets, reach=0.0)
