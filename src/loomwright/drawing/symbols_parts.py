"""Signs of parts: fuses, batteries, lamps, motors, converters, plugs, joints, mains ends.

A two-ended part stands upright around (0, 0), its feed above, its return below.

Source: drawn by us after IEC 60617 (from memory; check against a licensed copy), on a 2.5 mm module.
"""

import math
from functools import cache

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import BUSBAR, LEADER, MISSING, PLANNED, SYMBOL, Pen
from loomwright.drawing.scene import Arc, Circle, Polygon, Polyline, Shape, Sign, Slot, rectangle
from loomwright.drawing.symbols_contacts import terminal_circle


def _ends(half: float) -> dict[str, Point]:
    return {"in": (0.0, -half), "out": (0.0, half)}


def _poles(half: float) -> dict[str, Point]:
    return {"plus": (0.0, -half), "minus": (0.0, half)}


def _cross(radius: float, centre: Point = (0.0, 0.0), *, lit: bool = False) -> tuple[Shape, ...]:
    """Return a lamp: a circle with a cross in it; one that is lit is filled, its cross left white."""
    (x, y), arm = centre, radius * math.sqrt(0.5)
    pen = Pen("paper" if lit else "ink", 0.5 if lit else SYMBOL.width)
    return (
        Circle(centre, radius, fill="ink" if lit else "paper"),
        Polyline(((x - arm, y - arm), (x + arm, y + arm)), pen),
        Polyline(((x - arm, y + arm), (x + arm, y - arm)), pen),
    )


_FUSE_BODY = rectangle(-2.0, -5.0, 4.0, 10.0, fill="paper")
FUSE = Sign("fuse", "fuse", (_FUSE_BODY, Polyline(((0.0, -5.0), (0.0, 5.0)))), _ends(5.0))
#: Only its holder is left, and a gap in the line.
FUSE_PULLED = Sign(
    "fuse_pulled",
    "fuse, pulled",
    (
        rectangle(-2.0, -5.0, 4.0, 10.0, fill="paper", pen=PLANNED),
        Polyline(((0.0, -5.0), (0.0, -3.2))),
        Polyline(((0.0, 3.2), (0.0, 5.0))),
    ),
    FUSE.terminals,
)
FUSE_MISSING = Sign("fuse_missing", "fuse missing", (rectangle(-2.0, -5.0, 4.0, 10.0, pen=MISSING),), {})
WAY_FREE = Sign("way_free", "way free", (rectangle(-2.0, -5.0, 4.0, 10.0, pen=PLANNED),), _ends(5.0))

_LONG_PLATE, _SHORT_PLATE = Pen("ink", 0.5), Pen("ink", 1.1)
BATTERY = Sign(
    "battery",
    "battery",
    (
        Polyline(((-6.0, -3.5), (6.0, -3.5)), _LONG_PLATE),
        Polyline(((-3.0, -1.3), (3.0, -1.3)), _SHORT_PLATE),
        Polyline(((-6.0, 1.3), (6.0, 1.3)), _LONG_PLATE),
        Polyline(((-3.0, 3.5), (3.0, 3.5)), _SHORT_PLATE),
    ),
    _poles(3.5),
    (Slot("plus", (3.4, -5.6), "+", 3.6), Slot("minus", (3.4, 5.9), "−", 3.6)),
)
LAMP = Sign("lamp", "lamp", _cross(5.0), _ends(5.0))
LAMP_LIT = Sign("lamp_lit", "lamp, lit", _cross(5.0, lit=True), LAMP.terminals)


def _strip(name: str, title: str, *, lit: bool) -> Sign:
    body = rectangle(-3.75, -8.75, 7.5, 17.5, fill="paper")
    lamps = (shape for y in (-5.0, 0.0, 5.0) for shape in _cross(1.9, (0.0, y), lit=lit))
    return Sign(name, title, (body, *lamps), _ends(8.75))


STRIP = _strip("strip", "lamp strip", lit=False)
STRIP_LIT = _strip("strip_lit", "lamp strip, lit", lit=True)
MOTOR = Sign(
    "motor", "motor", (Circle((0.0, 0.0), 6.0, fill="paper"),), _ends(6.0),
    (Slot("letter", (0.0, 0.0), "M", 3.6, 500),),
)  # fmt: skip
GENERATOR = Sign(
    "generator",
    "generator",
    (Circle((0.0, 0.0), 6.0, fill="paper"), Polyline(((-1.8, 3.6), (1.8, 3.6)))),
    _poles(6.0),
    (Slot("letter", (0.0, -0.4), "G", 3.6, 500),),
)
HEATING = Sign(
    "heating",
    "heating element",
    (
        rectangle(-2.5, -5.0, 5.0, 10.0, fill="paper"),
        *(Polyline(((-2.5, y), (2.5, y))) for y in (-2.5, 0.0, 2.5)),
    ),
    _ends(5.0),
)
PANEL = Sign(
    "panel",
    "solar panel",
    (
        rectangle(-9.0, -6.0, 18.0, 12.0, fill="paper"),
        *(Polyline(((x, -6.0), (x, 6.0)), LEADER) for x in (-3.0, 3.0)),
        *(Polyline(((-9.0, y), (9.0, y)), LEADER) for y in (-2.0, 2.0)),
    ),
    {"plus": (-5.0, -6.0), "minus": (5.0, -6.0)},
)
DIODE = Sign(
    "diode",
    "diode",
    (
        Polyline(((0.0, -5.0), (0.0, 5.0))),
        Polygon(((-2.5, -2.2), (2.5, -2.2), (0.0, 2.2)), "paper", SYMBOL),
        Polyline(((-2.5, 2.2), (2.5, 2.2)), Pen("ink", 0.5)),
    ),
    {"a": (0.0, -5.0), "k": (0.0, 5.0)},
)
SHUNT = Sign(
    "shunt",
    "shunt",
    (
        rectangle(-2.0, -5.0, 4.0, 10.0, fill="paper"),
        Polyline(((2.0, -2.5), (5.0, -2.5))),
        Polyline(((2.0, 2.5), (5.0, 2.5))),
    ),
    {"load": (0.0, -5.0), "battery": (0.0, 5.0), "sense_load": (5.0, -2.5), "sense_battery": (5.0, 2.5)},
)


