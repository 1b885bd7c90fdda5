"""Labels at wires and signs of findings: each takes the best place that is still free.

`Paper` knows what is taken. A place is tried only if nothing comes nearer than the sheet's rules allow, so
what is placed here never lies on a line, a text or a sign.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice, pairwise

import numpy as np
from numpy.typing import NDArray

from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.ink import LEADER, Token
from loomwright.drawing.lettering import Weight, text_width_mm
from loomwright.drawing.scene import Drawn, Link, Polyline, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing_marks import strokes_of
from loomwright.drawing.symbols import FINDINGS
from loomwright.drawing.symbols_marks import Severity

_SQUARE = 8.0
#: Signs stand no further from the thing they mean, and have a leader beyond the second. [mm]
REACH, NEAR = 11.5, 3.9
#: A leader is no shorter, with its clear ends. [mm]
_SHORTEST = 2.0
#: What is left free around a sign. [mm]
_AROUND = 0.82
#: So many free places are tried for a leader.
_TRIED = 40


@dataclass(slots=True)
class Paper:
    """What is taken on the sheet, the field that may be taken; what is shown by the ids of things."""

    field_box: Box
    things: list[tuple[Box, str]] = field(default_factory=list)
    signs: list[Box] = field(default_factory=list)
    squares: defaultdict[tuple[int, int], list[tuple[Box, Link | None]]] = field(
        default_factory=lambda: defaultdict(list)
    )

    def take(self, items: Iterable[Drawn]) -> None:
        """Take the place of some items."""
        for item in items:
            for text in texts_of(item):
                self._put(text.box(), None)
            for stroke in strokes_of(0, item):
                self._put(stroke.box(), item.of if isinstance(item, Wire) else None)

    def block(self, boxes: Iterable[Box]) -> None:
        """Take whole boxes, the white in them too."""
        for box in boxes:
            self._put(box, None)

    def show(self, box: Box, id: str) -> None:
        """Note where a thing is shown; a sign beside it would be taken to mean it."""
        self.things.append((box, id))

    def shown(self, ids: Collection[str]) -> list[Box]:
        """Return where these things are shown."""
        return [box for box, id in self.things if id in ids]

    def means(self, sign: Box, own: Sequence[Box], ids: Collection[str]) -> bool:
        """Say whether a sign would be taken to mean these things: nothing else is nearer to its middle."""
        middle = box_of_points((sign.centre,), 0.0)
        nearest = min(box.gap(middle) for box in own)
        return all(box.gap(middle) > nearest - 0.005 for box, id in self.things if id not in ids)

    def _put(self, box: Box, of: Link | None) -> None:
        for square in _squares(box):
            self.squares[square].append((box, of))

    def near(self, box: Box) -> list[Box]:
        """Return what is taken in or near a box."""
        return list({other: None for square in _squares(box) for other, _ in self.squares[square]})

    def free(self, box: Box, gap: float, own: Link | None = None, own_gap: float = 0.3) -> bool:
        """Say whether a box is free: nothing within `gap`, its own wire within `own_gap`."""
        if not self.field_box.holds(box):
            return False
        for square in _squares(box.grown(gap)):
            for other, of in self.squares[square]:
                asked = own_gap if own is not None and of == own else gap
                if box.gap(other) < asked:
                    return False
        return True


def _squares(box: Box) -> Iterator[tuple[int, int]]:
    for x in range(int(box.left // _SQUARE), int(box.right // _SQUARE) + 1):
        for y in range(int(box.top // _SQUARE), int(box.bottom // _SQUARE) + 1):
            yield x, y


@dataclass(frozen=True, slots=True)
class Words:
    """One line of a label."""

    text: str
    weight: Weight = 400
    grey: bool = False


def place_label(paper: Paper, wire: Wire, lines: Sequence[Words], size: float) -> list[Drawn] | None:
    """Return a label's texts at the best free place along a wire, None if there is none."""
    lines = [line for line in lines if line.text]
    if not lines:
        return []
    for texts in _candidates(wire, lines, size):
        if all(paper.free(text.box(), 0.5, wire.of) for text in texts):
            paper.take(texts)
            return list(texts)
    return None


