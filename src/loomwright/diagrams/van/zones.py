"""Zones of a van as light hatches: each by its own stroke, and by its word in label and table."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import Pen
from loomwright.drawing.scene import Drawn, Polyline

#: The strokes of a zone around (0, 0). [mm]
_SLANT = (((-0.8, 0.8), (0.8, -0.8)),)
_CROSS = (*_SLANT, ((-0.8, -0.8), (0.8, 0.8)))
_WAVE = (((-1.0, 0.3), (-0.5, -0.3), (0.0, 0.3), (0.5, -0.3), (1.0, 0.3)),)
_CHEVRON = (((-0.4, -0.8), (0.4, 0.0), (-0.4, 0.8)),)
_ROOF = (((-0.8, 0.4), (0.0, -0.5), (0.8, 0.4)),)
_LEVEL = (((-0.8, 0.0), (0.8, 0.0)),)
_TWO = (((-0.8, -0.35), (0.8, -0.35)), ((-0.8, 0.35), (0.8, 0.35)))
_UPRIGHT = (((0.0, -0.8), (0.0, 0.8)),)
_PLUS = (*_LEVEL, *_UPRIGHT)
STROKES: dict[str, tuple[tuple[Point, ...], ...]] = {
    "cab": _LEVEL, "engine_bay": _SLANT, "hot": _SLANT, "flue": _SLANT, "wet": _WAVE, "moving": _CHEVRON,
    "gas_locker": _CROSS, "airbag": _CROSS, "roof_void": _ROOF, "underfloor": _TWO, "outside": _PLUS,
}  # fmt: skip
_PEN = Pen("rule", 0.18)
_STEP_MM, _HOLE_MM, _BESIDE_MM = 2.6, 2.9, 2.2
#: So far around a place its zone is hatched. [mm]
AROUND_MM = 6.2


def word(zone: str) -> str:
    """Return a zone in words."""
    return zone.replace("_", " ")


def told(zones: Iterable[str]) -> list[str]:
    """Return the zones that are hatched, in the order of the table."""
    known = set(zones)
    return [zone for zone in STROKES if zone in known]


def around(at: Point, zones: Sequence[str], within: Box) -> Iterator[Drawn]:
    """Yield the hatch around a place; of several zones stroke by stroke in turn."""
    if not zones:
        return
    rows = int(AROUND_MM / _STEP_MM)
    for row in range(-rows, rows + 1):
        for column in range(-rows, rows + 1):
            x = at[0] + _STEP_MM * (column + 0.5 * (row % 2))
            y = at[1] + _STEP_MM * row
            if _HOLE_MM < math.dist((x, y), at) < AROUND_MM and _within((x, y), within):
                yield from stroke(zones[(row + column) % len(zones)], (x, y))


def beside(points: Sequence[Point], zones: Sequence[str], off: float, within: Box) -> Iterator[Drawn]:
    """Yield the hatch on both sides of a path, `off` from its middle and a little more. [mm]"""
    count = 0
    for a, b in pairwise(points):
        long = math.dist(a, b)
        if long < _STEP_MM or not zones:
            continue
        along = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
        for k in range(int(long / (1.6 * _STEP_MM))):
            far = (k + 0.5) * 1.6 * _STEP_MM
            for side in (-1.0, 1.0):
                aside = side * (off + _BESIDE_MM)
                at = (a[0] + far * along[0] - aside * along[1], a[1] + far * along[1] + aside * along[0])
                if _within(at, within):
                    yield from stroke(zones[count % len(zones)], at)
                count += 1


def stroke(zone: str, at: Point) -> Iterator[Drawn]:
    """Yield the stroke of one zone at a spot."""
    for line in STROKES[zone]:
        yield Polyline(tuple((at[0] + x, at[1] + y) for x, y in line), _PEN, layer="frame")


def _within(at: Point, box: Box) -> bool:
    left, top, right, bottom = box
    return left + 1 < at[0] < right - 1 and top + 1 < at[1] < bottom - 1


__all__ = ["AROUND_MM", "STROKES", "around", "beside", "stroke", "told", "word"]
