"""Signs with contacts: switches, relays, selectors, at rest and in their other positions.

At rest means: engine off, doors shut, relays dropped out, nobody's hand on a switch.

Source: drawn by us after IEC 60617 (from memory; check against a licensed copy), on a 2.5 mm module.
"""

from functools import cache

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LINKAGE, MOVING_CONTACT, SYMBOL, THIN, Pen
from loomwright.drawing.scene import Circle, Polygon, Polyline, Shape, Sign, Slot, rectangle

#: Radius of a terminal and of a contact's two ends. [mm]
TERMINAL_RADIUS = 0.9
_TOP, _BOTTOM = (0.0, -5.0), (0.0, 5.0)
_ENDS = {"in": _TOP, "out": _BOTTOM}


def terminal_circle(at: Point) -> Circle:
    """Return the small open circle of a terminal."""
    return Circle(at, TERMINAL_RADIUS, fill="paper")


def _open_contact() -> tuple[Shape, ...]:
    blade = Polyline((_BOTTOM, (-4.2, -4.0)), MOVING_CONTACT)
    return blade, terminal_circle(_TOP), terminal_circle(_BOTTOM)


def _hand(reach: float = 6.0, start: float = -2.1) -> tuple[Shape, ...]:
    """Return the dashed actuator to the left, ending in the bracket of a hand."""
    foot = -reach + 1.0
    bracket = ((foot, -1.6), (-reach, -1.6), (-reach, 1.6), (foot, 1.6))
    return Polyline(((start, 0.0), (-reach, 0.0)), LINKAGE), Polyline(bracket)


def _acted_by(letters: str, half_width: float) -> tuple[tuple[Shape, ...], Slot]:
    """Return a box with letters to the left of a contact, joined to its blade by a dashed line."""
    right = -4.2
    left = right - 2 * half_width
    box = rectangle(left, -1.9, 2 * half_width, 3.8, fill="paper")
    return (Polyline(((-2.1, 0.0), (right, 0.0)), LINKAGE), box), Slot(
        "act", (right - half_width, 0.0), letters
    )


def _acted_contact(name: str, title: str, letters: str, half_width: float = 1.9) -> Sign:
    shapes, slot = _acted_by(letters, half_width)
    return Sign(name, title, (*_open_contact(), *shapes), _ENDS, (slot,))


def _shut_contact(reach: float = 5.0) -> tuple[Shape, ...]:
    """Return a contact that is closed: its blade lies across, just short of straight so that it is seen."""
    blade = Polyline(((0.0, reach), (-0.75, -reach)), MOVING_CONTACT)
    return blade, terminal_circle((0.0, -reach)), terminal_circle((0.0, reach))


SWITCH = Sign("switch", "switch, by hand", (*_open_contact(), *_hand()), _ENDS)
SWITCH_ON = Sign("switch_on", SWITCH.title, (*_shut_contact(), *_hand(start=-0.4)), _ENDS)
#: The triangle on the linkage says that it springs back.
PUSH = Sign(
    "push",
    "push, springs back",
    (*_open_contact(), *_hand(7.5), Polygon(((-5.2, 0.0), (-3.6, -0.9), (-3.6, 0.9)), "paper", SYMBOL)),
    _ENDS,
)
PANEL_CONTACT = Sign(
    "panel_contact",
    "panel output",
    (
        Polyline(((0.0, 3.75), (-2.9, -3.0)), MOVING_CONTACT),
        terminal_circle((0.0, -3.75)),
        terminal_circle((0.0, 3.75)),
        *_hand(4.4, -1.5),
    ),
    {"in": (0.0, -3.75), "out": (0.0, 3.75)},
)
PANEL_CONTACT_ON = Sign(
    "panel_contact_on",
    PANEL_CONTACT.title,
    (*_shut_contact(3.75), *_hand(4.4, -0.4)),
    PANEL_CONTACT.terminals,
)
BREAKER = Sign(
    "breaker",
    "breaker",
    (
        Polyline((_BOTTOM, (-4.2, -4.0)), MOVING_CONTACT),
        Polyline(((-1.1, -6.1), (1.1, -3.9))),
        Polyline(((1.1, -6.1), (-1.1, -3.9))),
        terminal_circle(_BOTTOM),
        *_hand(),
    ),
    _ENDS,
)
RELAY_CONTACT = Sign("relay_contact", "relay contact", _open_contact(), {**_ENDS, "link": (-2.1, 0.0)})
RELAY_CONTACT_ON = Sign(
    "relay_contact_on", RELAY_CONTACT.title, _shut_contact(), {**_ENDS, "link": (-0.4, 0.0)}
)
RELAY_CONTACT_SHUT = Sign(
    "relay_contact_shut",
    "contact, shut at rest",
    (
        Polyline((_TOP, (2.4, -5.0))),
        Polyline((_BOTTOM, (1.84, -5.82)), MOVING_CONTACT),  # no further up than its circles
        terminal_circle(_TOP),
        terminal_circle(_BOTTOM),
    ),
    {**_ENDS, "link": (0.95, -0.6)},
)
#: A contact that rests shut, opened: its blade has left the stop at its upper end.
RELAY_CONTACT_OPENED = Sign(
    "relay_contact_opened",
    RELAY_CONTACT_SHUT.title,
    (
        Polyline((_TOP, (2.4, -5.0))),
        Polyline((_BOTTOM, (-2.6, -4.2)), MOVING_CONTACT),
        terminal_circle(_TOP),
        terminal_circle(_BOTTOM),
    ),
    RELAY_CONTACT_SHUT.terminals,
)
RELAY_COIL = Sign(
    "relay_coil",
    "relay coil",
    (rectangle(-3.75, -2.5, 7.5, 5.0, fill="paper"), Polyline(((-3.75, 2.5), (3.75, -2.5)))),
    {"in": (0.0, -2.5), "out": (0.0, 2.5), "link": (3.75, 0.0)},
)
#: The second stroke says that it stays as it was put.
RELAY_COIL_LATCHING = Sign(
    "relay_coil_latching",
    "coil, latching",
    (
        *RELAY_COIL.shapes,
        Polyline(((-3.75, -2.5), (3.75, 2.5))),
    ),
    RELAY_COIL.terminals,
)
SENSING = Sign(
    "sensing",
    "senses voltage",
    (rectangle(-5.0, -3.75, 10.0, 7.5, fill="paper"),),
    {"in": (0.0, -3.75), "out": (0.0, 3.75), "link": (5.0, 0.0)},
    (Slot("act", (0.0, 0.0), "U >", 3.0),),
)
PRESSURE_SWITCH = _acted_contact("pressure_switch", "pressure switch", "p")
THERMOSTAT = _acted_contact("thermostat", "thermostat", "θ")