def _candidates(wire: Wire, lines: Sequence[Words], size: float) -> Iterator[list[Text]]:
    """Yield places for a label: above and below a level piece, on one side of it, beside an upright one."""
    half = wire.half_width
    level = [(a, b) for a, b in pairwise(wire.points) if a[1] == b[1] and a[0] != b[0]]
    upright = [(a, b) for a, b in pairwise(wire.points) if a[0] == b[0]]
    width = max(text_width_mm(line.text, size, line.weight) for line in lines)
    level.sort(key=lambda piece: -abs(piece[0][0] - piece[1][0]))
    pitch = size * 1.2
    for above in (1, len(lines), 0):
        for a, b in level:
            left, right = min(a[0], b[0]), max(a[0], b[0])
            room = right - left - width
            for share in (0.5, 0.3, 0.7, 0.1, 0.9, 0.0, 1.0):
                if room < 0.6:
                    continue
                x = left + 0.3 + share * (room - 0.6)
                yield _stack(
                    wire, lines, x, a[1] - half - 1.0, a[1] + half + 0.4 + size * 0.8, above, size, pitch
                )
    for a, b in upright:
        top, bottom = min(a[1], b[1]), max(a[1], b[1])
        for share in (0.5, 0.25, 0.75, 0.0, 1.0):
            first = top + size * 0.9 + share * max(0.0, bottom - top - pitch * len(lines) - 0.6)
            for x in (a[0] + half + 0.9, a[0] - half - 0.9 - width):
                yield _stack(wire, lines, x, first, first, 0, size, pitch)


def _stack(
    wire: Wire,
    lines: Sequence[Words],
    x: float,
    last_above: float,
    first_below: float,
    above: int,
    size: float,
    pitch: float,
) -> list[Text]:
    texts = []
    for place, line in enumerate(lines):
        y = (
            last_above - (above - 1 - place) * pitch
            if place < above
            else first_below + (place - above) * pitch
        )
        ink: Token = "grey" if line.grey else "ink"
        texts.append(Text((x, y), line.text, size, line.weight, ink=ink, of=wire.of))
    return texts


def place_sign(
    paper: Paper, number: int, severity: Severity, targets: Sequence[Box], ids: Collection[str]
) -> list[Drawn] | None:
    """Return a finding's sign at the nearest free place to one of its targets, with a leader if need be.

    Tried in turn: close by, where nothing else is nearer; near, with a level or upright leader, a slanting
    one. None if no place is left. `ids` are those of the things that it means.
    """
    link = Link("finding", str(number))
    sign = FINDINGS[severity]
    probe = Symbol(sign, (0.0, 0.0), values=(("number", str(number)),), layer="findings", of=link)
    extent = probe.box()
    own = paper.shown(ids)
    around = {target: _free_around(paper, target, extent) for target in targets}
    for at in (at for places in around.values() for at in places):
        box = extent.moved(at)
        if any(one.gap(box) <= NEAR for one in own) and paper.means(box, own, ids):
            return _taken(paper, replace(probe, at=at), [])
    for slanting in (False, True):
        for target, places in around.items():
            far = (at for at in places if extent.moved(at).gap(target) >= _SHORTEST)
            for at in islice(far, _TRIED):
                leader = _leader(paper, extent.moved(at), target, link, slanting=slanting)
                if leader is not None:
                    return _taken(paper, replace(probe, at=at), leader)
    return None


def _taken(paper: Paper, sign: Symbol, leader: list[Drawn]) -> list[Drawn]:
    paper.take((sign, *leader))
    paper.signs.append(sign.box())
    return [sign, *leader]


def _free_around(paper: Paper, target: Box, extent: Box) -> list[Point]:
    """Return the free places for a sign around a box, the nearest first."""
    places = np.array(list(_around(target, extent, REACH, 1.0)))
    boxes = np.array(extent) + places[:, [0, 1, 0, 1]]
    field = paper.field_box
    free = (boxes[:, :2] >= (field.left, field.top)).all(axis=1)
    free &= (boxes[:, 2:] <= (field.right, field.bottom)).all(axis=1)
    whole = Box(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)).grown(_AROUND)
    if taken := paper.near(whole):
        free &= ~_is_near(boxes, np.array(taken), _AROUND)
    return [(float(x), float(y)) for x, y in places[free]]


