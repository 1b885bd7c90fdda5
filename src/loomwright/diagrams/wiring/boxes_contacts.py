"""Blocks with contacts: relays, selectors, change-over contacts, pairs of two-way switches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

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
    RELAY_CONTACT_ON,
    SENSING,
    TWO_WAY,
    selector,
)
from loomwright.drawing.symbols_parts import TERMINAL
from loomwright.plan.kinds import rest_state
from loomwright.plan.model import Part

from .boxes import EDGE, Box, Slot
from .marks import terminal_link
from .poses import (
    UPPER,
    closed_at,
    contact_poses,
    intermediate_poses,
    selector_poses,
    two_way_poses,
)


def draw_relay(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return contact, coil or sensor and settings within the box of a relay that joins two batteries."""
    heavy = [slot for slot in box.upper if slot.terminal in ("30", "87", "a", "b", "in", "out")]
    coils = [slot for slot in box.upper if slot.terminal == "86"]
    across, low = top + 8.5, top + height - 9.0
    items: list[Drawn] = []
    link_x = box.xs[-1]
    pair = next(((one, two) for one, two in pairwise(heavy) if one.terminal != two.terminal), None)
    if pair is not None:
        one, two = pair
        link_x = (one.x + two.x) / 2
        ends = {one.terminal, two.terminal}
        poses = contact_poses(box.id, box.part, ends, RELAY_CONTACT, RELAY_CONTACT_ON)
        items += [
            *_down(heavy, one, (top, across), link_x - 5.0, of),
            *_down(heavy, two, (top, across), link_x + 5.0, of),
            Symbol(RELAY_CONTACT, (link_x, across), 90, mirrored=True, poses=poses, of=of),
        ]
    x, level, half = link_x, low, 3.75
    if coils:
        below = [slot for slot in box.lower if slot.terminal == "85"]
        x = _over(coils, below).x
        items += _coil(box, coils, below, (x, low), (top, top + height), of)
    elif box.part.kind == "sensing_relay" and heavy:
        below = [slot for slot in box.lower if slot.terminal == "minus"]
        x, level, half = _over(heavy, below).x, low - 1.0, 5.0
        items += [
            Polyline(((x, across), (x, low - 4.75)), of=of),
            Symbol(SENSING, (x, level), values=(("act", "U >"),), of=of),
            *(_joined(slot, top + height, (x, low + 2.75), of) for slot in below),
        ]
    if x != link_x:
        side = half if x < link_x else -half
        link = ((x + side, level), (link_x, level), (link_x, across + 2.3))
        items.append(Polyline(link, LINKAGE, of=of))
    return [*items, *_settings(box, low, x, link_x, of)]


def _coil(
    box: Box, coils: Sequence[Slot], below: Sequence[Slot], at: Point, edges: Point, of: Link
) -> list[Drawn]:
    """Return the coil of a relay with the lines to its terminals on both edges."""
    (x, y), (top, foot) = at, edges
    sign = RELAY_COIL_LATCHING if box.part.latching is True else RELAY_COIL
    return [
        *(_joined(slot, top, (x, y - 2.5), of) for slot in coils),
        Symbol(sign, at, of=of),
        *(_joined(slot, foot, (x, y + 2.5), of) for slot in below),
    ]


def _settings(box: Box, low: float, x: float, link_x: float, of: Link) -> Iterator[Text]:
    """Yield the settings of a relay on the side of its link that coil or sensor, at `x`, leaves free."""
    left, right = (link_x, box.xs[-1] + EDGE) if x <= link_x else (box.xs[0] - EDGE, link_x)
    beside = [slot for slot in box.lower if left < slot.x < right]
    y, pitch, size = low + 0.4, 3.7, 2.9
    if beside:  # above the name of that terminal, or the line from it
        lines = any(slot.terminal in ("85", "minus") and slot.x != x for slot in beside)
        y, pitch, size = (low - 2.6, 3.0, 2.6) if lines else (low - 2.7, 3.5, 2.9)
    room = right - left - 2.4
    for line in [part for text in box.lines for part in wrap(text, room, size)][:3]:
        yield fitted((left + 1.2, y), line, room, size, layer="text", of=of)
        y += pitch


