"""Draws the outlines of fuse boxes with their free ways, and the frames of combined units."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.geometry import Point, box_of_points
from loomwright.drawing.ink import PLACE, PLANNED, UNIT
from loomwright.drawing.scene import Link, Polyline, Symbol, texts_of
from loomwright.drawing.symbols_parts import TERMINAL, WAY_FREE

from .marks import LEFT, RIGHT, PartMark, middle_of
from .spread import CLEAR, Placed
from .strands import FuseStep, WayStep
from .units import inside_of, unit_of

if TYPE_CHECKING:
    from .paint import Painter


#: From the middle of a column to the outline of a place; clear paper around that outline. [mm]
_PLACE_HALF, _PLACE_CLEAR = 8.65, 1.15
#: Least clear paper between that outline and a sign, within and without. [mm]
_OUTLINE_CLEAR = 1.0
#: Half the gap that the outline of a box leaves for a line that only passes it. [mm]
_OPEN = 3.4
#: From a bar close above a box to its outline. [mm]
_UNDER = 2.2
#: Marks of what takes room of its own.
_THINGS = ("part", "block", "fuse", "missing", "switch")

Span = tuple[float, float]


def draw_outlines(painter: Painter) -> None:
    """Draw what surrounds the things of a painted sheet."""
    _boxes(painter)
    _frames(painter)
    _places(painter)


def _places(painter: Painter) -> None:
    """Draw an outline around loads of one place that hang on one joint, side by side."""
    for id, columns in painter.leaf.met.items():
        if painter.hang.bars[id] != "joint" or not painter.hang.above[id] or len(columns) < 2:
            continue
        under = [p for p in painter.leaf.strands if p.strand.a.kind == "bar" and p.strand.a.id == id]
        loads = [mark for mark in painter.marks.parts if mark.kind == "part" and mark.column in columns]
        loads = [mark for mark in loads if mark.room.top >= painter.heights.bars[id]]
        places = {painter.parts[mark.id].place for mark in loads if mark.id in painter.parts}
        whole = len(under) == len(columns) == columns[-1] - columns[0] + 1
        whole = whole and id not in painter.leaf.after and id not in painter.leaf.before
        returns = [p.strand.b.kind == "bar" and not painter.hang.above[p.strand.b.id] for p in under]
        if len(places) != 1 or not whole or not all(returns):
            continue
        place = places.pop()
        if not place:
            continue
        foot = max(mark.room.bottom for mark in loads)
        if any(y < foot + 4.5 for bar, y in painter.heights.bars.items() if not painter.hang.above[bar]):
            continue
        left, right = middle_of(columns[0]) - _PLACE_HALF, middle_of(columns[-1]) + _PLACE_HALF
        room = Room(max(left, LEFT), painter.heights.bars[id] - 5.8, min(right, RIGHT), foot + 2.2)
        corners = ((room.left, room.top), (room.right, room.top), (room.right, room.bottom),
                   (room.left, room.bottom), (room.left, room.top))  # fmt: skip
        if not _is_clear(painter, room):
            continue
        painter.canvas.add([Polyline(corners, PLACE, layer="places", of=Link("place", place))], solid=False)
        for a, b in pairwise(corners):
            painter.canvas.block(box_of_points((a, b), _PLACE_CLEAR))
        painter.marks.places.append((place, room))


def _is_clear(painter: Painter, room: Room) -> bool:
    """Say whether the outline of a place meets no sign."""
    near, inner = room.grown(_OUTLINE_CLEAR), room.grown(-_OUTLINE_CLEAR)
    signs = (item for item in painter.canvas.items if isinstance(item, Symbol))
    boxes = (box for sign in signs for box in sign.shape_boxes())
    return all(inner.holds(box) or near.gap(box) > 0.0 for box in boxes)


def _boxes(painter: Painter) -> None:
    """Draw the free ways of each fuse box and the outline around it."""
    for id, kind in painter.hang.bars.items():
        if kind != "box" or id not in painter.leaf.met:
            continue
        box = id.partition("#")[0].removesuffix(".in")
        y = painter.heights.bars[id]
        tops = [m.room.top for m in painter.marks.parts if isinstance(m.step, FuseStep) and m.step.box == box]
        fuse = min((top for top in tops if top > y), default=y + 5.0)
        foot = max((p[1] for b, _, p, _ in painter.marks.ways if b == box), default=y + 20.0)
        foot = painter.heights.edges.get((unit_of(box), False), foot)
        for column, way in _free(painter, id):
            x, top = middle_of(column), _free_top(painter, id, column, fuse, foot)
            of = painter.link_of(f"{box}.{re.split('[–,]', way)[0]}")  # of several the first
            painter.canvas.add([
                Polyline(((x, y), (x, top)), PLANNED, of=of),
                Symbol(WAY_FREE, (x, top + 5.0), of=of),
                Polyline(((x, top + 10.0), (x, foot)), PLANNED, of=of),
                Symbol(TERMINAL, (x, foot), of=of),
            ])  # fmt: skip
            painter.marks.ways.append((box, free_way_name(painter, id, way), (x, foot), True))
            painter.marks.free.append((box, (x, top + 5.0)))
        _outline(painter, id, box, y, foot)


def _free_top(painter: Painter, bar_id: str, column: int, wished: float, foot: float) -> float:
    """Return where the fuse of a free way begins: level with the others, or lower, off a line across. [mm]"""
    spans, bars = painter.spans, painter.heights.bars
    across = [y for bar, y in bars.items() if bar != bar_id and spans[bar][0] < column < spans[bar][1]]
    tops = [wished + 2.0 * step for step in range(int(max(0.0, foot - wished - 12.0) / 2.0) + 1)]
    free = (top for top in tops if all(not top - CLEAR < y < top + 10.0 + CLEAR for y in across))
    return next(free, wished)


def _frames(painter: Painter) -> None:
    """Draw the frame of each unit around what stands in it, open where it goes on on another sheet."""
    inner: dict[str, list[Placed]] = {}
    for placed in painter.leaf.strands:
        units = {inside_of(put.step) for put in placed.puts} | {unit_of(placed.strand.a.id)}
        for unit in units - {None, ""}:
            inner.setdefault(str(unit), []).append(placed)
    for unit, strands in inner.items():
        columns = [placed.column for placed in strands]
        columns += [
            index
            for index, column in enumerate(painter.leaf.columns)
            if any(unit_of(box) == unit for box, _ in column.free_ways)
        ]
        left, right = middle_of(min(columns)) - 8.0, middle_of(max(columns)) + 8.0
        upper, lower = (painter.heights.edges.get((unit, edge)) for edge in (True, False))
        ys = [y for bar_id, y in painter.heights.bars.items() if unit_of(bar_id) == unit]
        ys += [y for id, (_, y) in painter.marks.pieces if unit_of(id) == unit]
        ys += [m.room.bottom for m in painter.marks.parts if unit_of(m.id) == unit]
        top = upper if upper else min([*ys, 200.0]) - 11.0
        foot = lower if lower else max([*ys, top]) + 9.0
        _frame(painter, unit, Room(max(left, LEFT), top, min(right, RIGHT), foot))


def _frame(painter: Painter, unit: str, room: Room) -> None:
    of = Link("part", unit)
    before = any(unit_of(bar_id) == unit for bar_id in painter.leaf.before)
    after = any(unit_of(bar_id) == unit for bar_id in painter.leaf.after)
    left, right = (LEFT if before else room.left), (RIGHT if after else room.right)
    strange = [m.room for m in painter.marks.parts if m.kind in _THINGS and unit_of(m.id) != unit]
    strange += _words(painter)
    edges = [*_level(room.top, (left, right), strange), *_level(room.bottom, (left, right), strange)]
    edges += [] if before else _upright(left, (room.top, room.bottom), strange)
    edges += [] if after else _upright(right, (room.top, room.bottom), strange)
    painter.canvas.add([Polyline(edge, UNIT, of=of) for edge in edges])
    painter.marks.units.append((unit, Room(left, room.top, right, room.bottom)))


def _free(painter: Painter, bar_id: str) -> Iterator[tuple[int, str]]:
    for index, column in enumerate(painter.leaf.columns):
        for box, way in column.free_ways:
            if box == bar_id:
                yield index, way


def free_way_name(painter: Painter, bar_id: str, way: str) -> str:
    """Return the number of a free way: in a unit that of the port it leads to."""
    box = bar_id.partition("#")[0].removesuffix(".in")
    return painter.words.port(f"{box}.{way}").removeprefix("way_") if unit_of(box) else way


def _outline(painter: Painter, bar_id: str, box: str, y: float, foot: float) -> None:
    if "/" in box:
        return
    xs = [middle_of(column) for column in painter.leaf.met[bar_id]]
    mains = [m for m in painter.marks.parts if m.kind == "fuse" and m.id == box]
    near = [level for bar, level in painter.heights.bars.items() if y - 12.0 < level < y - 4.0
            and painter.spans[bar][0] <= painter.leaf.met[bar_id][-1]
            and painter.spans[bar][1] >= painter.leaf.met[bar_id][0]]  # fmt: skip
    top = min([max([y - 9.5, *(level + _UNDER for level in near)]), *(mark.room.top - 4.0 for mark in mains)])
    left, right = max(LEFT, xs[0] - 8.2), min(RIGHT, xs[-1] + 8.2)
    opens_left, opens_right = painter.leaf.comes_from_edge(bar_id), painter.leaf.runs_to_edge(bar_id)
    left, right = (LEFT if opens_left else left), (RIGHT if opens_right else right)
    of = Link("part", box)
    strange = [m.room for m in painter.marks.parts if m.kind in _THINGS and not _is_of(m, box)]
    strange += _words(painter)
    edges = [*_upright(left, (top, foot), strange), *_upright(right, (top, foot), strange)]
    for y in (top, foot):
        passing = [middle_of(p.column) for p in _passing(painter, bar_id, box, y)]
        edges += _level(y, (left, right), strange, [(x - _OPEN, x + _OPEN) for x in passing])
    painter.canvas.add([Polyline(edge, PLACE, of=of) for edge in edges])
    painter.marks.outlines[box] = Room(left, top, right, foot)


def _passing(painter: Painter, bar_id: str, box: str, y: float) -> Iterator[Placed]:
    """Yield the lines that only pass a box, at the height of an edge of its outline."""
    for placed in painter.leaf.strands:
        if placed.top < y < placed.bottom and not _belongs(placed, bar_id, box):
            yield placed


def _level(
    y: float, between: Span, things: Iterable[Room], gaps: Iterable[Span] = ()
) -> list[tuple[Point, Point]]:
    """Return the pieces of a level edge, open where something stands that is not within it."""
    rooms = (thing.grown(_OUTLINE_CLEAR) for thing in things)
    met = [(room.left, room.right) for room in rooms if room.top < y < room.bottom]
    return [((a, y), (b, y)) for a, b in _without(between, [*met, *gaps])]


def _upright(x: float, between: Span, things: Iterable[Room]) -> list[tuple[Point, Point]]:
    """Return the pieces of an upright edge, open where something stands that is not within it."""
    rooms = (thing.grown(_OUTLINE_CLEAR) for thing in things)
    met = [(room.top, room.bottom) for room in rooms if room.left < x < room.right]
    return [((x, a), (x, b)) for a, b in _without(between, met)]


def _without(between: Span, gaps: Iterable[Span]) -> list[Span]:
    """Return what is left of a stretch."""
    at, end = between
    kept = []
    for first, last in sorted(gaps):
        if at < min(first, end):
            kept.append((at, min(first, end)))
        at = max(at, last)
    return [*kept, (at, end)] if at < end else kept


def _words(painter: Painter) -> Iterator[Room]:
    """Yield the rooms of the words that stand in and at signs."""
    for item in painter.canvas.items:
        for text in texts_of(item):
            yield text.box()


def _is_of(mark: PartMark, box: str) -> bool:
    """True for a fuse of a box."""
    return mark.id == box or (isinstance(mark.step, FuseStep) and mark.step.box == box)


def _belongs(placed: Placed, bar_id: str, box: str) -> bool:
    """True for a line that ends on the bar of a box, or has a way of it."""
    ends = (placed.strand.a.id, placed.strand.b.id)
    return bar_id in ends or any(
        isinstance(step, WayStep | FuseStep) and step.box == box for step in placed.strand.steps
    )
