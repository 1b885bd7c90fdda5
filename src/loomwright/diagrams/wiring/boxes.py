"""Parts that reach over several columns: boxes with named terminals, contacts, pairs of two-way switches.

A box is drawn around its columns with its slots on the upper and lower edge; what is known of its inside is
drawn in it: the contact and coil of a relay, the sensor, the contacts of a control panel.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import BUSBAR, LINKAGE
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.drawing.paragraphs import fitted
from loomwright.drawing.scene import Anchor, Drawn, Link, Polyline, Symbol, Text, Wire, rectangle
from loomwright.drawing.symbols_contacts import (
    INTERMEDIATE,
    PANEL_CONTACT,
    RELAY_COIL,
    RELAY_COIL_LATCHING,
    RELAY_CONTACT,
    SENSING,
    TWO_WAY,
    selector,
)
from loomwright.drawing.symbols_parts import TERMINAL
from loomwright.plan.kinds import rest_state
from loomwright.plan.model import Part

#: Kinds drawn as a contact with one end below and several above, or the other way round.
CONTACT_KINDS = ("selector", "change_over", "relay")
_EDGE = 7.2
_SHORT = {
    "battery_minus": "B−", "panel_minus": "PV−", "battery": "B+", "panel": "PV+", "second": "2",
    "out_minus": "out −", "minus": "−", "plus": "+", "in_1": "1", "in_2": "2",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Slot:
    """A terminal on the edge of a block: its name, and the middle of its column."""

    terminal: str
    x: float


@dataclass(frozen=True, slots=True)
class Box:
    """A block with its columns: `xs` their middles, slots from the left, what is written in it."""

    id: str
    part: Part
    xs: tuple[float, ...]
    upper: tuple[Slot, ...]
    lower: tuple[Slot, ...]
    name: str
    lines: tuple[str, ...]
    relay_box: bool = False


def block_height(part: Part, *, pair: bool, relay_box: bool) -> float:
    """Return the height of a block, from edge to edge. [mm]"""
    if pair:
        return 13.0
    if part.kind == "solar_panel":
        return 12.0
    if part.kind in ("relay", "sensing_relay"):
        return 27.0 if relay_box or part.kind == "sensing_relay" else 17.4
    if part.kind in ("selector", "change_over"):
        return 17.4
    return 22.0 if part.kind == "control_panel" else 19.0


def shown(terminal: str) -> str:
    """Return the words for a terminal on the edge of a box."""
    return _SHORT.get(terminal, terminal.replace("_", " "))


def draw_box(box: Box, top: float, height: float) -> list[Drawn]:
    """Return the items of a block whose upper edge is at `top`."""
    of = Link("part", box.id)
    kind = box.part.kind
    if kind == "solar_panel":
        return _solar_panel(box, top, of)
    if kind in CONTACT_KINDS and not box.relay_box:
        return _contact(box, top, height, of)
    left, right = box.xs[0] - _EDGE, box.xs[-1] + _EDGE
    items: list[Drawn] = [rectangle(left, top, right - left, height, fill="paper", of=of)]
    if box.relay_box or kind == "sensing_relay":
        items += _relay(box, top, height, of)
    elif kind == "control_panel":
        items += _control_panel(box, top, height, of)
    else:
        if kind in ("b2b", "converter"):
            items += _slash(box, left, right, top, height, of)
        items += _words(box, left, right, top, height, of)
    return [*items, *_terminals(box, top, height, of)]


def _terminals(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return the terminals on both edges, each with its name inside the box."""
    items: list[Drawn] = []
    for slots, y, base in ((box.upper, top, top + 4.0), (box.lower, top + height, top + height - 1.7)):
        for slot in slots:
            items.append(Symbol(TERMINAL, (slot.x, y), of=of))
            name = shown(slot.terminal)
            room = (box.xs[-1] + _EDGE if slot.x == box.xs[-1] else slot.x + 15.0) - slot.x - 2.2
            if name and text_width_mm(name, 2.9) <= room:
                items.append(Text((slot.x + 1.5, base), name, 2.9, of=of))
            elif name:
                wide = fitted((0.0, 0.0), name, 6.4 if slot.x == box.xs[0] else 13.0, 2.9)
                items.append(Text((slot.x - 1.5, base), wide.text, wide.size, anchor="end", of=of))
    return items


def _words(box: Box, left: float, right: float, top: float, height: float, of: Link) -> list[Drawn]:
    """Return name and ratings in the middle of a box."""
    room = right - left - 2.4
    name = wrap(box.name, room, 3.6, 600, most_lines=2 if len(box.xs) == 1 else 1)
    lines: list[tuple[str, float, bool]] = [(line, 3.6, True) for line in name]
    lines += [(line, 2.9, False) for text in box.lines for line in wrap(text, room, 2.9, most_lines=2)]
    most = int((height - 13.0) / 3.9) + 1
    lines = lines[:most]
    y = max(top + height / 2 + 1.2 - 1.85 * (len(lines) - 1), top + 8.4)
    items: list[Drawn] = []
    middle = (left + right) / 2
    for text, size, strong in lines:
        items.append(Text((middle, y), text, size, 600 if strong else 400, "middle", backed=True, of=of))
        y += 3.9
    return items


