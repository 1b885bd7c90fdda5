"""Draws what reaches over several columns, and what the plan has no wire for, and marks where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.ink import PLANNED, WIRE_OUTLINE_MM
from loomwright.drawing.scene import Link, Polyline, Symbol, Wire, rectangle

from .boxes import CONTACT_KINDS, Box, Slot
from .boxes_contacts import Pair, common_end, draw_pair
from .boxes_draw import draw_box
from .marks import PartMark, WireMark, middle_of
from .spread import Placed
from .stage import LOAD_FOOT
from .strands import End, WireStep

if TYPE_CHECKING:
    from .paint import Painter

#: Width and height of a part without wires. [mm]
_UNWIRED = (14.0, 17.0)
#: How far left of its middle the words of a two-way switch begin, and of the last one: travellers have theirs
#: between. [mm]
_ASIDE = (6.4, 1.0)


def paint_pair(painter: Painter, id: str) -> Pair:
    """Draw a chain of two-way switches with its travellers."""
    block = painter.hang.net.blocks[id]
    xs = tuple(middle_of(column) for column in painter.block_columns[id])
    members = {one: painter.parts[one] for one in block.members}
    levels: dict[str, dict[str, int]] = {one: {} for one in members}
    for number, piece in enumerate(block.travellers):
        for point in (piece.a, piece.b):
            switch, _, terminal = point.rpartition(".")
            levels[switch][terminal] = number % 2  # UPPER, LOWER
    wires = []
    for piece in block.travellers:
        core, colours = painter.style(piece)
        wires.append(Wire(((0.0, 0.0), (1.0, 0.0)), core, colours, of=Link("wire", piece.id)))
    pair = draw_pair(members, xs, painter.heights.blocks[id], tuple(wires), levels)
    painter.canvas.add(pair.items)
    for item in pair.items:
        if isinstance(item, Wire) and item.of is not None:
            piece = next(p for p in block.travellers if p.id == item.of.id)
            (x, y), _ = item.points
            over = y < pair.first[1]
            painter.marks.wires.append(WireMark(piece, x + 3.8, y, y, item.half_width, over))
        elif isinstance(item, Symbol) and item.of is not None:
            (x, y), last = item.at, item.at[0] + 5.0 == pair.last[0]
            room = Room(x - (_ASIDE[1] if last else _ASIDE[0]), y - 7.0, x + 5.0, y + 3.4)
            painter.marks.parts.append(PartMark(item.of.id, "switch", room, painter.block_columns[id][0]))
    return pair


def paint_unwired(painter: Painter, index: int, id: str) -> None:
    """Draw a part that the plan has no wire for: dashed, where a load would stand."""
    of, x, top = Link("part", id), middle_of(index), LOAD_FOOT - _UNWIRED[1]
    left, width = x - _UNWIRED[0] / 2, _UNWIRED[0]
    painter.canvas.add([
        rectangle(left, top, width, _UNWIRED[1], pen=PLANNED, of=of),
        Polyline(((x, top - 22.0), (x, top)), PLANNED, of=of),
        Polyline(((x, LOAD_FOOT), (x, LOAD_FOOT + 22.0)), PLANNED, of=of),
    ])  # fmt: skip
    room = Room(left, top, left + width, LOAD_FOOT)
    painter.marks.parts.append(PartMark(id, "unwired", room, index))


def _half_at(painter: Painter, placed: Placed, end: End) -> float:
    """Return half the width of the wire with which a line ends on a block. [mm]"""
    step = placed.puts[0 if end == placed.strand.a else -1].step
    if not isinstance(step, WireStep):
        return 0.0
    core, colours = painter.style(step.piece)
    return core / 2 + (WIRE_OUTLINE_MM if colours else 0.0)


def paint_block(painter: Painter, id: str) -> None:
    """Draw a box, contact or panel across its columns."""
    columns = painter.block_columns[id]
    part, top = painter.parts[id], painter.heights.blocks[id]
    met = {
        (end.terminal, end.slot): (placed.column, _half_at(painter, placed, end))
        for placed in painter.leaf.strands
        for end in (placed.strand.a, placed.strand.b)
        if end.id == id
    }
    upper, lower = painter.hang.edges[id]

    def slots(edge: tuple[tuple[str, int], ...]) -> tuple[Slot, ...]:
        found = [(*met[end], end[0]) for end in edge if end in met]
        return tuple(Slot(terminal, middle_of(column), half) for column, half, terminal in sorted(found))

    box = Box(
        id, part, tuple(middle_of(column) for column in columns), slots(upper), slots(lower),
        painter.words.id(id), painter.words.box_lines(id), painter.relay_box(id),
        painter.words.box_volts(id),
    )  # fmt: skip
    height = painter.block_height_of(id)
    painter.canvas.add(draw_box(box, top, height))
    room, column = Room(box.xs[0] - 7.2, top, box.xs[-1] + 7.2, top + height), columns[0]
    if part.kind in CONTACT_KINDS and not box.relay_box:  # only the contact itself takes room
        x, y = common_end(box, top, height)
        half = 2.5 * max(len(box.upper), len(box.lower), 2)
        head = y if y == top else y - 10.0
        room = Room(x - half, head, x + half, head + 10.0)
        column = next((one for one in columns if abs(middle_of(one) - x) < 0.01), column)
    elif part.kind != "solar_panel":
        painter.canvas.block(room)
    painter.marks.parts.append(PartMark(id, "block", room, column))
