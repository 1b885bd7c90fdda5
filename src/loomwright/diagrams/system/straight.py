"""Small steps taken out of lines once all of it stands: what passes and what is at a box moves level."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from .moves import least_moves
from .order import Columns, Net, Port, Slot
from .rooms import Rooms
from .things import USED


def straighten(columns: Columns, rooms: Rooms, top: float, bottoms: Sequence[float]) -> None:
    """Move passing places and ports level with what they are joined to, where there is room.

    Parameters
    ----------
    columns, rooms : Columns, Rooms
        With heights in all slots and ports; those of ports and passing places are changed.
    top, bottoms : float, sequence of float
        Of the field, the lower end by column. [mm]
    """
    for column in reversed(columns.slots):
        for slot in column:
            _level_rights(slot, rooms)
    for index, column in enumerate(columns.slots):
        for place, slot in enumerate(column):
            if slot.thing is None:
                _level_passing(column, place, rooms, top, bottoms[index])
            else:
                _level_lefts(slot, rooms)
    for column in reversed(columns.slots):
        for slot in column:
            _level_rights(slot, rooms)


def _level_passing(column: Sequence[Slot], place: int, rooms: Rooms, top: float, bottom: float) -> None:
    slot = column[place]
    wish = rooms.net_of[id(slot.lefts[0])].lefts[0].y
    low, high = top, bottom
    if place:
        above = column[place - 1]
        low = above.bottom + rooms.space(above, slot)
    if place + 1 < len(column):
        below = column[place + 1]
        high = below.top - rooms.head(below) - rooms.space(slot, below)
    if low <= wish <= high:
        slot.lefts[0].y = slot.rights[0].y = slot.top = slot.bottom = wish


def _level_rights(slot: Slot, rooms: Rooms) -> None:
    """Move the ports at the right of a thing level with where their lines go, if there is room."""
    if slot.thing is None:
        return
    for place, port in enumerate(slot.rights):
        wish = rooms.wish(port)
        if wish is None:
            continue
        low, high = slot.top + rooms.measures[slot.key].lead, slot.bottom - rooms.level.edge
        if place:
            low = slot.rights[place - 1].y + rooms.pitch(slot.rights[place - 1], port)
        if place + 1 < len(slot.rights):
            high = slot.rights[place + 1].y - rooms.pitch(port, slot.rights[place + 1])
        if low <= wish <= high:
            port.y = wish


def _level_lefts(slot: Slot, rooms: Rooms) -> None:
    """Move the ports at the left of a thing level with where their lines come from, as far as it goes."""
    ports = slot.lefts
    if slot.thing is None or not ports or (rooms.level.row == 0 and slot.thing.field == USED):
        return
    wishes = [_left_y(port, rooms.net_of) for port in ports]
    steps = [0.0, *(rooms.apart(a.line, b.line) for a, b in pairwise(ports))]
    sums, total = [], 0.0
    for step in steps:
        total += step
        sums.append(total)
    low, high = slot.top + 1.7, slot.bottom - 1.7 - total
    if high < low:
        return
    free = [(w if w is not None else p.y) - at for w, p, at in zip(wishes, ports, sums, strict=True)]
    for port, value, at in zip(ports, least_moves(free), sums, strict=True):
        port.y = min(max(value, low), high) + at


def _left_y(port: Port, net_of: Mapping[int, Net]) -> float | None:
    net = net_of[id(port)]
    if not net.lefts or port in net.lefts:
        return None
    return net.lefts[0].y