def _slash(box: Box, left: float, right: float, top: float, height: float, of: Link) -> list[Drawn]:
    middle, half = (left + right) / 2, min(9.0, (right - left) / 2 - 2.0)
    ends = ((middle - half, top + height - 4.9), (middle + half, top + 4.9))
    return [Polyline(ends, of=of)]


def _solar_panel(box: Box, top: float, of: Link) -> list[Drawn]:
    """Return the grid of a panel; its two ends stand at the inner sides of their columns."""
    xs = [slot.x for slot in box.upper]
    middle = sum(xs) / len(xs)
    half = max(9.0, (max(xs) - min(xs)) / 2 + 2.0)
    items: list[Drawn] = [rectangle(middle - half, top, 2 * half, 12.0, fill="paper", of=of)]
    items += [
        Polyline(((middle + half * k, top), (middle + half * k, top + 12.0)), of=of) for k in (-1 / 3, 1 / 3)
    ]
    items += [Polyline(((middle - half, top + y), (middle + half, top + y)), of=of) for y in (4.0, 8.0)]
    for slot in box.upper:
        items.append(Symbol(TERMINAL, (slot.x, top), of=of))
    return items


def _relay(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return contact, coil or sensor and settings within the box of a relay that joins two batteries."""
    heavy = [slot for slot in box.upper if slot.terminal in ("30", "87", "a", "b", "in", "out")]
    items: list[Drawn] = []
    link_x, across = box.xs[-1], top + 8.5
    if len(heavy) == 2:
        one, two = heavy
        link_x = (one.x + two.x) / 2
        items += [
            Polyline(((one.x, top), (one.x, across), (link_x - 5.0, across)), of=of),
            Polyline(((two.x, top), (two.x, across), (link_x + 5.0, across)), of=of),
            Symbol(RELAY_CONTACT, (link_x, across), 90, mirrored=True, of=of),
        ]
    low = top + height - 9.0
    coil = next((slot for slot in box.upper if slot.terminal == "86"), None)
    if coil is not None:
        sign = RELAY_COIL_LATCHING if box.part.latching is True else RELAY_COIL
        below = next((slot for slot in box.lower if slot.terminal == "85"), None)
        items += [
            Polyline(((coil.x, top), (coil.x, low - 2.5)), of=of),
            Symbol(sign, (coil.x, low), of=of),
            Polyline(((coil.x + 3.75, low), (link_x, low), (link_x, across + 2.3)), LINKAGE, of=of),
        ]
        if below is not None:
            items.append(Polyline(((below.x, top + height), (below.x, low + 2.5)), of=of))
    elif box.part.kind == "sensing_relay" and heavy:
        x = heavy[0].x
        items += [
            Polyline(((x, across), (x, low - 4.75)), of=of),
            Symbol(SENSING, (x, low - 1.0), values=(("act", "U >"),), of=of),
            Polyline(((x + 5.0, low - 1.0), (link_x, low - 1.0), (link_x, across + 2.3)), LINKAGE, of=of),
        ]
        if box.lower:
            items.append(Polyline(((box.lower[0].x, top + height), (box.lower[0].x, low + 2.75)), of=of))
    y = low + 0.4
    for line in box.lines[:3]:
        room = box.xs[-1] + _EDGE - link_x - 2.4
        items.append(fitted((link_x + 1.2, y), line, room, 2.9, layer="text", of=of))
        y += 3.7
    return items


def _contact(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return a change-over contact or selector: the common end in its column, the positions beside it."""
    common_below = len(box.lower) <= 1
    many, single = (box.upper, box.lower) if common_below else (box.lower, box.upper)
    x = single[0].x if single else many[0].x
    count = max(len(many), 2)
    rests = _resting(box.part, [slot.terminal for slot in many])
    sign = selector(count, 5.0, rests)
    middle = top + height / 2
    turned = not common_below
    symbol = Symbol(sign, (x, middle), 180 if turned else 0, mirrored=turned, of=of)
    items: list[Drawn] = [symbol]
    edge = top if common_below else top + height
    step = 1.0 if common_below else -1.0
    near = middle - 5.0 if common_below else middle + 5.0
    for place, slot in enumerate(many):
        end = symbol.terminal(str(place + 1))
        turn = edge + step * (near - edge) * step * (0.75 - 0.5 * place / max(1, count - 1))
        items.append(Polyline(((slot.x, edge), (slot.x, turn), (end[0], turn), (end[0], near)), of=of))
        items.append(Symbol(TERMINAL, (slot.x, edge), of=of))
        base = edge + 3.9 if common_below else edge - 1.4
        words = fitted((0.0, 0.0), slot.terminal, 12.0, 2.9)
        anchor: Anchor = "end" if place == 0 else "start"
        side = -1.5 if place == 0 else 1.5
        items.append(Text((slot.x + side, base - 4.9 * step), words.text, words.size, anchor=anchor, of=of))
    far = top + height if common_below else top
    tail = symbol.terminal("common")
    items += [Polyline((tail, (x, far)), of=of), Symbol(TERMINAL, (x, far), of=of)]
    return items


def _resting(part: Part, terminals: list[str]) -> int | None:
    """Return which of the positions is closed at rest, from 1."""
    state = rest_state(part) or ""
    if part.kind == "relay":
        closed = "87a" if state in ("off", "") else "87"
        return terminals.index(closed) + 1 if closed in terminals else None
    pairs = part.positions.get(state, ()) if part.kind == "selector" else ()
    if part.kind == "change_over":
        pairs = ((f"in_{state}", "out"),) if state in ("1", "2") else ()
    for pair in pairs:
        for terminal in pair:
            if terminal in terminals:
                return terminals.index(terminal) + 1
    return None


def _control_panel(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return the panel's bar and one contact for each output."""
    plus_outputs = [slot for slot in box.lower if slot.terminal in box.part.outputs]
    minus_outputs = [slot for slot in box.upper if slot.terminal in box.part.outputs]
    items: list[Drawn] = [
        fitted((box.xs[0] - _EDGE + 1.0, top + 4.4), box.name, 6.0, 3.3, 600, layer="text", of=of)
    ]
    plus = next((slot for slot in box.upper if slot.terminal == "plus"), None)
    minus = next((slot for slot in box.lower if slot.terminal == "minus"), None)
    if plus_outputs:
        y = top + 5.4
        xs = [slot.x for slot in plus_outputs] + ([plus.x] if plus else [])
        items.append(Polyline(((min(xs), y), (max(xs), y)), BUSBAR, of=of))
        if plus:
            items.append(Polyline(((plus.x, top), (plus.x, y)), of=of))
        for slot in plus_outputs:
            items.append(Polyline(((slot.x, y), (slot.x, y + 1.6)), of=of))
            items.append(Symbol(PANEL_CONTACT, (slot.x, y + 5.35), of=of))
            items.append(Polyline(((slot.x, y + 9.1), (slot.x, top + height)), of=of))
    elif minus_outputs and minus:
        y = top + height - 5.4
        xs = [slot.x for slot in minus_outputs] + [minus.x]
        items.append(Polyline(((min(xs), y), (max(xs), y)), BUSBAR, of=of))
        items.append(Polyline(((minus.x, y), (minus.x, top + height)), of=of))
        for slot in minus_outputs:
            items.append(Polyline(((slot.x, top), (slot.x, y - 9.1)), of=of))
            items.append(Symbol(PANEL_CONTACT, (slot.x, y - 5.35), of=of))
            items.append(Polyline(((slot.x, y - 1.6), (slot.x, y)), of=of))
    return items


@dataclass(frozen=True, slots=True)
class Pair:
    """A chain of two-way switches as drawn: where its two common ends are, its wires between, its items."""

    items: list[Drawn]
    first: Point
    last: Point


def draw_pair(
    members: tuple[tuple[str, str], ...], xs: tuple[float, ...], top: float, wires: tuple[Wire, ...]
) -> Pair:
    """Return two-way switches side by side with straight travellers between them.

    `members` are (id, kind); `wires` are the travellers as bare wires, two for each step, whose points are
    filled in here.
    """
    y, items = top + 8.5, []
    first = (xs[0], y)
    x = xs[0] + 5.0
    last = first
    made: list[Drawn] = []
    for place, (id, kind) in enumerate(members):
        of = Link("part", id)
        if place == 0:
            made.append(Symbol(TWO_WAY, (x, y), 90, of=of))
        elif kind == "intermediate":
            made.append(Symbol(INTERMEDIATE, (x, y), 270, of=of))
        else:
            made.append(Symbol(TWO_WAY, (x, y), 270, mirrored=True, of=of))
            last = (x + 5.0, y)
        if place + 1 < len(members):
            for offset, wire in zip((-2.5, 2.5), wires[2 * place : 2 * place + 2], strict=False):
                ends = ((x + 5.0, y + offset), (x + 12.6, y + offset))
                made.append(Wire(ends, wire.core, wire.colours, of=wire.of))
        x += 17.6
    items += made
    return Pair(items, first, last)
