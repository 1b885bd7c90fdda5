"""Where wires usually run in a panel van or cabin of given size: sills, pillars, cant rails, ribs, floor.

Frame: x rearward from the back of the cab seats, y to the vehicle's right, z up from the load floor. [m]
The shares and distances are invented, within what such bodies usually have: a beginning, to be moved.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.source import Source

Point = tuple[float, float, float]

BODY_SOURCE = Source(work="common practice", place="where looms run in panel vans", checked="common practice")
#: From the skin to a wire behind the lining. [m]
_SKIN = 0.05
#: From the floor, or the roof, to the paths along it. [m]
_FLOOR, _ROOF = 0.05, 0.08
#: The cab: seat boxes, dash and bulkhead, before the load space. [m]
_SEAT: Point = (-0.40, 0.46, 0.15)
_DASH, _BULKHEAD, _ENGINE = (-0.95, 0.45, 0.60), (-1.10, 0.52, 0.35), (-1.75, 0.48, 0.40)
#: Across the floor, across the roof, and how far back, as a share of the length.
_ACROSS = (
    ("b_pillar_cross", "front_header", 0.0),
    ("cross_member", "ceiling_ribs", 0.5),
    ("rear_cross", "rear_header", 1.0),
)
#: Zones of those that do not lie in the living space.
ZONES: Mapping[str, str] = MappingProxyType({"bulkhead": "engine_bay", "cab_floor": "cab"})
#: Sides that stand before the name of a path of which there are two.
SIDES = ("left", "right")


@dataclass(frozen=True, slots=True)
class Shell:
    """The load space of a body: inner length, width and height. [m]"""

    long: float
    wide: float
    high: float


#: Bodies to begin with, by what people call them. Invented, within the usual ranges.
SHELLS: Mapping[str, Shell] = MappingProxyType(
    {
        "short van, low roof": Shell(2.50, 1.68, 1.30),
        "short van, high roof": Shell(2.50, 1.72, 1.80),
        "medium van, low roof": Shell(2.95, 1.76, 1.45),
        "medium van, high roof": Shell(3.10, 1.80, 1.90),
        "long van, low roof": Shell(3.55, 1.76, 1.50),
        "long van, high roof": Shell(3.65, 1.80, 1.95),
        "extra long van, high roof": Shell(4.30, 1.80, 2.10),
        "truck cabin": Shell(3.90, 2.05, 1.95),
    }
)


def usual_paths(shell: Shell) -> dict[str, tuple[Point, ...]]:
    """Return the usual paths of a body, by name; those of a side begin with it.

    Parameters
    ----------
    shell : Shell
        [m]

    Examples
    --------
    >>> usual_paths(SHELLS["short van, low roof"])["rear_header"][0]
    (2.45, -0.79, 1.22)
    """
    long, wide, top = shell.long, shell.wide / 2 - _SKIN, shell.high - _ROOF
    back, third = long - _SKIN, long / 2
    paths: dict[str, tuple[Point, ...]] = {}
    for side, y in zip(SIDES, (-1.0, 1.0), strict=True):
        paths |= {
            f"{side}_bulkhead": (_at(_ENGINE, y), _at(_BULKHEAD, y), _at(_DASH, y)),
            f"{side}_cab_floor": (
                _at(_BULKHEAD, y),
                (_SEAT[0], y * _SEAT[1], _FLOOR),
                (0.0, y * wide, _FLOOR),
            ),
            f"{side}_sill": (
                (_BULKHEAD[0], y * wide, _FLOOR),
                (0.0, y * wide, _FLOOR),
                (back, y * wide, _FLOOR),
            ),
            f"{side}_b_pillar": ((0.0, y * wide, _FLOOR), (0.0, y * wide, top)),
            f"{side}_c_pillar": ((third, y * wide, _FLOOR), (third, y * wide, top)),
            f"{side}_d_pillar": ((back, y * wide, _FLOOR), (back, y * wide, top)),
            f"{side}_roof_rail": ((0.0, y * wide, top), (back, y * wide, top)),
        }
    for floor, roof, x in _ACROSS:
        at = x * back
        paths[floor] = ((at, -wide, _FLOOR), (at, wide, _FLOOR))
        paths[roof] = ((at, -wide, top), (at, wide, top))
    return {name: tuple(_rounded(one) for one in line) for name, line in paths.items()}


def _at(point: Point, side: float) -> Point:
    return (point[0], side * point[1], point[2])


def _rounded(point: Point) -> Point:
    x, y, z = (round(value, 3) for value in point)
    return (x, y, z)


__all__ = ["BODY_SOURCE", "SHELLS", "ZONES", "Shell", "usual_paths"]
