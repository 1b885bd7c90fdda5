"""What is kept of wires: ends that end on something, distances, crossings, bends; and a sheet's score.

For sheets with upright and level wires; on a sheet with free angles only the checks that say so apply.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.scene import Drawn, Polygon, Symbol, Wire
from loomwright.drawing.spacing import (
    SLACK,
    Violation,
    body,
    in_field,
    name_of,
    outside,
    place_on_contents,
    sign_on_anything,
    symbol_on_symbol,
    text_on_ink,
    text_on_text,
    texts_with_owner,
)
from loomwright.drawing.spacing_marks import Neighbours, Stroke, strokes_of
from loomwright.drawing.wires import SAME_POINT_MM, Crossing, Run, all_runs, crossings

#: Clear paper between outlines, between a wire and a sign that is not its own, and around a bend. [mm]
WIRE_TO_WIRE, WIRE_TO_SYMBOL, CROSSING_TO_BEND = 2.0, 1.5, 3.0
MOST_BENDS = 3
#: How far a wire may reach into the sign on whose terminal it ends: a terminal's radius. [mm]
_REACH_IN = 1.0
#: Two sums of the same heights may differ by so much where they are rounded to hundredths. [mm]
_ROUNDING = 0.001
#: Squares in which white paper is counted. [mm]
_SQUARE = 2.5


def _on(at: Point, a: Point, b: Point, within: float = SAME_POINT_MM) -> bool:
    """Say whether a point lies on the straight line from `a` to `b`."""
    return math.dist(a, at) + math.dist(at, b) - math.dist(a, b) <= within


def _terminals(symbol: Symbol) -> list[Point]:
    return [symbol.terminal(name) for name in symbol.sign.terminals]


def _touches(wire: Wire, symbol: Symbol) -> bool:
    """Say whether a symbol is the wire's own: at one of its ends, a dot on it, or a mark lying in it."""
    if symbol.of is not None and symbol.of == wire.of:
        return True
    if symbol.sign.name.startswith("joint"):
        return any(_on(symbol.at, a, b) for a, b in pairwise(wire.points))
    ends = (wire.points[0], wire.points[-1])
    return any(math.dist(end, at) <= SAME_POINT_MM for end in ends for at in _terminals(symbol))


