"""Draws blocks: boxes with named terminals around their columns, with what is known of their inside."""

from __future__ import annotations

from loomwright.drawing.ink import BUSBAR
from loomwright.drawing.lettering import text_reach_mm, wrap
from loomwright.drawing.paragraphs import fitted
from loomwright.drawing.scene import Anchor, Drawn, Link, Polyline, Poses, Symbol, Text, rectangle
from loomwright.drawing.symbols_contacts import PANEL_CONTACT, TERMINAL_RADIUS
from loomwright.drawing.symbols_parts import TERMINAL

from .boxes import CONTACT_KINDS, EDGE, Box, Slot, shown
from .boxes_contacts import draw_contact, draw_relay
from .marks import terminal_link
from .poses import output_poses

#: Room for the diagonal of a converter and the volts on both sides of it. [mm]
_SLASH_ROOM = 15.0
#: Clear paper around a terminal's name, and from it to the edge of its box. [mm]
_NAME_CLEAR, _NAME_IN = 0.32, 0.7


def draw_box(box: Box, top: float, height: float) -> list[Drawn]:
    """Return the items of a block whose upper edge is at `top`."""
    of = Link("part", box.id)
    kind = box.part.kind
    if kind == "solar_panel":
        return _solar_panel(box, top, of)
    if kind in CONTACT_KINDS and not box.relay_box:
        return draw_contact(box, top, height, of)
    left, right = box.xs[0] - EDGE, box.xs[-1] + EDGE
    items: list[Drawn] = [rectangle(left, top, right - left, height, fill="paper", of=of)]
    if box.relay_box or kind == "sensing_relay":
        items += draw_relay(box, top, height, of)
    elif kind == "control_panel":
        items += _control_panel(box, top, height, of)
    else:
        edge = right
        if kind in ("b2b", "converter") and len(box.xs) > 1:
            edge = right - _SLASH_ROOM
            items += _slash(box, edge + 6.0, top + height / 2, of)
        items += _words(box, left, edge, top, height, of)
    return [*items, *_terminals(box, top, height, of)]


