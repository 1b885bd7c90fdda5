"""Labels in a row above or below a view, each with a line to what it names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LEADER
from loomwright.drawing.lettering import shorten, wrap
from loomwright.drawing.scene import Drawn, Link, Polyline, Text

_NAME, _SECOND, _LINE, _GAP = 2.9, 2.6, 3.3, 1.6
#: So wide a label is at the most. [mm]
_WIDEST = 30.0
_LINES = 2
#: So far above or below the middle of a plan a label has no choice. [mm]
_CLEARLY = 6.0


@dataclass(frozen=True, slots=True)
class Label:
    """What a spot is called, what is there, and where it is on the sheet."""

    name: str
    says: str
    at: Point
    of: Link


#: How much a row of labels takes from the view outwards. [mm]
ROW_MM = _LINE * (1 + _LINES) + 3.0


def row(labels: Sequence[Label], left: float, right: float, edge: float, *, up: bool) -> Iterator[Drawn]:
    """Yield labels beside one another in the order of what they name, above or below an edge of a view.

    Parameters
    ----------
    labels : sequence of Label
    left, right : float
        The room that there is. [mm]
    edge : float
        Where the view ends. [mm]
    up : bool
        Above it, else below.
    """
    if not labels:
        return
    ordered = sorted(labels, key=lambda one: (one.at[0], one.at[1]))
    width = min(_WIDEST, (right - left) / len(ordered) - _GAP)
    middles = _spread([one.at[0] for one in ordered], width + _GAP, left, right)
    for one, x in zip(ordered, middles, strict=True):
        lines = wrap(one.says, width, _SECOND, most_lines=_LINES) if one.says else ()
        base = edge - 2.0 - _LINE * len(lines) if up else edge + 4.6
        yield Text((x, base), shorten(one.name, width, _NAME, 600), _NAME, 600, "middle", of=one.of)
        for n, line in enumerate(lines, 1):
            yield Text((x, base + _LINE * n), line, _SECOND, 400, "middle", "grey", of=one.of)
        yield Polyline(((x, edge - 0.8 if up else edge + 1.4), one.at), LEADER, layer="places")


def upper_of(labels: Sequence[Label], middle: float) -> list[Label]:
    """Return the labels that stand above a plan: the upper half, and what is clearly above. [mm]"""
    ordered = sorted(labels, key=lambda one: one.at[1])
    above = sum(one.at[1] < middle - _CLEARLY for one in ordered)
    below = sum(one.at[1] > middle + _CLEARLY for one in ordered)
    return ordered[: max(above, min(len(ordered) - below, len(ordered) // 2))]


def _spread(wanted: Sequence[float], pitch: float, left: float, right: float) -> list[float]:
    """Return where middles come to lie: in order, a pitch apart at the least, as near to wanted as can be."""
    at, low = [], left + pitch / 2.0
    for x in wanted:
        low = max(low, x)
        at.append(low)
        low += pitch
    high = right - pitch / 2.0
    for k in range(len(at) - 1, -1, -1):
        at[k] = min(at[k], high)
        high = at[k] - pitch
    return at


__all__ = ["ROW_MM", "Label", "row", "upper_of"]
