"""Sets the sign of each finding beside the thing it means, and tells where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.diagrams.common import Numbered
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import LEADER
from loomwright.drawing.scene import Link, Polyline, Symbol
from loomwright.drawing.symbols import FINDINGS

from .paint import Painter

#: Clear paper around a sign; how far it may stand from its thing without and with a leader. [mm]
_CLEAR, _NEAR, _FAR = 0.9, 4.0, 11.5
_STEP = 1.6


@dataclass(frozen=True, slots=True)
class _Target:
    """An edge that a sign may stand beside: a point of it, and the way away from the thing."""

    at: Point
    away: tuple[int, int]


def set_sign(painter: Painter, one: Numbered) -> Point | None:
    """Draw the sign of a finding on a sheet; return where, None if its thing is not on this sheet."""
    for targets in _targets(painter, one):
        at = _set_beside(painter, one, targets)
        if at is not None:
            return at
    return None


def _set_beside(painter: Painter, one: Numbered, targets: list[_Target]) -> Point | None:
    """Draw the sign at the nearest free place beside some edges."""
    sign = FINDINGS[one.finding.severity]
    box = sign.box()
    of = Link("finding", str(one.number))
    for distance in _distances():
        for target in targets:
            dx, dy = target.away
            reach = (box.width / 2 if dx else box.height / 2) + 0.8 + distance
            at = (target.at[0] + dx * reach, target.at[1] + dy * reach)
            room = box.moved(at).grown(_CLEAR)
            if not painter.canvas.is_free(room):
                continue
            if distance > _NEAR and not painter.canvas.is_free(_leader_room(target, at, box)):
                continue
            painter.canvas.add(
                [Symbol(sign, at, values=(("number", str(one.number)),), layer="findings", of=of)]
            )
            if distance > _NEAR:
                inner = (at[0] - dx * box.width / 2, at[1] - dy * box.height / 2)
                painter.canvas.add([Polyline((target.at, inner), LEADER, layer="findings", of=of)])
            return at
    return None


def _distances() -> Iterator[float]:
    distance = 0.4
    while distance <= _FAR:
        yield distance
        distance += _STEP


def _leader_room(target: _Target, at: Point, box: Box) -> Box:
    """Return the room of a leader, a little away from the thing it points at."""
    dx, dy = target.away
    start = (target.at[0] + dx * 1.6, target.at[1] + dy * 1.6)
    end = (at[0] - dx * (box.width / 2 + 1.0), at[1] - dy * (box.height / 2 + 1.0))
    xs, ys = sorted((start[0], end[0])), sorted((start[1], end[1]))
    return Box(xs[0], ys[0] - 0.1, xs[1], ys[1] + 0.1) if dx else Box(xs[0] - 0.1, ys[0], xs[1] + 0.1, ys[1])


def _targets(painter: Painter, one: Numbered) -> Iterator[list[_Target]]:
    """Yield the edges beside which the sign may stand, those of the thing itself before further ones."""
    fuse_first = "fuse" in one.finding.rule
    for id in one.ids:
        boxes = [mark for mark in painter.marks.parts if mark.id == id]
        if fuse_first:
            yield [t for mark in boxes if mark.kind == "fuse" for t in _around(mark.room)]
        wires = [mark for mark in painter.marks.wires if id in (mark.piece.id, mark.piece.run)]
        wires.sort(key=lambda mark: (mark.piece.id != id, mark.piece.is_return, mark.top - mark.bottom))
        for wire in wires[:3]:
            edges = ((wire.x + wire.half, 1), (wire.x - wire.half, -1))
            yield [_Target((x, y), (side, 0)) for y in _along(wire.top, wire.bottom) for x, side in edges]
        yield [t for mark in boxes if mark.kind != "fuse" for t in _around(mark.room)]


def _along(top: float, bottom: float) -> Iterator[float]:
    """Yield heights along a wire, from its middle outwards."""
    middle, step = (top + bottom) / 2, 2.0
    yield middle
    for k in range(1, int((bottom - top) / 2 / step)):
        yield middle + k * step
        yield middle - k * step


def _around(room: Box) -> Iterator[_Target]:
    x = room.centre[0]
    for share in (0.5, 0.25, 0.75):
        level = room.top + share * room.height
        yield _Target((room.right, level), (1, 0))
        yield _Target((room.left, level), (-1, 0))
    yield _Target((x, room.top), (0, -1))
    yield _Target((x, room.bottom), (0, 1))