@cache
def converter(width: float = 12.0, height: float = 15.0) -> Sign:
    """Return a box with a diagonal and both voltages; terminals "in" above, "out" below, middle. [mm]"""
    x, y = width / 2, height / 2
    return Sign(
        f"converter_{width:g}_{height:g}",
        "converter",
        (rectangle(-x, -y, width, height, fill="paper"), Polyline(((-x, y), (x, -y)))),
        _ends(y),
        (
            Slot("in", (-x / 2, -y / 2)),
            Slot("out", (x / 2, y / 2)),
        ),
    )


@cache
def equipment(width: float = 12.0, height: float = 12.5) -> Sign:
    """Return a plain box for a part whose insides are not drawn, with a text in it. [mm]"""
    x, y = width / 2, height / 2
    return Sign(
        f"equipment_{width:g}_{height:g}",
        "equipment",
        (rectangle(-x, -y, width, height, fill="paper"),),
        _ends(y),
        (Slot("text", (0.0, 0.0), size=3.0, weight=500),),
    )


CONVERTER = converter()
EQUIPMENT = equipment()

TERMINAL = Sign("terminal", "terminal", (terminal_circle((0.0, 0.0)),), {"at": (0.0, 0.0)})


@cache
def joint(core: float = 0.7) -> Sign:
    """Return the dot of a splice or joint, a little wider than a wire of this core. [mm]"""
    radius = max(0.9, core / 2 + 0.7)
    dot = Circle((0.0, 0.0), radius, fill="ink", pen=None)
    return Sign(f"joint_{radius:g}", "joined", (dot,), {"at": (0.0, 0.0)})


SPLICE = joint()
PLUG = Sign(
    "plug",
    "plug and socket",
    (
        Polyline(((0.0, -5.0), (0.0, -2.5))),
        Arc((0.0, 0.0), 2.5, 180.0, 180.0),
        rectangle(-0.7, -0.8, 1.4, 3.6, fill="ink", pen=None),
        Polyline(((0.0, 2.8), (0.0, 5.0))),
    ),
    _ends(5.0),
)
SOCKET_12V = Sign(
    "socket_12v",
    "socket",
    (
        Polyline(((0.0, -5.0), (0.0, -1.0))),
        Circle((0.0, 0.0), 3.4),
        Circle((0.0, 0.0), 1.0, fill="ink", pen=None),
        Polyline(((0.0, 3.4), (0.0, 5.0))),
    ),
    _poles(5.0),
)
STUD = Sign(
    "stud",
    "stud on the body",
    (Circle((0.0, 0.0), 2.0, fill="paper", pen=Pen("ink", 0.5)), Circle((0.0, 0.0), 0.9, "ink", None)),
    {"at": (0.0, 0.0)},
)
BUS = Sign("bus", "bar", (Polyline(((-5.0, 0.0), (5.0, 0.0)), BUSBAR),), {"at": (0.0, 0.0)})

GOES_ON = Sign(
    "goes_on",
    "goes on, sheet/column",
    (Polygon(((0.0, -1.25), (2.5, -1.25), (3.75, 0.0), (2.5, 1.25), (0.0, 1.25)), "paper", SYMBOL),),
    {"at": (0.0, 0.0)},
)

_EARTH_BARS = ((2.0, -0.4), (1.3, 0.7), (0.6, 1.8))
PROTECTIVE_EARTH = Sign(
    "protective_earth",
    "protective earth",
    (
        Circle((0.0, 0.0), 3.75, fill="paper"),
        Polyline(((0.0, -3.75), (0.0, -0.4))),
        *(Polyline(((-half, y), (half, y)), Pen("ink", 0.5)) for half, y in _EARTH_BARS),
    ),
    {"at": (0.0, -3.75)},
)
_THREE = {"L": -5.0, "N": 0.0, "PE": 5.0}


def _letters(y: float) -> tuple[Slot, ...]:
    return tuple(Slot(name, (x, y), name, 2.6) for name, x in _THREE.items())


INLET = Sign(
    "inlet",
    "mains inlet",
    (
        rectangle(-8.75, -5.0, 18.75, 10.0, fill="paper"),
        *(rectangle(x - 0.7, -3.2, 1.4, 3.6, fill="ink", pen=None) for x in _THREE.values()),
        *(Polyline(((x, 0.4), (x, 5.0))) for x in _THREE.values()),
    ),
    {name: (x, 5.0) for name, x in _THREE.items()},
    tuple(Slot(slot.name, (slot.at[0] + 1.8, slot.at[1]), slot.default, slot.size) for slot in _letters(2.6)),
)
MAINS_SOCKET = Sign(
    "mains_socket",
    "mains socket",
    (
        rectangle(-8.75, -5.0, 17.5, 10.0, fill="paper"),
        *(Arc((x, 1.4), 1.9, 180.0, 180.0) for x in _THREE.values()),
        *(Polyline(((x, -5.0), (x, -0.5))) for x in _THREE.values()),
    ),
    {name: (x, -5.0) for name, x in _THREE.items()},
    _letters(3.2),
)