def _is_near(boxes: NDArray[np.float64], others: NDArray[np.float64], gap: float) -> NDArray[np.bool_]:
    """Return which boxes have less than a gap to any other, as `Box.gap` counts it. [mm]"""
    left, top, right, bottom = boxes.T[:, :, None]
    left_2, top_2, right_2, bottom_2 = others.T
    near = (left - right_2 < gap) & (left_2 - right < gap) & (top - bottom_2 < gap) & (top_2 - bottom < gap)
    one, other = np.nonzero(near)
    dx = np.maximum(boxes[one, 0], others[other, 0]) - np.minimum(boxes[one, 2], others[other, 2])
    dy = np.maximum(boxes[one, 1], others[other, 1]) - np.minimum(boxes[one, 3], others[other, 3])
    past_a_corner = (dx > 0) & (dy > 0) & (np.hypot(dx, dy) >= gap)
    found = np.zeros(len(boxes), dtype=np.bool_)
    found[one[~past_a_corner]] = True
    return found


def _leader(paper: Paper, box: Box, target: Box, link: Link, *, slanting: bool) -> list[Drawn] | None:
    """Return a leader; None if it would run over something or is too short to be one."""
    (x1, x2), (y1, y2) = (
        _ends(box.left, box.right, target.left, target.right),
        _ends(box.top, box.bottom, target.top, target.bottom),
    )
    begin, end = (x1, y1), (x2, y2)
    length = math.dist(begin, end)
    if length < _SHORTEST:
        return None
    if not slanting and begin[0] != end[0] and begin[1] != end[1]:
        return None
    ux, uy = (end[0] - begin[0]) / length, (end[1] - begin[1]) / length
    points = (
        (begin[0] + 0.5 * ux, begin[1] + 0.5 * uy),
        (end[0] - 0.5 * ux, end[1] - 0.5 * uy),
    )
    steps = max(1, int(length / 0.8))
    spots = [
        (
            points[0][0] + (points[1][0] - points[0][0]) * k / steps,
            points[0][1] + (points[1][1] - points[0][1]) * k / steps,
        )
        for k in range(steps + 1)
    ]
    pieces = [box_of_points(pair, 0.13) for pair in pairwise(spots)]
    around = box_of_points(points, 1.0)
    signs = [other for other in paper.signs if around.gap(other) <= 0.0]
    if not all(paper.free(piece, 0.2) and all(piece.gap(s) > 0.85 for s in signs) for piece in pieces):
        return None
    return [Polyline(points, LEADER, layer="findings", of=link)]


def _ends(low: float, high: float, other_low: float, other_high: float) -> tuple[float, float]:
    """Return where a leader leaves one range for another: amid what they share, else at their ends."""
    first, last = max(low, other_low), min(high, other_high)
    if first <= last:
        return (first + last) / 2, (first + last) / 2
    return (high, other_low) if high < other_low else (low, other_high)


def _around(target: Box, extent: Box, reach: float, step: float) -> Iterator[Point]:
    """Yield places around a box, the nearest first, from the top right corner on."""
    distance = 1.0
    while distance <= reach:
        left, right = target.left - distance - extent.right, target.right + distance - extent.left
        top, bottom = target.top - distance - extent.bottom, target.bottom + distance - extent.top
        yield from ((x, top) for x in _steps(target.right - extent.right, target.left - extent.left))
        yield from ((right, y) for y in _steps(target.top - extent.top, target.bottom - extent.bottom))
        yield from ((left, y) for y in _steps(target.top - extent.top, target.bottom - extent.bottom))
        yield from ((x, bottom) for x in _steps(target.right - extent.right, target.left - extent.left))
        yield from ((x, y) for x in (left, right) for y in (top, bottom))
        distance += step


def _steps(first: float, last: float) -> Iterator[float]:
    count = max(1, int(abs(last - first) / 2.0))
    for step in range(count + 1):
        yield first + (last - first) * step / count
