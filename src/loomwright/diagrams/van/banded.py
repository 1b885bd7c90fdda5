"""The bands of the van sheet as lines: one behind each section, and behind each wire off all paths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise

from loomwright.assessment.loom import Section
from loomwright.drawing.scene import Band, Link
from loomwright.loom.lines import Point as Place

from . import bands
from .lanes import beside
from .lies import Lie
from .lines import Lines
from .view import View

#: A band reaches so far beyond the wires in it. [mm]
_BEYOND, _BEYOND_ONE = 0.9, 0.6


class Banded:
    """What the bands behind the wires of a van say.

    Parameters
    ----------
    lines : Lines
    by : str
        "current", "drop", "opening", or "" for none.
    """

    def __init__(self, lines: Lines, by: bands.By) -> None:
        self._lines, self._by = lines, by

    @cached_property
    def sections(self) -> list[tuple[Section, float, float, bands.Said]]:
        """What is said of each section, from where to where along its path. [m]"""
        if not self._by:
            return []
        tell, job = bands.teller(self._lines.job, self._by), self._lines.job
        lies = {(lie.path, lie.wire): lie for lie in reversed(self._lines.lies) if lie.path}
        found = []
        for section in self._lines.loom.sections:
            here = [lies[section.path, wire] for wire in section.wires]
            cuts = {section.from_m, section.to_m}
            for lie in here:
                cuts |= set(_cuts(lie, section, bands.changes(job, self._by, lie.wire)))
            for a, b in pairwise(sorted(cuts)):
                said = bands.gravest([tell(lie.wire, lie.metre((a + b) / 2)) for lie in here])
                if said is not None and b - a > 1e-6:
                    found.append((section, a, b, said))
        return found

    @cached_property
    def said(self) -> dict[str, bands.Said]:
        """By path, the gravest that is said of it."""
        paths = {section.path: None for section, *_ in self.sections}
        grave = {
            path: bands.gravest([said for section, _, _, said in self.sections if section.path == path])
            for path in paths
        }
        return {path: said for path, said in grave.items() if said is not None}

    def lines(self, view: View) -> Iterator[tuple[Band, bands.Said]]:
        """Give the bands of a view: one for each section, and for each line off all paths."""
        small = self._lines.small(view)
        for section, a, b, said in self.sections:
            low, high = self._across(section)
            aside, half = small * (low + high) / 2, small * (high - low) / 2 + _BEYOND
            share = [(at - section.from_m) / section.metres if section.metres else 0.0 for at in (a, b)]
            for line, _ in view.cut(part_of(section.points, share[0], share[1])):
                points = beside(line, aside)
                if points:
                    yield Band(points, said.patterns, half, said.harmed, of=Link("wire", said.wire)), said
        if not self._by:
            return
        tell = bands.teller(self._lines.job, self._by)
        for lie, points, metres, core in self._lines.laid(view):
            said_here = None if lie.path else tell(lie.wire, sum(metres) / len(metres))
            if said_here is not None:
                half, of = core / 2 + _BEYOND_ONE, Link("wire", lie.wire)
                yield Band(points, said_here.patterns, half, said_here.harmed, of=of), said_here

    def _across(self, section: Section) -> tuple[float, float]:
        """Return from where to where across its path the wires of a section lie. [mm]"""
        lines, narrower = self._lines, self._lines.squeezed[section.path]
        lanes = [(lines.lanes[section.path, wire], lines.cores[wire] / 2) for wire in section.wires]
        low, high = min(at - half for at, half in lanes), max(at + half for at, half in lanes)
        return narrower * low, narrower * high


def middle_of(points: Sequence[Place]) -> Place | None:
    """Return the point half way along a line. [m]"""
    return part_of(points, 0.0, 0.5)[-1] if points else None


def part_of(points: Sequence[Place], start: float, end: float) -> list[Place]:
    """Return a part of a line in space, from one share of its length to another."""
    steps = [sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 for a, b in pairwise(points)]
    total, done = sum(steps), 0.0
    if total <= 0.0:
        return [points[0]]
    found: list[Place] = []
    for (a, b), step in zip(pairwise(points), steps, strict=True):
        low, high = max(start * total - done, 0.0), min(end * total - done, step)
        if high >= low and step > 0.0:
            ends = [tuple(p + (q - p) * far / step for p, q in zip(a, b, strict=True)) for far in (low, high)]
            found += [(x, y, z) for x, y, z in ends]
        done += step
    return [at for k, at in enumerate(found) if k == 0 or at != found[k - 1]] or [points[0]]


def _cuts(lie: Lie, section: Section, metres: Iterable[float]) -> Iterator[float]:
    """Give where along its path, within a section, a wire has some of its metres. [m]"""
    (first, last), (m, n) = (lie.at[0], lie.at[-1]), (lie.metres[0], lie.metres[-1])
    for metre in metres:
        if min(m, n) < metre < max(m, n):
            at = first + (last - first) * (metre - m) / (n - m)
            if section.from_m < at < section.to_m:
                yield at


__all__ = ["Banded", "middle_of", "part_of"]
