"""Marks that say something about a drawing: signs of findings, the way of charging.

Shape and words carry the severity, so the sheet survives a copier without colours.
"""

from functools import cache
from types import MappingProxyType
from typing import Literal

from loomwright.drawing.ink import Pen
from loomwright.drawing.scene import Circle, Polygon, Sign, Slot, rectangle

Severity = Literal["danger", "fault", "watch", "note"]

_RING = Pen("ink", 0.5)
#: Edge of an arrowhead that is wider than its wire, and the core from which on it lies within. [mm]
_EDGE, _WIDE_CORE = Pen("ink", 0.25), 2.0
_OCTAGON = ((2.885, 1.195), (1.195, 2.885), (-1.195, 2.885), (-2.885, 1.195))
_OCTAGON_POINTS = (*_OCTAGON, *((-x, -y) for x, y in _OCTAGON))


def _number(ink: Literal["ink", "paper", "on_danger"], y: float = 0.0, size: float = 3.6) -> tuple[Slot, ...]:
    return (Slot("number", (0.0, y), "", size, 600, ink=ink),)


#: Severity -> its sign, in the order of weight; the sign's title is what the reader should do.
FINDINGS: MappingProxyType[Severity, Sign] = MappingProxyType({
    "danger": Sign(
        "danger", "do not energise",
        (Polygon(_OCTAGON_POINTS, "danger", Pen("danger_ring", 0.25)),), {}, _number("on_danger"),
    ),
    "fault": Sign(
        "fault", "fix before handover", (rectangle(-2.55, -2.55, 5.1, 5.1, fill="ink", pen=None),), {},
        _number("paper"),
    ),
    "watch": Sign(
        "watch", "watch",
        (Polygon(((0.0, -3.4), (3.31, 2.35), (-3.31, 2.35)), "paper", _RING),), {}, _number("ink", 0.75, 3.0),
    ),
    "note": Sign("note", "note", (Circle((0.0, 0.0), 2.5, "paper", _RING),), {}, _number("ink")),
})  # fmt: skip


@cache
def charging_way(core: float) -> Sign:
    """Return the paper-coloured arrowhead that lies in a wire of this core, pointing up. [mm]

    In a thin wire it is as wide as a medium one and has an edge in ink, or no eye would see it.
    """
    return _arrowhead("charging_way", "charging this way", core)


@cache
def feeding_way(core: float) -> Sign:
    """Return the same arrowhead for a feed that charges nothing. [mm]"""
    return _arrowhead("feeding_way", "feeds this way", core)


def _arrowhead(name: str, title: str, core: float) -> Sign:
    thin = core < _WIDE_CORE
    half = 0.42 * (_WIDE_CORE if thin else core)
    head = Polygon(((0.0, -1.4), (half, 1.4), (-half, 1.4)), "paper", _EDGE if thin else None)
    return Sign(f"{name}_{core:g}", title, (head,), {})
