"""Signs of the van sheet: holes, and the findings beside the thing they mean."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from loomwright.diagrams.common import Numbered
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import LEADER, Pen
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Sign, Symbol
from loomwright.drawing.symbols import FINDINGS

from .paper import Paper

HOLE = Sign(
    "hole",
    "hole with grommet",
    (
        Circle((0.0, 0.0), 1.5, None, Pen("ink", 0.5)),
        Polyline(((-2.3, 0.0), (2.3, 0.0)), Pen("ink", 0.25)),
        Polyline(((0.0, -2.3), (0.0, 2.3)), Pen("ink", 0.25)),
    ),
    {"at": (0.0, 0.0)},
)
#: From a thing to its sign, and from where on a line leads to it. [mm]
_DISTANCES = (2.6, 3.6, 4.6, 6.0, 8.0, 10.0)
_NEAR, _CLEAR = 4.0, 0.9


def set_signs(
    paper: Paper, findings: tuple[Numbered, ...], spots: Mapping[str, Point]
) -> Iterator[tuple[int, Point, list[Drawn]]]:
    """Give of each finding that has a spot on the sheet its number, where its sign stands, and what is drawn.

    Parameters
    ----------
    paper : Paper
        Gets the signs.
    findings : tuple of Numbered
        Gravest first.
    spots : mapping of str to Point
        By id of a part, stud, place or wire, where it is; its place serves what is none of them. [mm]
    """
    for one in findings:
        names = (*one.ids, *one.finding.place.split(", "))
        at = next((spots[name] for name in names if name in spots), None)
        if at is None:
            continue
        sign = FINDINGS[one.finding.severity]
        box = sign.box().grown(_CLEAR)
        middle = paper.near(at, box.width, box.height, _DISTANCES)
        if middle is None:
            continue
        of = Link("finding", str(one.number))
        x, y = middle[0] - box.centre[0], middle[1] - box.centre[1]
        drawn: list[Drawn] = [
            Symbol(sign, (x, y), values=(("number", str(one.number)),), layer="findings", of=of)
        ]
        if _gap(at, sign.box().moved((x, y))) > _NEAR:
            drawn.append(Polyline((at, middle), LEADER, layer="places"))
        paper.add(drawn)
        yield one.number, (x, y), drawn


def _gap(at: Point, box: Box) -> float:
    left, top, right, bottom = box
    dx, dy = max(left - at[0], 0.0, at[0] - right), max(top - at[1], 0.0, at[1] - bottom)
    return float((dx * dx + dy * dy) ** 0.5)


__all__ = ["HOLE", "set_signs"]