def _down(slots: Sequence[Slot], main: Slot, between: Point, to_x: float, of: Link) -> Iterator[Drawn]:
    """Yield the line from a terminal down to the end of a contact, and there from others of the same name."""
    top, across = between
    for slot in slots:
        if slot.terminal == main.terminal and (slot == main or (slot.x < main.x) == (main.x < to_x)):
            yield Polyline(((slot.x, top), (slot.x, across), (to_x, across)), of=of)


def _over(slots: Sequence[Slot], below: Sequence[Slot]) -> Slot:
    """Return the terminal that stands over one on the lower edge, the first if none does."""
    return next((slot for slot in slots if any(one.x == slot.x for one in below)), slots[0])


def _joined(slot: Slot, edge: float, at: Point, of: Link) -> Drawn:
    """Return the line from a terminal on an edge of the box to that end of a coil or sensor."""
    x, y = at
    if slot.x == x:
        return Polyline(((x, edge), at), of=of)
    beside = y - 1.6 if edge < y else y + 1.6
    return Polyline(((slot.x, edge), (slot.x, beside), (x, beside), at), of=of)


def draw_contact(box: Box, top: float, height: float, of: Link) -> list[Drawn]:
    """Return a change-over contact or selector: the common end in its column, the positions beside it."""
    x, common = common_end(box, top, height)
    common_below = common > top
    many = box.upper if common_below else box.lower
    count = max(len(many), 2)
    names = [slot.terminal for slot in many]
    sign = selector(count, 5.0, closed_at(box.part, names, rest_state(box.part) or ""))
    poses = selector_poses(box.id, box.part, names, 5.0)
    middle = common - 5.0 if common_below else common + 5.0
    turned = not common_below
    symbol = Symbol(sign, (x, middle), 180 if turned else 0, mirrored=turned, poses=poses, of=of)
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


@dataclass(frozen=True, slots=True)
class Pair:
    """A chain of two-way switches as drawn: where its two common ends are, its wires between, its items."""

    items: list[Drawn]
    first: Point
    last: Point


def draw_pair(
    members: Mapping[str, Part],
    xs: tuple[float, ...],
    top: float,
    wires: tuple[Wire, ...],
    levels: Mapping[str, Mapping[str, int]],
) -> Pair:
    """Return two-way switches side by side with straight travellers between them.

    `wires` are the travellers as bare wires, two for each step, whose points are filled in here; `levels`
    says by switch and terminal whether the upper or the lower of them ends there.
    """
    y, items = top + 8.5, []
    first = (xs[0], y)
    x = xs[0] + 5.0
    last = first
    made: list[Drawn] = []
    for place, (id, part) in enumerate(members.items()):
        of, met = Link("part", id), levels[id]
        if part.kind == "intermediate":
            poses = intermediate_poses(id, part, met)
            made.append(Symbol(INTERMEDIATE, (x, y), 270, poses=poses, of=of))
        elif place == 0:
            made.append(Symbol(TWO_WAY, (x, y), 90, poses=two_way_poses(id, part, met, UPPER), of=of))
        else:
            poses = two_way_poses(id, part, met, UPPER)
            made.append(Symbol(TWO_WAY, (x, y), 270, mirrored=True, poses=poses, of=of))
            last = (x + 5.0, y)
        if place + 1 < len(members):
            for offset, wire in zip((-2.5, 2.5), wires[2 * place : 2 * place + 2], strict=False):
                ends = ((x + 5.0, y + offset), (x + 12.6, y + offset))
                made.append(Wire(ends, wire.core, wire.colours, of=wire.of))
        x += 17.6
    items += made
    return Pair(items, first, last)
