"""Boards cut into sheets of paper at true size, to be laid together by their marks; an overview first.

Neighbours overlap by 10 mm: a cross on one lies on the same cross of the next. Sheets on which nothing
would be drawn are left out. Rows are lettered, columns numbered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from loomwright.assessment.looms import Looms
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import FIELD, LEADER, THIN
from loomwright.drawing.lettering import shorten, wrap
from loomwright.drawing.scene import Circle, Drawn, Polyline, Sheet, Text, Wire, rectangle
from loomwright.rules.check import Checked

from .board import Board
from .clipped import cut_to, is_shown, moved_by
from .ends import Ends
from .picture import Picture, letter_of
from .true_size import check_line, head

TITLE = "Loom at true size for the board"
#: Lying: width and height. [mm]
PAPERS = {"a4": (297.0, 210.0), "a3": (420.0, 297.0)}
OVERLAP = 10.0
#: White around what is drawn, and the strip below it for words. [mm]
_MARGIN, _STRIP = 10.0, 12.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a board: its name, its row and column from 0, and what part of the board it shows. [mm]"""

    name: str
    row: int
    column: int
    box: Box


@dataclass(frozen=True)
class Tiled:
    """A board and the sheets that it takes.

    Parameters
    ----------
    board : Board
    paper : str
        "a4" or "a3".
    """

    board: Board
    paper: str

    @property
    def size(self) -> tuple[float, float]:
        """What one sheet shows. [mm]"""
        wide, tall = PAPERS[self.paper]
        return wide - 2 * _MARGIN, tall - 2 * _MARGIN - _STRIP

    @cached_property
    def count(self) -> tuple[int, int]:
        """Rows and columns, blank sheets counted."""
        box, (wide, tall) = self.board.box.grown(4.0), self.size
        rows = max(1, math.ceil((box.height - OVERLAP) / (tall - OVERLAP)))
        columns = max(1, math.ceil((box.width - OVERLAP) / (wide - OVERLAP)))
        return rows, columns

    def box_of(self, row: int, column: int) -> Box:
        """Return what part of the board a sheet shows. [mm]"""
        box, (wide, tall) = self.board.box.grown(4.0), self.size
        left = box.left + column * (wide - OVERLAP)
        top = box.top + row * (tall - OVERLAP)
        return Box(left, top, left + wide, top + tall)

    @cached_property
    def tiles(self) -> tuple[Tile, ...]:
        """The sheets on which something is drawn, row by row."""
        rows, columns = self.count
        found = []
        for row in range(rows):
            for column in range(columns):
                box = self.box_of(row, column)
                if any(is_shown(item, box, OVERLAP) for item in self.board.items):
                    found.append(Tile(f"{letter_of(row).upper()}{column + 1}", row, column, box))
        return tuple(found)

    def items(self, tile: Tile) -> Iterator[Drawn]:
        """Yield what a sheet shows, in millimetres of the paper."""
        dx, dy = _MARGIN - tile.box.left, _MARGIN - tile.box.top
        for item in self.board.items:
            cut = cut_to(item, tile.box)
            if cut is not None:
                yield moved_by(cut, (dx, dy))


def board_sheets(checked: Checked, paper: str = "a4") -> tuple[Sheet, ...]:
    """Return every loom at true size, cut into sheets, after an overview.

    Parameters
    ----------
    checked : Checked
    paper : str
        "a4" or "a3".

    Returns
    -------
    tuple of Sheet
        To be printed without scaling. A van without a loom of known lengths gets the overview alone.

    Raises
    ------
    KeyError
        There is no such paper.
    """
    return _Boards(checked, paper).sheets()


