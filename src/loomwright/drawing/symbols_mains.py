"""Signs of the mains sheet: poles of breakers and RCDs, pins, sockets, the body. They lie in level lines.

One sign is one pole in one line; what opens together is joined by a dashed line. Protective earth has its own
sign among those of parts; the body of the van is another.

Source: drawn by us after IEC 60617 (from memory; check against a licensed copy).
"""

from functools import cache

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import MOVING_CONTACT, SYMBOL, Pen
from loomwright.drawing.scene import Arc, Circle, Polygon, Polyline, Shape, Sign, rectangle

#: From the middle of a pole to each of its ends. [mm]
POLE_HALF = 4.5
_ENDS = {"in": (-POLE_HALF, 0.0), "out": (POLE_HALF, 0.0)}
_IN, _OUT = (-2.5, 0.0), (2.5, 0.0)
#: Where the blade of an open pole is gripped by what joins the poles. [mm]
GRIP: Point = (0.0, -1.1)


def _contact(blade_to: Point = (-2.7, -2.2)) -> tuple[Shape, ...]:
    return (
        Polyline(((-POLE_HALF, 0.0), _IN)),
        Polyline((_OUT, (POLE_HALF, 0.0))),
        Polyline((_OUT, blade_to), MOVING_CONTACT),
    )


_CROSS = (
    Polyline(((-3.3, -0.8), (-1.7, 0.8)), SYMBOL),
    Polyline(((-3.3, 0.8), (-1.7, -0.8)), SYMBOL),
)
BREAKER_POLE = Sign("breaker_pole", "breaker, one pole", (*_contact(), *_CROSS), _ENDS)
CONTACT_POLE = Sign("contact_pole", "contact", _contact(), _ENDS)
CONTACT_POLE_SHUT = Sign("contact_pole_shut", "contact, at rest shut", _contact((-2.5, -0.35)), _ENDS)
PIN = Sign(
    "mains_pin",
    "inlet pin",
    (rectangle(-2.6, -0.8, 3.6, 1.6, fill="ink", pen=None), Polyline(((1.0, 0.0), (3.0, 0.0)))),
    {"out": (3.0, 0.0)},
)
SOCKET_CONTACT = Sign(
    "socket_contact",
    "socket",
    (Polyline(((-3.0, 0.0), (-1.4, 0.0))), Arc((0.4, 0.0), 1.8, 90.0, 180.0)),
    {"in": (-3.0, 0.0)},
)
WIRED_END = Sign("wired_end", "appliance", (Circle((0.0, 0.0), 0.9, "paper"),), {"in": (0.0, 0.0)})
#: Earth as the body of the van: three slanting strokes under a bar; never a protective conductor.
BODY_CONNECTION = Sign(
    "body_connection",
    "body of the van",
    (
        Polyline(((-3.0, 0.0), (3.0, 0.0)), Pen("ink", 0.7)),
        *(Polyline(((x, 0.0), (x - 1.5, 2.4))) for x in (-2.6, 0.2, 3.0)),
    ),
    {"at": (0.0, 0.0)},
)
ELECTRODE = Sign(
    "electrode",
    "earth of the pitch",
    tuple(
        Polyline(((-half, y), (half, y)), Pen("ink", 0.5)) for half, y in ((3.0, 0.0), (2.0, 1.3), (1.0, 2.6))
    ),
    {"at": (0.0, 0.0)},
)


@cache
def summing_ring(height: float = 8.0) -> Sign:
    """Return the ring of an RCD around lines that lie within a height, middle. [mm]"""
    half, wide = height / 2 + 1.6, 1.5
    turn = [(1.0, 0.0), (0.924, 0.383), (0.707, 0.707), (0.383, 0.924), (0.0, 1.0)]
    quarter = [*turn, *((-x, y) for x, y in reversed(turn[:-1]))]
    points = (*quarter, *((x, -y) for x, y in reversed(quarter[1:-1])))
    ring = tuple((wide * x, half * y) for x, y in points)
    return Sign(f"summing_ring_{height:g}", "ring of an RCD", (Polygon(ring, None, SYMBOL),), {})


SUMMING_RING = summing_ring()

__all__ = [
    "BODY_CONNECTION", "BREAKER_POLE", "CONTACT_POLE", "CONTACT_POLE_SHUT", "ELECTRODE", "GRIP", "PIN",
    "POLE_HALF", "SOCKET_CONTACT", "SUMMING_RING", "WIRED_END", "summing_ring",
]  # fmt: skip
