"""Where each wire lies in each path, and which of its metres lies where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.assessment.loom import Loom
from loomwright.loom.lines import Point as Place
from loomwright.loom.nets import Stretch


@dataclass(frozen=True, slots=True)
class Lie:
    """A wire in one path, or off all paths from one spot to another; then path is "".

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

    def metre(self, at: float) -> float:
        """Return which metre of the wire is so far along the path. [m]"""
        return float(np.interp(at, self.at, self.metres))


def lies_of(loom: Loom, wire: str) -> Iterator[Lie]:
    """Give where a wire lies, from its beginning; its length is spread over its way."""
    route = loom.laid[wire].route
    if route is None or route.metres <= 0.0:
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