@dataclass(frozen=True)
class _Boards:
    checked: Checked
    paper: str

    @cached_property
    def looms(self) -> Looms:
        return Looms(self.checked.assessment)

    @cached_property
    def boards(self) -> tuple[tuple[str, str, Tiled], ...]:
        """Number and name of each loom whose lengths are known, and its board."""
        ends = Ends(self.checked.assessment)
        return tuple(
            (
                loom.id,
                loom.name,
                Tiled(Board(Picture(self.looms, loom, ends, (30.0, 358.0), 210.0)), self.paper),
            )
            for loom in self.looms.looms
            if loom.known
        )

    def sheets(self) -> tuple[Sheet, ...]:
        found = list(self._overview())
        for id, name, tiled in self.boards:
            found += [self._sheet(id, name, tiled, tile) for tile in tiled.tiles]
        return tuple(found)

    # --- overview ---------------------------------------------------------------------------------------

    def _overview(self) -> Iterator[Sheet]:
        wide, tall = PAPERS[self.paper]
        plan = self.checked.assessment.plan
        count = sum(len(tiled.tiles) for _, _, tiled in self.boards)
        says = (
            f"{count} sheets of {self.paper.upper()}, lying. Print without scaling, lay cross on cross "
            f"({OVERLAP:g} mm overlap), tape."
            if count
            else "No board: no loom whose lengths are known."
        )
        pages: list[list[Drawn]] = [[]]
        y, bottom = 54.0, tall - 12.0
        for id, name, tiled in self.boards:
            rows, tall_mm = tiled.count[0], tiled.size[1]
            block = 7.0 + self._scale(tiled) * (rows * (tall_mm - OVERLAP) + OVERLAP) + 7.0
            if y + block > bottom and y > 54.0:
                pages.append([])
                y = 54.0
            pages[-1] += self._map(id, name, tiled, y)
            y += block
        for line in self._left_out():
            for text in wrap(line, wide - 30.0, 3.0):
                if y + 6.0 > bottom:
                    pages.append([])
                    y = 54.0
                pages[-1].append(Text((15.0, y + 4.0), text, 3.0))
                y += 4.4
        for n, items in enumerate(pages, 1):
            title = f"{TITLE}: {plan.title}" + (f", overview {n} of {len(pages)}" if len(pages) > 1 else "")
            yield Sheet(
                width=wide,
                height=tall,
                title=title,
                description=f"Overview of {count} sheets for {len(self.boards)} looms of {plan.title}.",
                items=(*head(self.checked, 15.0, wide - 30.0, title, says), *items),
            )

    def _scale(self, tiled: Tiled) -> float:
        """Return mm on the overview for a mm of the board."""
        rows, columns = tiled.count
        wide, tall = tiled.size
        return min((PAPERS[self.paper][0] - 30.0) / (columns * wide), 52.0 / (rows * tall))

    def _map(self, id: str, name: str, tiled: Tiled, y: float) -> Iterator[Drawn]:
        box, scale = tiled.board.box, self._scale(tiled)
        size = f"board {box.width / 1000:.2f} m by {box.height / 1000:.2f} m, {len(tiled.tiles)} sheets"
        yield Text((15.0, y + 4.0), shorten(f"Loom {id}: {name}", 110.0, 3.6, 600), 3.6, 600)
        yield Text((PAPERS[self.paper][0] - 15.0, y + 4.0), size, 3.0, 400, "end", "grey")
        first = tiled.box_of(0, 0)
        left, top = 15.0, y + 7.0
        used = {(one.row, one.column) for one in tiled.tiles}
        rows, columns = tiled.count
        for row in range(rows):
            for column in range(columns):
                part = tiled.box_of(row, column)
                x, at = left + (part.left - first.left) * scale, top + (part.top - first.top) * scale
                wide, tall = part.width * scale, part.height * scale
                if (row, column) in used:
                    yield rectangle(x, at, wide, tall, pen=THIN, layer="frame")
                    name = f"{letter_of(row).upper()}{column + 1}"
                    yield Text((x + 1.0, at + tall - 1.2), name, 2.5, ink="grey", backed=True)
        for item in tiled.board.items:
            if isinstance(item, Wire) or (isinstance(item, Polyline) and item.layer == "places"):
                points = tuple(
                    (left + (px - first.left) * scale, top + (py - first.top) * scale)
                    for px, py in item.points
                )
                yield Polyline(points, THIN if isinstance(item, Wire) else FIELD, layer="wires")

    def _left_out(self) -> Iterator[str]:
        for loom in self.looms.looms:
            if not loom.known:
                paths = sorted({one.path for one in loom.tree.sections if not one.known})
                yield (
                    f"Loom {loom.id} ({loom.name}) has no board: nobody says how long these paths are: "
                    f"{', '.join(paths)}. Measure each by string and type its length, or give it coordinates."
                )
        short = [
            wire
            for loom in self.looms.looms
            if loom.known
            for wire in loom.tree.wires
            if (tail := self.looms.tail_m(wire, loom.tree)) is not None and tail < 0.05
        ]
        if short:
            yield (
                f"Measure before you cut: {', '.join(short)}: the typed length is shorter than the way; "
                "their ends are drawn 50 mm from the peg."
            )
        if not self.looms.looms:
            yield "No two wires are known to share a path: make them one by one, to their lengths."

    # --- tiles ------------------------------------------------------------------------------------------

    def _sheet(self, id: str, name: str, tiled: Tiled, tile: Tile) -> Sheet:
        wide, tall = PAPERS[self.paper]
        plan = self.checked.assessment.plan
        title = f"{plan.title}, loom {id}, sheet {tile.name}"
        return Sheet(
            width=wide,
            height=tall,
            title=title,
            description=f"{name} at true size, row {tile.row + 1}, column {tile.column + 1}.",
            items=(*tiled.items(tile), *self._around(tiled, tile, title)),
        )

    def _around(self, tiled: Tiled, tile: Tile, title: str) -> Iterator[Drawn]:
        """Yield white over what reaches beyond the sheet's part, the marks, and the strip of words."""
        wide, tall = PAPERS[self.paper]
        part_w, part_h = tiled.size
        right, bottom = _MARGIN + part_w, _MARGIN + part_h
        for x, y, w, h in (
            (0.0, 0.0, wide, _MARGIN),
            (0.0, bottom, wide, tall - bottom),
            (0.0, 0.0, _MARGIN, tall),
            (right, 0.0, wide - right, tall),
        ):
            yield rectangle(x, y, w, h, fill="paper", pen=None, layer="findings")
        yield rectangle(_MARGIN, _MARGIN, part_w, part_h, pen=THIN, layer="findings")
        half = OVERLAP / 2
        for x in (_MARGIN + half, right - half):
            for y in (_MARGIN + half, bottom - half):
                yield Polyline(((x - 4.0, y), (x + 4.0, y)), LEADER, layer="findings")
                yield Polyline(((x, y - 4.0), (x, y + 4.0)), LEADER, layer="findings")
                yield Circle((x, y), 1.5, None, LEADER, layer="findings")
        base = bottom + 8.0
        for item in check_line((_MARGIN, base)):
            yield replace(item, layer="findings")
        yield Text((right, base + 1.2), tile.name, 6.0, 600, "end", layer="findings")
        beside = self._beside(tiled, tile)
        room = part_w - 100.0 - 62.0 - 18.0
        yield Text(
            (right - 14.0, base - 1.0), shorten(title, room, 2.8, 600), 2.8, 600, "end", layer="findings"
        )
        yield Text(
            (right - 14.0, base + 3.0), shorten(beside, room, 2.6), 2.6, 400, "end", "grey", layer="findings"
        )

    def _beside(self, tiled: Tiled, tile: Tile) -> str:
        names = {(one.row, one.column): one.name for one in tiled.tiles}
        sides = (("left", 0, -1), ("right", 0, 1), ("above", -1, 0), ("below", 1, 0))
        told = [
            f"{words} {names[tile.row + down, tile.column + across]}"
            for words, down, across in sides
            if (tile.row + down, tile.column + across) in names
        ]
        return ", ".join(told)


__all__ = ["OVERLAP", "PAPERS", "Tile", "Tiled", "board_sheets"]