@cache
def selector(positions: int, spacing: float = 5.0, rests: int | None = None) -> Sign:
    """Return a selector: common terminal below, positions side by side above.

    Parameters
    ----------
    positions : int
        How many; their terminals are "1", "2" ... from the left, the other one is "common".
    spacing : float
        From one position to the next. [mm]
    rests : int | None
        Position at which it is drawn, from 1; None: between all, joined to nothing.
    """
    tops = [((place - (positions - 1) / 2) * spacing, -5.0) for place in range(positions)]
    end = tops[rests - 1] if rests else (-spacing / 2 if positions % 2 else 0.0, -3.9)
    blade = Polyline((_BOTTOM, end), MOVING_CONTACT)
    circles = (terminal_circle(at) for at in (*tops, _BOTTOM))
    terminals = {str(place + 1): at for place, at in enumerate(tops)}
    return Sign(
        f"selector_{positions}_{spacing:g}_{rests or 'off'}",
        "selector" if positions > 2 else "change-over contact",
        (blade, *circles),
        {"common": _BOTTOM, **terminals, "link": ((end[0]) / 2, 0.0)},
    )


CHANGE_OVER = selector(2, rests=1)
TWO_WAY = Sign(
    "two_way",
    "two-way switch",
    (*CHANGE_OVER.shapes, *_hand(7.0, -1.4)),
    {"com": _BOTTOM, "a": (-2.5, -5.0), "b": (2.5, -5.0)},
)
#: The other line is joined.
TWO_WAY_OVER = Sign(
    "two_way_over", TWO_WAY.title, (*selector(2, rests=2).shapes, *_hand(7.0, 0.4)), TWO_WAY.terminals
)


def _intermediate(name: str, straight: Pen, crossed: Pen) -> Sign:
    ways = {
        straight: (((-2.5, -5.0), (-2.5, 5.0)), ((2.5, -5.0), (2.5, 5.0))),
        crossed: (((-2.5, -5.0), (2.5, 5.0)), ((2.5, -5.0), (-2.5, 5.0))),
    }
    return Sign(
        name,
        "intermediate switch",
        (
            *(Polyline(points, pen) for pen, both in ways.items() for points in both),
            *(terminal_circle((x, y)) for x in (-2.5, 2.5) for y in (-5.0, 5.0)),
            *_hand(7.5, -2.5),
        ),
        {"a1": (-2.5, -5.0), "b1": (2.5, -5.0), "a2": (-2.5, 5.0), "b2": (2.5, 5.0)},
    )


INTERMEDIATE = _intermediate("intermediate", MOVING_CONTACT, THIN)
INTERMEDIATE_CROSSED = _intermediate("intermediate_crossed", THIN, MOVING_CONTACT)