def _terminals(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return the terminals on both edges, each with its name inside the box."""
    items: list[Drawn] = []
    for slots, y, into in ((box.upper, top, 1.0), (box.lower, top + height, -1.0)):
        names: list[Text] = []
        for slot in slots:
            items.append(Symbol(TERMINAL, (slot.x, y), of=terminal_link(box.id, slot.terminal)))
            if shown(slot.terminal):
                names.append(_named(box, slot, y, into, names, of))
        items += names
    return items


def _named(box: Box, slot: Slot, y: float, into: float, names: list[Text], of: Link) -> Text:
    """Return the name of a terminal: right of it, else left, else under it where no line runs into the box.

    Where it has room at none of these it is set smaller, and cut.
    """
    name, off = shown(slot.terminal), max(1.5, slot.half + _NAME_CLEAR)
    base = y + 4.0 if into > 0.0 else y - 1.7
    left, right = box.xs[0] - EDGE + _NAME_IN, box.xs[-1] + EDGE - _NAME_IN
    to_left, to_right = min(slot.x - off - left, 13.0), min(right - slot.x - off, 14.3 - off)
    above, below = text_reach_mm(name, 2.9)
    under = max(TERMINAL_RADIUS, slot.half) + 2 * _NAME_CLEAR
    middle = max(base, y + under + above) if into > 0.0 else min(base, y - under - below)
    spots: list[tuple[Anchor, float, float, float]] = [
        ("start", slot.x + off, base, to_right), ("end", slot.x - off, base, to_left),
    ]  # fmt: skip
    if not _has_lines(box):
        spots.append(("middle", slot.x, middle, 2 * min(slot.x - left, right - slot.x)))
    for anchor, x, at, room in spots:
        text = Text((x, at), name, 2.9, anchor=anchor, of=of)
        free = all(text.box().gap(other.box()) > _NAME_CLEAR for other in names)
        if text.width <= room and free:
            return text
    anchor, x, at, room = max(spots, key=lambda spot: spot[3])
    small = fitted((x, at), name, room, 2.9)
    return Text((x, at), small.text, small.size, anchor=anchor, of=of)


def _has_lines(box: Box) -> bool:
    """True for a box in which lines run from its terminals."""
    return box.relay_box or box.part.kind in ("sensing_relay", "control_panel")


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
        items.append(Text((middle, y), text, size, 600 if strong else 400, "middle", of=of))
        y += 3.9
    return items


def _slash(box: Box, x: float, y: float, of: Link) -> list[Drawn]:
    """Return the diagonal of a converter with the volts of both sides, at the right of the words."""
    before, after = box.volts
    items: list[Drawn] = [Polyline(((x - 3.6, y + 4.2), (x + 3.6, y - 4.2)), of=of)]
    if before:
        items.append(Text((x - 1.6, y - 1.6), before, 2.6, anchor="end", of=of))
    if after:
        items.append(Text((x + 1.4, y + 3.4), after, 2.6, of=of))
    return items


def _solar_panel(box: Box, top: float, of: Link) -> list[Drawn]:
    """Return the grid of a panel; its two ends stand at the inner sides of their columns."""
    xs = [slot.x for slot in (*box.upper, *box.lower)]
    middle = sum(xs) / len(xs)
    half = max(9.0, (max(xs) - min(xs)) / 2 + 2.0)
    items: list[Drawn] = [rectangle(middle - half, top, 2 * half, 12.0, fill="paper", of=of)]
    items += [
        Polyline(((middle + half * k, top), (middle + half * k, top + 12.0)), of=of) for k in (-1 / 3, 1 / 3)
    ]
    items += [Polyline(((middle - half, top + y), (middle + half, top + y)), of=of) for y in (4.0, 8.0)]
    for slot, y in (*((slot, top) for slot in box.upper), *((slot, top + 12.0) for slot in box.lower)):
        items.append(Symbol(TERMINAL, (slot.x, y), of=terminal_link(box.id, slot.terminal)))
    return items


def _control_panel(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return the panel's bar and one contact for each output."""
    plus_outputs = [slot for slot in box.lower if slot.terminal in box.part.outputs]
    minus_outputs = [slot for slot in box.upper if slot.terminal in box.part.outputs]
    items: list[Drawn] = [
        fitted((box.xs[0] - EDGE + 1.0, top + 4.4), box.name, 6.0, 3.3, 600, layer="text", of=of)
    ]
    plus = next((slot for slot in (*box.upper, *box.lower) if slot.terminal == "plus"), None)
    minus = next((slot for slot in box.lower if slot.terminal == "minus"), None)
    if plus_outputs:
        y = top + 5.4
        xs = [slot.x for slot in plus_outputs] + ([plus.x] if plus else [])
        items.append(Polyline(((min(xs), y), (max(xs), y)), BUSBAR, of=of))
        if plus:
            items.append(Polyline(((plus.x, top if plus in box.upper else top + height), (plus.x, y)), of=of))
        for slot in plus_outputs:
            items.append(Polyline(((slot.x, y), (slot.x, y + 1.6)), of=of))
            items.append(Symbol(PANEL_CONTACT, (slot.x, y + 5.35), poses=_output(box, slot), of=of))
            items.append(Polyline(((slot.x, y + 9.1), (slot.x, top + height)), of=of))
    elif minus_outputs and minus:
        y = top + height - 5.4
        xs = [slot.x for slot in minus_outputs] + [minus.x]
        items.append(Polyline(((min(xs), y), (max(xs), y)), BUSBAR, of=of))
        items.append(Polyline(((minus.x, y), (minus.x, top + height)), of=of))
        for slot in minus_outputs:
            items.append(Polyline(((slot.x, top), (slot.x, y - 9.1)), of=of))
            items.append(Symbol(PANEL_CONTACT, (slot.x, y - 5.35), poses=_output(box, slot), of=of))
            items.append(Polyline(((slot.x, y - 1.6), (slot.x, y)), of=of))
    return items


def _output(box: Box, slot: Slot) -> Poses:
    return output_poses(f"{box.id}.{slot.terminal}")
