"""What sheets at true size share: the line by which a scaled print is found out, and the head."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.diagrams.common import danger_band, mains_notice
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import FIELD, THIN
from loomwright.drawing.lettering import shorten
from loomwright.drawing.scene import Drawn, Polyline, Text, rectangle
from loomwright.rules.check import Checked

#: Every true-size sheet has a line so long. [mm]
CHECK_MM = 100.0


def check_line(at: Point) -> Iterator[Drawn]:
    """Yield a line of 100 mm with a tick every 10, and its words."""
    x, y = at
    yield Polyline(((x, y), (x + CHECK_MM, y)), FIELD, layer="frame")
    for k in range(11):
        long = 1.6 if k % 5 == 0 else 0.9
        pen = FIELD if k % 5 == 0 else THIN
        yield Polyline(((x + 10.0 * k, y - long), (x + 10.0 * k, y + long)), pen, layer="frame")
    yield Text(
        (x + CHECK_MM + 2.5, y + 1.0), "100 mm on a true print: print without scaling", 2.8, ink="grey"
    )


def head(checked: Checked, left: float, width: float, title: str, says: str) -> Iterator[Drawn]:
    """Yield the bands of a van with dangers or mains, the title and a line of words, 48 mm tall in all."""
    danger, notice = danger_band(checked), mains_notice(checked.assessment)
    if danger:
        yield rectangle(left, 10.0, width, 9.0, fill="danger", pen=None, layer="frame")
        yield Text((left + 4.0, 15.9), danger, 4.0, 600, ink="on_danger")
    if notice:
        yield rectangle(left, 20.5, width, 6.5, layer="frame")
        yield Text((left + 4.0, 24.9), notice, 3.0, 600)
    yield Text((left, 34.0), shorten(title, width, 5.0, 600), 5.0, 600)
    yield Text((left, 40.0), shorten(says, width, 3.0), 3.0, ink="grey")
    yield from check_line((left, 46.0))


__all__ = ["CHECK_MM", "check_line", "head"]
