"""Blocks with contacts: relays, selectors, change-over contacts, pairs of two-way switches."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LINKAGE
from loomwright.drawing.lettering import wrap
from loomwright.drawing.paragraphs import fitted
from loomwright.drawing.scene import Anchor, Drawn, Link, Polyline, Symbol, Text, Wire
from loomwright.drawing.symbols_contacts import (
    INTERMEDIATE,
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

from .boxes import EDGE, Box
from .marks import terminal_link


def draw_relay(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
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
    coil_left = coil is None or coil.x <= link_x
    left, right = (link_x, box.xs[-1] + EDGE) if coil_left else (box.xs[0] - EDGE, link_x)
    room = right - left - 2.4
    y, pitch = low + 0.4, 3.7
    if any(left < slot.x < right for slot in box.lower):  # above the name of that terminal
        y, pitch = low - 2.7, 3.5
    for line in [part for text in box.lines for part in wrap(text, room, 2.9)][:3]:
        items.append(fitted((left + 1.2, y), line, room, 2.9, layer="text", of=of))
        y += pitch
    return items


def draw_contact(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return a change-over contact or selector: the common end in its column, the positions beside it."""
    x, common = common_end(box, top, height)
    common_below = common > top
    many = box.upper if common_below else box.lower
    count = max(len(many), 2)
    rests = _resting(box.part, [slot.terminal for slot in many])
    sign = selector(count, 5.0, rests)
    middle = common - 5.0 if common_below else common + 5.0
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
        items.append(Symbol(TERMINAL, (slot.x, edge), of=terminal_link(box.id, slot.terminal)))
        base = edge + 3.9 if common_below else edge - 1.4
        words = fitted((0.0, 0.0), slot.terminal, 12.0, 2.9)
        anchor: Anchor = "end" if place == 0 else "start"
        side = -1.5 if place == 0 else 1.5
        items.append(Text((slot.x + side, base - 4.9 * step), words.text, words.size, anchor=anchor, of=of))
    return items


def common_end(box: Box, top: float, height: float) -> Point:
    """Return where the common end of a change-over contact lies: on the edge that has one slot."""
    below = len(box.lower) <= 1
    many, single = (box.upper, box.lower) if below else (box.lower, box.upper)
    return (single[0].x if single else many[0].x), (top + height if below else top)


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
