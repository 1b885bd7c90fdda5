"""Every wire as lines of the sheet: side by side in its paths, off them straight from spot to spot."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from loomwright.assessment.loom import Loom
from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import core_width_mm
from loomwright.loom.lines import Point as Place

from .lanes import beside, lanes_of
from .lies import Lie, lies_of
from .view import View

#: Wires are drawn so much narrower than on the wiring sheet; off the paths, in small views narrower still.
_RATIO, _OFF_RATIO, _SMALLER = 0.7, 0.5, 0.6
#: A wire that has no way is drawn so thin. [mm]
_ASTRAY_CORE = 0.3
#: A bundle that would be wider is squeezed. [mm]
_WIDEST_MM = 16.0
#: From middle to middle of wires off all paths. [mm]
_OFF_PITCH = 0.7


class Lines:
    """Where the wires of a van lie on its sheet.

    Parameters
    ----------
    job : Assessment
    """

    def __init__(self, job: Assessment) -> None:
        self.job = job

    @property
    def loom(self) -> Loom:
        """Where its wires lie in the van."""
        return self.job.loom

    @cached_property
    def lies(self) -> list[Lie]:
        """Where each wire lies, in the order of the wires."""
        return lies_of(self.loom)

    @cached_property
    def cores(self) -> dict[str, float]:
        areas = {id: self.job.wires[id].area_mm2 or 1.0 for id in self.loom.laid}
        return {id: core_width_mm(area, _RATIO) for id, area in areas.items()}

    @cached_property
    def lanes(self) -> dict[tuple[str, str], float]:
        return lanes_of(self.loom, self.cores)

    @cached_property
    def squeezed(self) -> dict[str, float]:
        """By path, how much narrower its wires and lanes are drawn so that they find room."""
        paths = dict.fromkeys(path for path, _ in self.lanes)
        return {path: min(1.0, _WIDEST_MM / max(self._across(path), 1e-6)) for path in paths}

    @cached_property
    def _off_lanes(self) -> dict[tuple[str, tuple[Place, ...]], tuple[float, int]]:
        """By wire and ends of a line off all paths, its place among those that lie there."""
        known: dict[frozenset[Place], list[Lie]] = {}
        for lie in self.lies:
            if not lie.path:
                known.setdefault(frozenset(lie.points), []).append(lie)
        return {
            (lie.wire, lie.points): (n - (len(all_of) - 1) / 2, len(all_of))
            for all_of in known.values()
            for n, lie in enumerate(all_of)
        }

    def small(self, view: View) -> float:
        """Return by how much the wires of a view are narrower than those from above."""
        return 1.0 if view.look in ("plan", "rear") else _SMALLER

    def laid(self, view: View) -> Iterator[tuple[Lie, tuple[Point, ...], tuple[float, ...], float]]:
        """Give each line of each wire in a view: its corners, the metre of the wire at each, its width."""
        small = self.small(view)
        for lie in self.lies:
            core = self.cores[lie.wire] * small
            if lie.path:
                core *= self.squeezed[lie.path]
                aside = self.lanes[lie.path, lie.wire] * self.squeezed[lie.path] * small
            else:
                core = _ASTRAY_CORE if lie.astray else core * _OFF_RATIO
                place, _ = self._off_lanes[lie.wire, lie.points]
                first = min(lie.points) == lie.points[0]
                aside = place * _OFF_PITCH * small * (1.0 if first else -1.0)
            for line, metres in view.cut(lie.points, lie.metres):
                kept = [k for k in range(len(line)) if k == 0 or _apart(line[k], line[k - 1])]
                points = beside([line[k] for k in kept], aside)
                if len(points) == len(kept):
                    yield lie, points, tuple(metres[k] for k in kept), core

    def widest(self, path: str) -> float:
        """Return how wide the wires of a path are on the sheet. [mm]"""
        return self._across(path) * self.squeezed.get(path, 1.0)

    def _across(self, path: str) -> float:
        """Return how wide they would be. [mm]"""
        ends = [
            (at - self.cores[wire] / 2, at + self.cores[wire] / 2)
            for (id, wire), at in self.lanes.items()
            if id == path
        ]
        return max((high for _, high in ends), default=0.0) - min((low for low, _ in ends), default=0.0)


def _apart(one: Point, other: Point) -> bool:
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 > 0.05**2


__all__ = ["Lines"]
