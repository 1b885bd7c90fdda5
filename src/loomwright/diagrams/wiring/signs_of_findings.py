"""Sets the sign of each finding beside the thing it means, and tells where it stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from loomwright.diagrams.common import Numbered
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import LEADER
from loomwright.drawing.scene import Link, Polyline, Symbol
from loomwright.drawing.symbols import FINDINGS

from .canvas import Canvas
from .marks import PartMark, WireMark
from .paint import Painter

#: Clear paper around a sign; how far it may stand from its thing without and with a leader. [mm]
_CLEAR, _NEAR, _FAR = 0.9, 4.0, 11.5
_STEP = 1.6
#: Room to spare on the far side of a sign. [mm]
_BEYOND = 2.0
#: From a leader to the room that another sign or text keeps free anyway. [mm]
_LEADER_CLEAR = 0.4


class _Edge(NamedTuple):
    """An edge that a sign may stand beside: the points of it to try, and the way away from the thing.

    An upright edge has one x, a level edge one point.
    """

    points: Sequence[Point]
    away: tuple[int, int]


#: Both sides of a thing, or its top or foot alone: of two sides the first serves if both are as good.
_Edges = tuple[_Edge, ...]


class _Lane(NamedTuple):
    """The room of a sign with its middle on an edge: its left, its top at each point, half its depth. [mm]"""

    edge: _Edge
    left: float
    tops: list[float]
    half: float


class SignSetter:
    """Sets signs on one painted sheet."""

    def __init__(self, painter: Painter) -> None:
        self.canvas = painter.canvas
        self.parts: defaultdict[str, list[PartMark]] = defaultdict(list)
        for part in painter.marks.parts:
            self.parts[part.id].append(part)
        self.wires: defaultdict[str, list[WireMark]] = defaultdict(list)
        for wire in painter.marks.wires:
            for id in {wire.piece.id, wire.piece.run}:
                self.wires[id].append(wire)

    def set(self, one: Numbered) -> Point | None:
        """Draw the sign of a finding; return where, None if its thing is not on this sheet."""
        for sides in self._sides(one):
            at = _set_beside(self.canvas, one, sides)
            if at is not None:
                return at
        return None

    def _sides(self, one: Numbered) -> Iterator[list[_Edges]]:
        """Yield what the sign may stand beside, the thing itself before further ones."""
        rule = one.finding.rule
        first = "missing" if rule == "missing_fuse" else "fuse" if "fuse" in rule else ""
        for id in one.ids:
            parts = self.parts.get(id, ())
            if first:
                yield [edges for mark in parts if mark.kind == first for edges in _around(mark.room)]
            wires = sorted(
                self.wires.get(id, ()),
                key=lambda mark: (mark.piece.id != id, mark.piece.is_return, mark.top - mark.bottom),
            )
            for wire in wires[:3]:
                yield [_flanks(wire.x - wire.half, wire.x + wire.half, _along(wire.top, wire.bottom))]
            others = [mark for mark in parts if mark.kind not in ("fuse", "missing")]
            yield [edges for mark in others for edges in _around(mark.room)]


def _set_beside(canvas: Canvas, one: Numbered, sides: Sequence[_Edges]) -> Point | None:
    """Draw the sign at the nearest free place beside some edges."""
    if not sides:
        return None
    sign = FINDINGS[one.finding.severity]
    box = sign.box()
    of = Link("finding", str(one.number))
    room = box.grown(_CLEAR)
    lanes = [[_lane(edge, room) for edge in edges] for edges in sides]
    for distance, beyond in _distances():
        for pair in lanes:
            found = _place(canvas, box, pair, distance, beyond)
            if found is None:
                continue
            at, point, (dx, dy) = found
            number = (("number", str(one.number)),)
            canvas.add([Symbol(sign, at, values=number, layer="findings", of=of)])
            if distance > _NEAR:
                inner = (at[0] - dx * box.width / 2, at[1] - dy * box.height / 2)
                canvas.add([Polyline((point, inner), LEADER, layer="findings", of=of)])
            return at
    return None


def _lane(edge: _Edge, room: Box) -> _Lane:
    half = (room.width if edge.away[0] else room.height) / 2 - _CLEAR
    return _Lane(edge, edge.points[0][0] + room.left, [y + room.top for _, y in edge.points], half)


def _place(
    canvas: Canvas, box: Box, lanes: Sequence[_Lane], distance: float, beyond: float
) -> tuple[Point, Point, tuple[int, int]] | None:
    """Return the first free place beside edges: the middle of the sign, the point it means, the way to it.

    `beyond` is kept free on its far side, or a reader may take it for the sign of what stands there.
    """
    found = None
    width, height = box.width + 2 * _CLEAR, box.height + 2 * _CLEAR
    best: int | None = None
    for edge, left, tops, half in lanes:
        dx, dy = edge.away
        reach = half + 0.8 + distance
        left += dx * reach
        far_left, far_right = left - beyond * (dx < 0), left + width + beyond * (dx > 0)
        if dx and canvas.is_shut(far_left, far_right, height, (min(tops), max(tops))):
            continue
        tops = [top + dy * reach for top in tops[:best]]  # on the other side, only a better point will do
        for top in canvas.free_heights(far_left, far_right, height, tops):
            index = tops.index(top)
            x, y = point = edge.points[index]
            at = (x + dx * reach, y + dy * reach)
            if distance <= _NEAR or canvas.is_free(_leader_room(point, edge.away, at, box)):
                found, best = (at, point, edge.away), index
                break
    return found


def _distances() -> Iterator[tuple[float, float]]:
    """Yield how far off a sign may stand and how much stays free beyond it: first some, then none. [mm]"""
    for most, beyond in ((_NEAR, _BEYOND), (_FAR, 0.0)):
        distance = 0.4
        while distance <= most:
            yield distance, beyond
            distance += _STEP


def _leader_room(point: Point, away: tuple[int, int], at: Point, box: Box) -> Box:
    """Return the room of a leader, a little away from the thing it points at."""
    dx, dy = away
    start = (point[0] + dx * 1.6, point[1] + dy * 1.6)
    end = (at[0] - dx * (box.width / 2 + 1.0), at[1] - dy * (box.height / 2 + 1.0))
    xs, ys = sorted((start[0], end[0])), sorted((start[1], end[1]))
    beside = _LEADER_CLEAR
    if dx:
        return Box(xs[0], ys[0] - beside, xs[1], ys[1] + beside)
    return Box(xs[0] - beside, ys[0], xs[1] + beside, ys[1])


def _along(top: float, bottom: float) -> list[float]:
    """Return heights along a wire, from its middle outwards."""
    middle, step = (top + bottom) / 2, 2.0
    heights = [middle]
    for k in range(1, int((bottom - top) / 2 / step)):
        heights += [middle + k * step, middle - k * step]
    return heights


def _flanks(left: float, right: float, heights: Sequence[float]) -> _Edges:
    """Return the sides of an upright thing, the right one first."""
    return (
        _Edge([(right, height) for height in heights], (1, 0)),
        _Edge([(left, height) for height in heights], (-1, 0)),
    )


def _around(room: Box) -> Iterator[_Edges]:
    """Yield the sides of a thing, then its top, then its foot."""
    x = room.centre[0]
    yield _flanks(room.left, room.right, [room.top + share * room.height for share in (0.5, 0.25, 0.75)])
    yield (_Edge([(x, room.top)], (0, -1)),)
    yield (_Edge([(x, room.bottom)], (0, 1)),)
