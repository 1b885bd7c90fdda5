"""Where each wire lies in each path, and which of its metres lies where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.assessment.loom import Loom
from loomwright.assessment.sizes import where_of
from loomwright.loom.lines import Point as Place
from loomwright.loom.nets import Stretch
from loomwright.plan.pieces import Piece


@dataclass(frozen=True, slots=True)
class Lie:
    """A wire in one path, or off all paths from one spot to another; then path is "".

    One that is `astray` has no way: it is drawn from end to end, as no wire can lie.

    Attributes
    ----------
    wire, path : str
    points : tuple of Place
        Its corners, in the order of the path. [m]
    at : tuple of float
        How far along the path each of them is. [m]
    metres : tuple of float
        How far along the wire. [m]
    """

    wire: str
    path: str
    points: tuple[Place, ...]
    at: tuple[float, ...]
    metres: tuple[float, ...]
    astray: bool = False

    def metre(self, at: float) -> float:
        """Return which metre of the wire is so far along the path. [m]"""
        return float(np.interp(at, self.at, self.metres))


def lies_of(loom: Loom) -> list[Lie]:
    """Return where each wire lies, from its beginning; its length is spread over its way."""
    pieces = {piece.id: piece for piece in loom.wiring.pieces()}
    return [lie for wire in loom.laid for lie in _lies_of(loom, pieces[wire])]


def _lies_of(loom: Loom, piece: Piece) -> Iterator[Lie]:
    wire = piece.id
    route = loom.laid[wire].route
    if route is None:
        yield from _astray(loom, piece)
        return
    if route.metres <= 0.0:
        return
    long = loom.wires[wire].length_m or route.metres
    metre = 0.0
    part: list[Stretch] = []
    begun = metre
    for step in (*route.stretches, None):
        if part and (step is None or not _goes_on(part[-1], step)):
            yield _lie(wire, part, begun, long / route.metres)
            part, begun = [], metre
        if step is not None:
            part.append(step)
            metre += step.metres


def _astray(loom: Loom, piece: Piece) -> Iterator[Lie]:
    """Give the straight line between the ends of a wire that has no way, if both are known."""
    ends = [where_of(loom.wiring, point) for point in (piece.a, piece.b)]
    if ends[0] is not None and ends[1] is not None and ends[0] != ends[1]:
        long = loom.wires[piece.id].length_m or 0.0
        yield Lie(piece.id, "", (ends[0], ends[1]), (0.0, long), (0.0, long), astray=True)


def _goes_on(one: Stretch, other: Stretch) -> bool:
    """Say whether a stretch lies on in the same path and the same way."""
    same = bool(one.path) and one.path == other.path and one.to_m == other.from_m
    return same and (one.to_m > one.from_m) == (other.to_m > other.from_m)


def _lie(wire: str, part: Sequence[Stretch], begun: float, share: float) -> Lie:
    points = [part[0].a, *(step.b for step in part)]
    at = [part[0].from_m, *(step.to_m for step in part)]
    metres = [begun * share]
    for step in part:
        metres.append(metres[-1] + step.metres * share)
    if at[0] > at[-1]:
        points, at, metres = points[::-1], at[::-1], metres[::-1]
    return Lie(wire, part[0].path, tuple(points), tuple(at), tuple(metres))


__all__ = ["Lie", "lies_of"]
