"""Signs of the ends of wires on a loom: ring, blade, ferrule, pin, bare. The wire comes from the left.

Source: drawn by us; what they show is common practice.
"""

from loomwright.drawing.ink import SYMBOL, THIN, Pen
from loomwright.drawing.scene import Circle, Polygon, Polyline, Shape, Sign, rectangle

#: So long every sign is: whatever an end is, its label stands in line with the others. [mm]
END_MM = 5.0
_AT = {"wire": (0.0, 0.0)}
_FINE = Pen("ink", 0.25)


def _barrel(length: float, half: float = 0.7) -> tuple[Shape, ...]:
    """Return what is crimped: a barrel with the two nicks of the tool."""
    nicks = (length * 0.35, length * 0.65)
    return (
        rectangle(0.0, -half, length, 2 * half, fill="tint", pen=_FINE),
        *(Polyline(((x, -half), (x, half)), THIN) for x in nicks),
    )


RING = Sign(
    "end_ring",
    "ring",
    (*_barrel(1.9), Circle((3.4, 0.0), 1.45, "tint", SYMBOL), Circle((3.4, 0.0), 0.7, "paper", _FINE)),
    _AT,
)
BLADE = Sign(
    "end_blade",
    "receptacle",
    (
        *_barrel(1.9),
        rectangle(1.9, -1.3, 2.9, 2.6, fill="tint"),
        Polyline(((2.6, 0.0), (4.8, 0.0)), _FINE),
    ),
    _AT,
)
FERRULE = Sign(
    "end_ferrule",
    "ferrule",
    (*_barrel(2.0, 1.0), rectangle(2.0, -0.5, 2.8, 1.0, fill="tint", pen=_FINE)),
    _AT,
)
PIN = Sign(
    "end_pin",
    "plug pin",
    (*_barrel(2.0), Polygon(((2.0, -0.6), (3.9, -0.6), (4.8, 0.0), (3.9, 0.6), (2.0, 0.6)), "tint", _FINE)),
    _AT,
)
SPLICE = Sign(
    "end_splice",
    "splice, open to reach",
    (Polyline(((0.0, 0.0), (4.6, 0.0)), _FINE), Circle((2.4, 0.0), 0.9, "ink", None)),
    _AT,
)
BARE = Sign(
    "end_bare",
    "not known, or bare",
    (
        Polyline(((0.0, 0.0), (4.6, -0.9)), THIN),
        Polyline(((0.0, 0.0), (4.8, 0.0)), THIN),
        Polyline(((0.0, 0.0), (4.6, 0.9)), THIN),
    ),
    _AT,
)
OWN = Sign(
    "end_own",
    "connector of the part",
    (rectangle(0.0, -1.2, 3.2, 2.4, fill="tint"), Polyline(((3.2, 0.0), (4.8, 0.0)), SYMBOL)),
    _AT,
)
GOES_ON = Sign(
    "end_goes_on",
    "goes on at the peg named",
    (
        Polyline(((0.0, 0.0), (2.6, 0.0)), _FINE),
        Polygon(((2.4, -1.0), (4.8, 0.0), (2.4, 1.0)), "paper", _FINE),
    ),
    _AT,
)
ENDS = (RING, BLADE, FERRULE, PIN, SPLICE, OWN, BARE, GOES_ON)

__all__ = ["BARE", "BLADE", "ENDS", "END_MM", "FERRULE", "GOES_ON", "OWN", "PIN", "RING", "SPLICE"]
