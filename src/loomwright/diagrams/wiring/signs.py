"""What a part looks like that stands in one column: its sign, its height, what is written in it.

A sign is placed with its upper end at (x, y). Everything drawn carries the link to its part.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LINKAGE
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Poses, Sign, Symbol, Text, rectangle
from loomwright.drawing.symbols_contacts import (
    RELAY_COIL,
    RELAY_COIL_LATCHING,
    RELAY_CONTACT,
    RELAY_CONTACT_ON,
    RELAY_CONTACT_OPENED,
    RELAY_CONTACT_SHUT,
    SWITCH,
    SWITCH_ON,
)
from loomwright.drawing.symbols_parts import (
    BATTERY,
    CONVERTER,
    DIODE,
    FUSE,
    GENERATOR,
    HEATING,
    LAMP,
    PLUG,
    SHUNT,
    SOCKET_12V,
    STRIP,
    TERMINAL,
)
from loomwright.plan.kinds import rest_state
from loomwright.plan.model import Part

from .marks import terminal_link
from .poses import contact_poses, fuse_poses
from .strands import PartStep

#: Kinds drawn as a motor in a box.
MOTOR_KINDS = ["water_pump", "fan", "fridge", "cool_box", "step", "lift", "compressor", "air_con", "valve"]
#: Kinds drawn as one contact.
_CONTACTS = ("switch", "master_switch", "two_way", "relay", "low_voltage_cut")
#: Kinds drawn as a box with a word in it.
_WORDS = {
    "alarm": "alarm", "tracker": "tracker", "tv": "TV", "router": "data", "radio": "radio",
    "camera": "camera", "amplifier": "sound", "air_heater": "heater", "combi_heater": "heater",
    "absorption_fridge": "fridge",
    "gauge": "level", "sender": "tank", "electronics": "box", "load": "load", "mains_charger": "charger",
    "inverter": "inverter", "inverter_charger": "inverter", "fuel_cell": "fuel cell", "dimmer": "dimmer",
    "control_panel": "panel",
}  # fmt: skip
_BOX_HALF, _BOX_HEIGHT = 7.5, 14.0
_MOTOR_BOX, _SWITCH_ROOM = 19.0, 8.5


@dataclass(frozen=True, slots=True)
class View:
    """A part in a column: its height from end to end, how far it reaches to both sides, what is drawn.

    `beside` is where its own words may begin: from the column's middle to the right. [mm]
    """

    height: float
    left: float
    right: float
    draw: Callable[[Point, Link], list[Drawn]]
    signs: tuple[Sign, ...] = ()


def _plain(
    sign: Sign,
    *,
    turned: bool = False,
    values: tuple[tuple[str, str], ...] = (),
    poses: Poses | None = None,
) -> View:
    top, bottom = (min(y for _, y in sign.terminals.values()), max(y for _, y in sign.terminals.values()))
    box = sign.box()

    def draw(at: Point, of: Link) -> list[Drawn]:
        x, y = at
        middle = y + (bottom if turned else -top)
        return [Symbol(sign, (x, middle), 180 if turned else 0, values=values, poses=poses, of=of)]

    left, right = (box.right, -box.left) if turned else (-box.left, box.right)
    return View(bottom - top, left, right, draw, (sign,))


def _ends(at: Point, height: float, of: Link, step: PartStep) -> list[Drawn]:
    x, y = at
    upper, lower = terminal_link(of.id, step.enter), terminal_link(of.id, step.leave)
    return [Symbol(TERMINAL, (x, y), of=upper), Symbol(TERMINAL, (x, y + height), of=lower)]


def _worded(word: str, step: PartStep, marks: tuple[str, str]) -> View:
    """Return a box with a word in it and the poles at its ends."""
    half = max(_BOX_HALF, min(8.2, text_width_mm(word, 3.0, 500) / 2 + 1.2))

    def draw(at: Point, of: Link) -> list[Drawn]:
        x, y = at
        text = shorten(word, 2 * half - 1.6, 3.0, 500)
        return [
            rectangle(x - half, y, 2 * half, _BOX_HEIGHT, fill="paper", of=of),
            Text((x, y + _BOX_HEIGHT / 2 + 1.05), text, 3.0, 500, "middle", of=of),
            Text((x + 2.0, y + 3.6), marks[0], 3.0, of=of),
            Text((x + 2.0, y + _BOX_HEIGHT - 1.4), marks[1], 3.0, of=of),
            *_ends(at, _BOX_HEIGHT, of, step),
        ]

    return View(_BOX_HEIGHT, half, half, draw)


def _motor(part: Part, step: PartStep, marks: tuple[str, str]) -> View:
    """Return a motor in a box, with its own switch above it if it has one."""
    switched = part.own_switch is True or part.pressure_switch is True
    height = _MOTOR_BOX + (_SWITCH_ROOM if switched else 0.0)

    def draw(at: Point, of: Link) -> list[Drawn]:
        x, y = at
        middle = y + height - 9.0
        items: list[Drawn] = [
            rectangle(x - _BOX_HALF, y, 2 * _BOX_HALF, height, fill="paper", of=of),
            Polyline(((x, middle + 5.5), (x, y + height)), of=of),
            Circle((x, middle), 5.5, "paper", of=of),
            Text((x, middle + 1.25), "M", 3.6, 500, "middle", of=of),
            Text((x + 2.2, y + 3.4), marks[0], 3.0, of=of),
            Text((x + 3.4, y + height - 1.2), marks[1], 3.0, of=of),
        ]
        if switched:
            items += _own_switch((x, y), y + 9.6, "p" if part.pressure_switch is True else "", of)
            items.append(Polyline(((x, y + 9.6), (x, middle - 5.5)), of=of))
        else:
            items.append(Polyline(((x, y), (x, middle - 5.5)), of=of))
        return [*items, *_ends(at, height, of, step)]

    return View(height, _BOX_HALF, _BOX_HALF, draw)


def _own_switch(at: Point, foot: float, letter: str, of: Link) -> list[Drawn]:
    """Return the little contact in the box of a part that has a switch of its own."""
    x, y = at
    middle = (y + 3.6 + foot) / 2
    items: list[Drawn] = [
        Polyline(((x, y), (x, y + 3.0)), of=of),
        Polyline(((x, foot), (x - 2.6, y + 4.2)), of=of),
        Polyline(((x - 1.4, middle), (x - 3.4, middle)), LINKAGE, of=of),
    ]
    if letter:
        items.append(rectangle(x - 6.4, middle - 1.6, 3.0, 3.2, fill="paper", of=of))
        items.append(Text((x - 4.9, middle + 0.8), letter, 2.6, anchor="middle", of=of))
    else:
        edge = (
            (x - 3.4, middle - 1.4),
            (x - 4.3, middle - 1.4),
            (x - 4.3, middle + 1.4),
            (x - 3.4, middle + 1.4),
        )
        items.append(Polyline(edge, of=of))
    return items


def _cut_contact(poses: Poses, *, shut: bool) -> View:
    """Return the contact of a low-voltage cut, with the box that senses."""
    sign = RELAY_CONTACT_SHUT if shut else RELAY_CONTACT

    def draw(at: Point, of: Link) -> list[Drawn]:
        x, y = at
        link = sign.terminals["link"]
        return [
            Symbol(sign, (x, y + 5.0), poses=poses, of=of),
            Polyline(((x + link[0] - 0.4, y + 5.0 + link[1]), (x - 4.0, y + 5.0 + link[1])), LINKAGE, of=of),
            rectangle(x - 7.8, y + 2.5 + link[1], 3.8, 5.0, fill="paper", of=of),
            Text((x - 5.9, y + 6.0 + link[1]), "U<", 2.6, anchor="middle", of=of),
        ]

    return View(10.0, 8.0, 2.6, draw, (sign,))


def fuse_view(at: str) -> View:
    """Return a fuse that can be pulled, by its way or wire; the main fuse of a box has neither."""
    return _plain(FUSE, poses=fuse_poses(at) if at else None)


def part_view(id: str, part: Part, step: PartStep) -> View:
    """Return how a part is drawn that stands in a column.

    Parameters
    ----------
    id : str
        What it is called; a contact moves by that name.
    part : Part
        Any kind with a plus and a minus, or a passage.
    step : PartStep
        The terminals at which the column enters and leaves it, from above.
    """
    kind = part.kind
    upside_down = step.enter in ("minus", "out", "k", "battery", "b") or step.leave in ("plus", "post")
    marks = ("−", "+") if upside_down else ("+", "−")
    if {step.enter, step.leave} & {"85", "86", "coil_plus", "coil_minus"}:
        return _plain(RELAY_COIL_LATCHING if part.latching is True else RELAY_COIL)
    if kind in ("battery", "vehicle_battery"):
        return _plain(BATTERY, turned=upside_down)
    if kind in _CONTACTS:
        return _contact(id, part, step)
    if kind in MOTOR_KINDS:
        return _motor(part, step, marks)
    if kind == "usb":
        volts = "24" if part.voltage is not None and getattr(part.voltage, "low", 12) >= 20 else "12"
        return _plain(CONVERTER, turned=upside_down, values=(("in", volts), ("out", "5 V")))
    signs = {
        "alternator": GENERATOR, "plug": PLUG, "shunt": SHUNT, "diode": DIODE, "lamp": LAMP, "strip": STRIP,
        "heat_mat": HEATING, "socket_12v": SOCKET_12V,
    }  # fmt: skip
    if kind in signs:
        return _plain(signs[kind], turned=upside_down and kind in ("diode", "shunt"))
    passes = kind in ("dimmer",)
    return _worded(_WORDS.get(kind, kind.replace("_", " ")), step, ("", "") if passes else marks)


def _contact(id: str, part: Part, step: PartStep) -> View:
    """Return the contact of a switch, relay or low-voltage cut as it rests."""
    ends, shut = {step.enter, step.leave}, rest_state(part) in ("on", "closed")
    signs = (RELAY_CONTACT_OPENED, RELAY_CONTACT_SHUT) if shut else (RELAY_CONTACT, RELAY_CONTACT_ON)
    if part.kind == "low_voltage_cut":
        return _cut_contact(contact_poses(id, part, ends, *signs), shut=shut)
    if part.kind == "relay":
        return _plain(signs[shut], poses=contact_poses(id, part, ends, *signs))
    if shut:
        return _closed_switch(contact_poses(id, part, ends, *signs))
    return _plain(SWITCH, poses=contact_poses(id, part, ends, SWITCH, SWITCH_ON))


def _closed_switch(poses: Poses) -> View:
    """Return a switch that rests shut, such as a master switch: the blade straight, its hand to the left."""

    def draw(at: Point, of: Link) -> list[Drawn]:
        x, y = at
        hand = ((x - 5.0, y + 3.4), (x - 6.0, y + 3.4), (x - 6.0, y + 6.6), (x - 5.0, y + 6.6))
        return [
            Symbol(RELAY_CONTACT_SHUT, (x, y + 5.0), poses=poses, of=of),
            Polyline(((x + 0.6, y + 5.0), (x - 6.0, y + 5.0)), LINKAGE, of=of),
            Polyline(hand, of=of),
        ]

    return View(10.0, 6.2, 2.6, draw, (SWITCH,))