def loose_ends(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return the ends of wires that end on no terminal, splice, rail, bar or stud. Free angles too."""
    points = {
        (round(x + dx, 2), round(y + dy, 2))
        for _, symbol in in_field(items)
        for x, y in _terminals(symbol)
        for dx in (-_ROUNDING, _ROUNDING)
        for dy in (-_ROUNDING, _ROUNDING)
    }
    rails = [
        stroke for i, item in enumerate(items) if item.layer == "rails" for stroke in strokes_of(i, item)
    ]
    found = []
    for item in items:
        if not isinstance(item, Wire):
            continue
        for end in (item.points[0], item.points[-1]):
            if (round(end[0], 2), round(end[1], 2)) in points or any(_on(end, r.a, r.b) for r in rails):
                continue
            found.append(Violation("loose end", end, name_of(item), 1.0, 0.0))
    return tuple(found)


def wire_and_symbol(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where a wire runs through a symbol, or nearer than 1.5 to one that is not its own."""
    symbols = in_field(items)
    boxes = [(order, box) for order, (_, symbol) in enumerate(symbols) for box in body(symbol)]
    near = Neighbours.of(box for _, box in boxes)
    found = []
    for index, wire in enumerate(items):
        if not isinstance(wire, Wire):
            continue
        worst: dict[int, float] = {}
        for stroke in strokes_of(index, wire):
            for hit in near.near(stroke.box(), WIRE_TO_SYMBOL):
                order, box = boxes[hit]
                distance = _distance_to(stroke, box, wire, symbols[order][1])
                worst[order] = min(distance, worst.get(order, distance))
        for order, distance in sorted(worst.items()):
            if distance < WIRE_TO_SYMBOL - SLACK:
                symbol = symbols[order][1]
                what = f"{name_of(wire)} and {name_of(symbol)}"
                found.append(Violation("wire and symbol", symbol.at, what, distance, WIRE_TO_SYMBOL))
    return tuple(found)


def _distance_to(stroke: Stroke, box: Box, wire: Wire, symbol: Symbol) -> float:
    """Return the distance that counts: to its own symbol only running through it does. [mm]"""
    if not _touches(wire, symbol):
        return stroke.distance(box)
    return 0.0 if _runs_through(stroke, box, symbol) else math.inf


def _runs_through(stroke: Stroke, box: Box, symbol: Symbol) -> bool:
    """Say whether a piece of wire passes a terminal, joins two of them, or goes deep into a shape."""
    if symbol.sign.name.startswith("joint") or not symbol.sign.terminals:
        return False
    met = [at for at in _terminals(symbol) if _on(at, stroke.a, stroke.b)]
    ends = [at for at in met if min(math.dist(at, stroke.a), math.dist(at, stroke.b)) <= SAME_POINT_MM]
    if len(met) > 1 or len(ends) < len(met):
        return True
    thin = Stroke(stroke.a, stroke.b, 0.0, stroke.item, stroke.of, stroke.layer)
    inner = box.grown(-_REACH_IN)
    return min(inner.width, inner.height) > 2.5 and thin.distance(inner) <= 0.0


def wire_through_edge(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where a wire passes the edge of a drawn box at no terminal. Outlines of places do not count."""
    terminals = [point for _, symbol in in_field(items) for point in _terminals(symbol)]
    edges = [
        run
        for index, item in enumerate(items)
        if isinstance(item, Polygon) and item.layer == "symbols" and item.pen
        for run in _edge_runs(index, item)
    ]
    wires = [run for run in _straight_runs(items) if isinstance(items[run.item], Wire)]
    found = []
    for edge in edges:
        for wire in wires:
            at = _meeting(edge, wire) if edge.level != wire.level else None
            if at and not any(math.dist(at, point) <= SAME_POINT_MM for point in terminals):
                what = f"{name_of(items[wire.item])} and the edge of {name_of(items[edge.item])}"
                found.append(Violation("wire through an edge", at, what, 0.0, 0.0))
    return tuple(found)


def _straight_runs(items: Sequence[Drawn]) -> list[Run]:
    return [run for run in all_runs(items) if run.level or run.a[0] == run.b[0]]


def _edge_runs(index: int, item: Polygon) -> Iterator[Run]:
    for a, b in pairwise((*item.points, item.points[0])):
        if a[0] == b[0] or a[1] == b[1]:
            yield Run(index, a, b, 0.0, 0.0)


def _meeting(one: Run, other: Run) -> Point | None:
    """Return where a level and an upright run meet, ends included."""
    level, upright = (one, other) if one.level else (other, one)
    left, right = sorted((level.a[0], level.b[0]))
    top, bottom = sorted((upright.a[1], upright.b[1]))
    at = (upright.a[0], level.a[1])
    return at if left <= at[0] <= right and top <= at[1] <= bottom else None


def parallel_wires(items: Sequence[Drawn], asked: float = WIRE_TO_WIRE) -> tuple[Violation, ...]:
    """Return where outlines of parallel wires or rails are nearer than asked (0.4 in a loom's trunk)."""
    runs = _straight_runs(items)
    near = Neighbours.of(_run_box(run) for run in runs)
    found = []
    for index, run in enumerate(runs):
        for other in near.near(near.boxes[index], asked - SLACK):
            theirs = runs[other]
            both_rails = not any(isinstance(items[r.item], Wire) for r in (run, theirs))
            if other <= index or run.level != theirs.level or run.item == theirs.item or both_rails:
                continue
            axis = 0 if run.level else 1
            shared = min(max(run.a[axis], run.b[axis]), max(theirs.a[axis], theirs.b[axis])) - max(
                min(run.a[axis], run.b[axis]), min(theirs.a[axis], theirs.b[axis])
            )
            if shared > SAME_POINT_MM:
                gap = abs(run.a[1 - axis] - theirs.a[1 - axis]) - run.half_width - theirs.half_width
                what = f"{name_of(items[run.item])} and {name_of(items[theirs.item])}"
                found.append(Violation("parallel wires", run.a, what, gap, asked))
    return tuple(found)


def _run_box(run: Run) -> Box:
    return Stroke(run.a, run.b, run.half_width, run.item, None, "wires").box()


def wire_crossings(items: Sequence[Drawn]) -> list[Crossing]:
    """Return where wires cross wires or rails."""
    found = crossings(all_runs(items))
    return [c for c in found if any(isinstance(items[run.item], Wire) for run in (c.level, c.upright))]


def crossing_faults(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return crossings within 3 of a bend or a dot, and crossings where neither wire is left open."""
    dots = [symbol.at for _, symbol in in_field(items) if symbol.sign.name.startswith("joint")]
    found = []
    for crossing in wire_crossings(items):
        wires = [items[run.item] for run in (crossing.level, crossing.upright)]
        what = " and ".join(name_of(wire) for wire in wires)
        bends = [point for wire in wires if isinstance(wire, Wire) for point in wire.points[1:-1]]
        nearest = min((math.dist(crossing.at, point) for point in (*bends, *dots)), default=math.inf)
        if nearest < CROSSING_TO_BEND - SLACK:
            found.append(Violation("crossing near a bend", crossing.at, what, nearest, CROSSING_TO_BEND))
        if not any(_open_at(items[run.item], run, crossing.at) for run in (crossing.level, crossing.upright)):
            found.append(Violation("crossing not left open", crossing.at, what, 0.0, 1.0))
    return tuple(found)


def _open_at(item: Drawn, run: Run, at: Point) -> bool:
    return isinstance(item, Wire) and any(start <= run.along(at) <= end for start, end in item.gaps)


def bend_faults(items: Sequence[Drawn], most: int = MOST_BENDS) -> tuple[Violation, ...]:
    """Return wires with slanting pieces or more bends than `most` (3; 4 where a relay is fed)."""
    found = []
    for wire in items:
        if isinstance(wire, Wire):
            bends = len(wire.points) - 2
            if bends > most:
                found.append(Violation("bends", wire.points[0], name_of(wire), bends, most))
            if any(a[0] != b[0] and a[1] != b[1] for a, b in pairwise(wire.points)):
                found.append(Violation("slanting wire", wire.points[0], name_of(wire), 1.0, 0.0))
    return tuple(found)


def wiring_violations(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return all that is wrong with the spacing of a sheet with upright and level wires."""
    checks = (
        text_on_text, text_on_ink, outside, symbol_on_symbol, sign_on_anything, place_on_contents,
        loose_ends, wire_and_symbol, wire_through_edge, parallel_wires, crossing_faults,
    )  # fmt: skip
    return (*(fault for check in checks for fault in check(items)), *bend_faults(items, MOST_BENDS + 1))


@dataclass(frozen=True, slots=True)
class Score:
    """How well a sheet is laid out; fewer is better but for `white`, the share of the field left white."""

    crossings: int
    bends: int
    most_bends: int
    overlaps: int
    white: float


def score(items: Sequence[Drawn], field: Box = FIELD_BOX) -> Score:
    """Return the measured layout of a sheet."""
    bends = [len(item.points) - 2 for item in items if isinstance(item, Wire)]
    overlaps = len(text_on_text(items)) + len(text_on_ink(items)) + len(symbol_on_symbol(items))
    return Score(
        len(wire_crossings(items)), sum(bends), max(bends, default=0), overlaps, _white(items, field)
    )


def _white(items: Sequence[Drawn], field: Box) -> float:
    """Return the share of squares of the field that no ink box touches."""
    boxes = [
        stroke.box()
        for i, item in enumerate(items)
        if item.layer != "frame"
        for stroke in strokes_of(i, item)
    ]
    boxes += [text.box() for _, text in texts_with_owner(items)]
    across, down = int(field.width // _SQUARE), int(field.height // _SQUARE)
    inked = {
        (x, y)
        for box in boxes
        for x in range(int((box.left - field.left) // _SQUARE), int((box.right - field.left) // _SQUARE) + 1)
        for y in range(int((box.top - field.top) // _SQUARE), int((box.bottom - field.top) // _SQUARE) + 1)
        if 0 <= x < across and 0 <= y < down
    }
    return 1.0 - len(inked) / (across * down)
