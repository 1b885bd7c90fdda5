"""Cables of control panels: their cores drawn one by one, the cable itself once, as a ring around them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.geometry import box_of_points
from loomwright.drawing.ink import LEADER
from loomwright.drawing.scene import Link, Polyline
from loomwright.plan.pieces import Piece

from .marks import CableMark, middle_of
from .spread import Placed, Put
from .strands import PortStep, WireStep

if TYPE_CHECKING:
    from .paint import Painter

#: Fewest cores that are drawn as a cable.
_FEWEST = 3
#: How far a ring reaches beyond its outer cores, half its height, from its middle to the unit. [mm]
_BEYOND, _HALF, _OFF = 3.6, 1.7, 3.6
#: From a ring up to its panel. [mm]
_CLEAR = 1.4
#: Straight steps in which a ring is drawn.
_STEPS = 48


def draw_cables(painter: Painter) -> None:
    """Draw a ring around the cores of each cable of a painted sheet."""
    runs: defaultdict[tuple[str, str, float, float], list[tuple[Placed, Put, Piece]]] = defaultdict(list)
    for placed, put, piece, panel in _cores(painter):
        figure = painter.job.wires.get(piece.id)
        if figure is not None and figure.area_mm2 is not None and figure.length_m:
            unit = next(step.unit for step in placed.strand.steps if isinstance(step, PortStep))
            runs[f"{panel}>{unit}", panel, figure.area_mm2, figure.length_m].append((placed, put, piece))
    for (_, panel, _, _), cores in runs.items():
        columns = sorted(placed.column for placed, _, _ in cores)
        together = columns[-1] - columns[0] == len(columns) - 1
        if len(cores) >= _FEWEST and together:
            _ring(painter, panel, columns, [put for _, put, _ in cores], [piece for _, _, piece in cores])


def _cores(painter: Painter) -> Iterator[tuple[Placed, Put, Piece, str]]:
    """Yield the wires that lead from a control panel straight to a port of a unit."""
    for placed in painter.leaf.strands:
        ends = (placed.strand.a, placed.strand.b)
        panels = [end.id for end in ends if end.kind == "block" and _is_panel(painter, end.id)]
        for here, there in pairwise(placed.puts):
            if not panels or not isinstance(there.step, PortStep) or not isinstance(here.step, WireStep):
                continue
            yield placed, here, here.step.piece, panels[0]


def _is_panel(painter: Painter, id: str) -> bool:
    return id in painter.parts and painter.parts[id].kind == "control_panel"


def _ring(painter: Painter, panel: str, columns: list[int], puts: list[Put], pieces: list[Piece]) -> None:
    """Draw a ring; where the cores are too short for one, the cable has its words alone."""
    left, right = middle_of(columns[0]) - _BEYOND, middle_of(columns[-1]) + _BEYOND
    x, y = (left + right) / 2, min(put.bottom for put in puts) - _OFF
    turns = (2 * math.pi * step / _STEPS for step in range(_STEPS + 1))
    points = tuple((x + (right - left) / 2 * math.cos(t), y + _HALF * math.sin(t)) for t in turns)
    if y - _HALF - _CLEAR > max(put.top for put in puts):
        painter.canvas.add([Polyline(points, LEADER, of=Link("part", panel))], solid=False)
        for a, b in pairwise(points):
            painter.canvas.block(box_of_points((a, b), 0.6))
    ids = tuple(piece.id for piece in pieces)
    painter.marks.cables.append(CableMark(panel, ids, Room(left, y - _HALF, right, y + _HALF)))
