"""The signs of findings on a loom sheet: near a wire that they are about, where there is room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from loomwright.diagrams.common import Numbered
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.ink import LEADER
from loomwright.drawing.scene import Circle, Drawn, Link, Polygon, Polyline, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing_marks import strokes_of
from loomwright.drawing.symbols import FINDINGS
from loomwright.drawing.taken import Taken

#: Half a sign with clear paper around it; further off it has a leader; so far at the most. [mm]
_HALF, _NEAR, _FAR = 4.4, 4.0, 12.0
_STEPS = tuple(
    sorted(
        ((float(x), float(y)) for x in range(-12, 13, 2) for y in range(-12, 13, 2)),
        key=lambda at: (at[0] ** 2 + at[1] ** 2, at),
    )
)


def with_signs(
    items: Sequence[Drawn], findings: Sequence[Numbered], done: Mapping[int, str]
) -> tuple[list[Drawn], dict[int, Point]]:
    """Return signs with their leaders, and where each stands, for findings about wires drawn on a sheet.

    Parameters
    ----------
    items : sequence of Drawn
        What is on the sheet already.
    findings : sequence of Numbered
    done : mapping of int to str
        Numbers that have their sign on another sheet.
    """
    taken, words = _taken(items), Taken()
    for item in items:
        for text in texts_of(item):
            words.add(text.box().grown(0.3))
    drawn: dict[str, list[Wire]] = {}
    flags: dict[str, list[Polygon]] = {}
    for one in items:
        if isinstance(one, Wire) and one.of is not None:
            drawn.setdefault(one.of.id, []).append(one)
        if isinstance(one, Polygon) and one.of is not None:
            flags.setdefault(one.of.id, []).append(one)
    found: list[Drawn] = []
    at: dict[int, Point] = {}
    for finding in findings:
        lines = [line for id in finding.ids for line in drawn.get(id, ())]
        labels = [flag for id in finding.ids for flag in flags.get(id, ())]
        spots = (spot for spot in _spots(lines, labels, taken) if not _over(words, *spot))
        spot = None if finding.number in done else next(spots, None)
        if spot is not None:
            on, middle = spot
            link = Link("finding", str(finding.number))
            number = (("number", str(finding.number)),)
            room = Box(middle[0] - _HALF, middle[1] - _HALF, middle[0] + _HALF, middle[1] + _HALF)
            taken.add(room)
            words.add(room)
            sign = FINDINGS[finding.finding.severity]
            found.append(Symbol(sign, middle, values=number, layer="findings", of=link))
            at[finding.number] = middle
            far = ((middle[0] - on[0]) ** 2 + (middle[1] - on[1]) ** 2) ** 0.5
            if far > _NEAR + 2.6:
                k = 3.6 / far
                start = (middle[0] + (on[0] - middle[0]) * k, middle[1] + (on[1] - middle[1]) * k)
                found.append(Polyline((start, on), LEADER, layer="findings", of=link))
                taken.add(box_of_points((start, on), 0.2))
    return found, at


def _taken(items: Sequence[Drawn]) -> Taken:
    taken = Taken()
    for index, item in enumerate(items):
        for stroke in strokes_of(index, item):
            taken.add(stroke.box())
        if isinstance(item, Text | Symbol | Circle):
            taken.add(item.box())
        if isinstance(item, Polygon) and item.fill is not None and item.layer != "frame":
            taken.add(item.box())
    return taken


def _spots(lines: Sequence[Wire], labels: Sequence[Polygon], taken: Taken) -> Iterator[tuple[Point, Point]]:
    """Yield a point of a wire and a free place near it: along its level pieces, then by its labels."""
    level = [
        (a, b) for line in lines for a, b in zip(line.points, line.points[1:], strict=False) if a[1] == b[1]
    ]
    for a, b in sorted(level, key=lambda pair: -abs(pair[1][0] - pair[0][0])):
        for share in (0.5, 0.3, 0.7, 0.1, 0.9):
            on = (a[0] + (b[0] - a[0]) * share, a[1])
            for dx, dy in _STEPS:
                at = on[0] + dx, on[1] + dy
                box = Box(at[0] - _HALF, at[1] - _HALF, at[0] + _HALF, at[1] + _HALF)
                if (
                    FIELD_BOX.holds(box)
                    and (dx * dx + dy * dy) ** 0.5 <= _FAR
                    and taken.in_the_way(box) is None
                ):
                    yield on, at
    for label in labels:
        edge = label.box()
        for x, side in ((edge.right + _HALF + 0.05, edge.right), (edge.left - _HALF - 0.05, edge.left)):
            y = edge.centre[1]
            room = Box(x - _HALF, y - _HALF, x + _HALF, y + _HALF)
            if FIELD_BOX.holds(room) and taken.in_the_way(room) is None:
                yield (side, y), (x, y)


def _over(words: Taken, on: Point, at: Point) -> bool:
    """Say whether a leader would run over words; a sign that stands near has none."""
    if ((on[0] - at[0]) ** 2 + (on[1] - at[1]) ** 2) ** 0.5 <= _NEAR + 2.6:
        return False
    steps = [(on[0] + (at[0] - on[0]) * k / 24, on[1] + (at[1] - on[1]) * k / 24) for k in range(25)]
    return any(words.in_the_way(Box(x - 0.3, y - 0.3, x + 0.3, y + 0.3)) is not None for x, y in steps)


__all__ = ["with_signs"]
