"""How high everything stands: rows of what is used from the top, all else level with what it feeds.

Columns are placed from the right to the left. What a thing wants is to be level with what it feeds; where
two want the same place they move apart as little as the sum of all moves allows, so most lines stay straight
(isotonic regression under the sum of absolute moves). All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.drawing.ink import WIRE_OUTLINE_MM, core_width_mm

from .levels import Level
from .moves import least_moves
from .order import Columns, Net, Port, Slot
from .things import USED, Line, Thing

#: One ratio for all wires of the sheet.
RATIO = 0.7
#: Clear paper between outlines of wires, and what rows at least keep. [mm]
_CLEAR, _LEAST = 2.05, 3.0
#: A bar is fed no lower than this below its top, so that a longer bar moves nothing. [mm]
_FED_AT = 30.0
#: Rows hang no further down than this to be level with their bar. [mm]
_HANGS = 45.0


#: Between lists of things that are fed from different boxes. [mm]
LIST_GAP = 2.7


@dataclass(frozen=True, slots=True)
class Measures:
    """The room a thing asks for: box height, room above for a bar's name, may it grow, first way."""

    height: float
    head: float
    grows: bool
    lead: float


def width_of(thing: Thing, level: Level) -> float:
    """Return how wide a thing's box is; a combined unit tells its contents and the names of its ways."""
    return level.widths[thing.field] + (12.0 if thing.kind == "unit" else 0.0)


class Placer:
    """Gives slots and ports their heights."""

    def __init__(
        self,
        columns: Columns,
        level: Level,
        measures: Mapping[str, Measures],
        areas: Mapping[str, float],
        top: float,
        bottom: float,
    ) -> None:
        self.columns, self.level, self.measures, self.areas = columns, level, measures, areas
        self.top, self.bottom = top, bottom
        self.net_of: dict[int, Net] = {id(port): net for net in columns.nets for port in net.ports}
        self.linked = {(id(u.above), id(u.below)) for u in columns.uprights}
        self.lowest = top
        self.floors: dict[str, float] = {}
        self.halves: dict[int, float] = {}

    def place(self) -> bool:
        """Place all columns; say whether all of it fits.

        Rows whose bar could not come as high as they are hang lower in a second go, if there is room.
        """
        if not self._columns():
            return False
        floors = self._hanging()
        if floors:
            self.floors = floors
            if not self._columns():
                self.floors = {}
                self._columns()
        for _ in range(2):
            self._straighten()
        for slot in (slot for column in self.columns.slots for slot in column):
            slot.top, slot.bottom = round(slot.top, 2), round(slot.bottom, 2)
            for port in (*slot.lefts, *slot.rights):
                port.y = round(port.y, 2)
        return True

    def _columns(self) -> bool:
        """Place the columns from the right to the left."""
        last = len(self.columns.slots) - 1
        self.lowest = self.top
        for index in range(last, -1, -1):
            column = self.columns.slots[index]
            used = index == last and all(slot.thing and slot.thing.field == USED for slot in column)
            if not (self._rows(column) if used else self._column(column)):
                return False
            for slot in column:
                self._spread_lefts(slot)
        return True

    def _hanging(self) -> dict[str, float]:
        """Return the heights of ways that lie lower than the rows they feed, by row."""
        found = {}
        for slot in self.columns.slots[-1]:
            net = self.net_of[id(slot.lefts[0])] if slot.lefts else None
            if net is not None and net.lefts and net.rights[:1] == slot.lefts[:1]:
                below = net.lefts[0].y - slot.lefts[0].y
                if 0.2 < below < _HANGS:
                    found[slot.key] = net.lefts[0].y
        return found

    def _straighten(self) -> None:
        """Take small steps out of lines: passing places and ports move level where there is room."""
        for column in self.columns.slots:
            for place, slot in enumerate(column):
                if slot.thing is None:
                    self._level_passing(column, place)
                else:
                    self._level_lefts(slot)
        for column in reversed(self.columns.slots):
            for slot in column:
                self._level_rights(slot)

    def _level_passing(self, column: Sequence[Slot], place: int) -> None:
        slot = column[place]
        wish = self.net_of[id(slot.lefts[0])].lefts[0].y
        low, high = self.top, self.bottom
        if place:
            above = column[place - 1]
            low = above.bottom + self._space(above, slot)
        if place + 1 < len(column):
            below = column[place + 1]
            head = self.measures[below.key].head if below.thing else 0.0
            high = below.top - head - self._space(slot, below)
        if low <= wish <= high:
            slot.lefts[0].y = slot.rights[0].y = slot.top = slot.bottom = wish

    def _level_rights(self, slot: Slot) -> None:
        """Move the ports at the right of a thing level with where their lines go, if there is room."""
        if slot.thing is None:
            return
        for place, port in enumerate(slot.rights):
            wish = self._wish(port)
            if wish is None:
                continue
            low, high = slot.top + self.measures[slot.key].lead, slot.bottom - self.level.edge
            if place:
                low = slot.rights[place - 1].y + self._pitch(slot.rights[place - 1], port)
            if place + 1 < len(slot.rights):
                high = slot.rights[place + 1].y - self._pitch(port, slot.rights[place + 1])
            if low <= wish <= high:
                port.y = wish

    def half(self, line: Line) -> float:
        """Return half of a line's outline."""
        if id(line) not in self.halves:
            area = max((self.areas.get(wire, 1.0) for wire in line.wires), default=1.0)
            half = core_width_mm(area, RATIO) / 2 + WIRE_OUTLINE_MM
            self.halves[id(line)] = 0.2 if line.control else half
        return self.halves[id(line)]

    def apart(self, one: Line, other: Line) -> float:
        """Return the least distance of two parallel lines."""
        return max(_LEAST, self.half(one) + self.half(other) + _CLEAR)

    def _rows(self, column: Sequence[Slot]) -> bool:
        """Set what is used one below the other from the top."""
        y, before = self.top + self._first_row(column), None
        for slot in column:
            gap = self.level.row_gap
            if before is not None and self.level.row == 0:
                gap = 0.0 if same_list(before, slot, self.net_of) else LIST_GAP
            y += 0.0 if before is None else gap
            height = max(self.level.row_height, self._port_room(slot.lefts))
            if before is not None and before.lefts and slot.lefts:
                short = self._row_step(before, slot) - (y + height / 2 - (before.top + before.bottom) / 2)
                if same_list(before, slot, self.net_of):
                    height += 2 * max(0.0, short)
                else:
                    y += max(0.0, short)
            y = max(y, self.floors.get(slot.key, y) - height / 2)
            slot.top, slot.bottom = y, y + height
            y, before = slot.bottom, slot
        self.lowest = max(self.lowest, y)
        return y <= self.bottom

    def _first_row(self, column: Sequence[Slot]) -> float:
        """Return how far the first row hangs down, so that the bar that feeds it has room for its name."""
        asked = self.measures.get(column[0].lefts[0].line.start) if column and column[0].lefts else None
        if asked is None or not asked.head:
            return 0.0
        return max(0.0, asked.head + asked.lead - self.level.row_height / 2)

    def _row_step(self, above: Slot, below: Slot) -> float:
        """Return the least distance of two rows: wires apart, room between two bars that feed them."""
        one, other = above.lefts[0].line, below.lefts[0].line
        step = self.apart(above.lefts[-1].line, other)
        asked = self.measures.get(other.start)
        if one.start == other.start or asked is None or not asked.head:
            return step
        between = max(0.8, self.level.gap - asked.head / 2)
        return max(step, self.level.edge + between + asked.head + asked.lead + 0.02)

    def _port_room(self, ports: Sequence[Port]) -> float:
        """Return how high a box has to be for its ports at one side."""
        if len(ports) < 2:
            return 0.0
        return (len(ports) - 1) * max(_LEAST, *(self.apart(p.line, p.line) for p in ports)) + 3.4

    def _column(self, column: Sequence[Slot]) -> bool:
        """Place a column level with what stands right of it."""
        steps: list[float] = []
        wishes: list[float | None] = []
        owners: list[tuple[Slot, list[Port]]] = []
        before: Slot | None = None
        after = 0.0
        for slot in column:
            self._order_rights(slot)
            groups = self._items(slot)
            above, below = self._margins(slot, len(groups) > 1 or self._grows(slot))
            for place, (wish, ports) in enumerate(groups):
                if place:
                    steps.append(self._pitch(groups[place - 1][1][0], ports[0]))
                elif before is None:
                    steps.append(above)
                else:
                    steps.append(after + self._space(before, slot) + above)
                wishes.append(wish)
                owners.append((slot, ports))
            before, after = slot, below
        if not owners:
            return True
        heights = self._settle(steps, wishes, after)
        self._set(owners, heights)
        lowest = max(slot.bottom for slot in column)
        self.lowest = max(self.lowest, lowest)
        return lowest <= self.bottom + 0.01

    def _grows(self, slot: Slot) -> bool:
        return slot.thing is not None and self.measures[slot.key].grows and bool(slot.rights)

    def _wish(self, port: Port) -> float | None:
        net = self.net_of[id(port)]
        return net.rights[0].y if net.rights and port in net.lefts else None

    def _order_rights(self, slot: Slot) -> None:
        def wish(port: Port) -> float:
            found = self._wish(port)
            if found is not None:
                return found
            partner = next(p for p in self.net_of[id(port)].ports if p is not port)
            return 1e6 if _below(partner.slot, slot, self.columns) else -1e6

        slot.rights.sort(key=wish)

    def _items(self, slot: Slot) -> list[tuple[float | None, list[Port]]]:
        """Return what is placed of a slot: each port of a thing that grows, else the whole."""
        if self._grows(slot):
            return [(self._wish(port), [port]) for port in slot.rights]
        wishes = []
        for port, offset in zip(slot.rights, self._offsets(slot), strict=True):
            wish = self._wish(port)
            if wish is not None:
                wishes.append(wish - offset)
        wishes.sort()
        return [(wishes[len(wishes) // 2] if wishes else None, list(slot.rights))]

    def _offsets(self, slot: Slot) -> list[float]:
        ports = slot.rights
        steps = [self._pitch(a, b) for a, b in pairwise(ports)]
        total, offset, found = sum(steps), 0.0, []
        for step in (*steps, 0.0):
            found.append(offset - total / 2)
            offset += step
        return found[: len(ports)]

    def _pitch(self, one: Port, other: Port) -> float:
        labels = self._labelled(one) and self._labelled(other)
        return max(self.level.pitch if labels else 0.0, self.apart(one.line, other.line))

    def _labelled(self, port: Port) -> bool:
        """Say whether a label stands at a port's line: not where it leads to what is used."""
        return not any(p.slot.thing and p.slot.thing.field == USED for p in self.net_of[id(port)].rights)

    def _margins(self, slot: Slot, per_port: bool) -> tuple[float, float]:
        """Return how far a slot reaches above its first item and below its last."""
        if slot.thing is None:
            return 0.0, 0.0
        asked = self.measures[slot.key]
        height = max(asked.height, self._port_room(slot.lefts))
        if not per_port:
            room = max(height, 2 * 1.8 + sum(self._step_list(slot)))
            return room / 2 + asked.head, room / 2
        spare = max(height - sum(self._step_list(slot)), 2 * self.level.edge)
        above = max(spare / 2, asked.lead)
        return above + asked.head, max(spare - above, self.level.edge)

    def _step_list(self, slot: Slot) -> list[float]:
        return [self._pitch(a, b) for a, b in pairwise(slot.rights)]

    def _space(self, above: Slot, below: Slot) -> float:
        if (id(above), id(below)) in self.linked:
            return self.level.link
        if above.thing is None and below.thing is None:
            return self.apart(_line(above), _line(below))
        if above.thing is None or below.thing is None:
            passing = above if above.thing is None else below
            return self.half(_line(passing)) + 1.9
        head = self.measures[below.key].head
        # The words above a bar fill the gap before it.
        return max(0.8, self.level.gap - head / 2)

    def _settle(self, steps: Sequence[float], wishes: Sequence[float | None], after: float) -> list[float]:
        """Return heights that keep the steps, as near to the wishes as the sum of moves allows."""
        sums, total = [], 0.0
        for step in steps:
            total += step
            sums.append(total)
        free: list[float] = []
        for wish, at in zip(wishes, sums, strict=True):
            free.append(
                free[-1] if wish is None and free else (wish if wish is not None else self.top + at) - at
            )
        low, high = self.top, self.bottom - after - total
        settled = [min(max(value, low), max(low, high)) for value in least_moves(free)]
        return [value + at for value, at in zip(settled, sums, strict=True)]

    def _set(self, owners: Sequence[tuple[Slot, list[Port]]], heights: Sequence[float]) -> None:
        """Write heights into ports and slots."""
        first: dict[int, float] = {}
        margins: dict[int, tuple[float, float]] = {}
        for (slot, ports), height in zip(owners, heights, strict=True):
            grows = self._grows(slot)
            if grows:
                ports[0].y = height
            else:
                for port, offset in zip(ports, self._offsets(slot), strict=True):
                    port.y = height + offset
            if id(slot) not in margins:
                margins[id(slot)] = self._margins(slot, grows)
            above, below = margins[id(slot)]
            start = first.setdefault(id(slot), height)
            head = self.measures[slot.key].head if slot.thing else 0.0
            slot.top, slot.bottom = start - above + head, height + below
            if slot.thing is None:
                for port in slot.lefts:
                    port.y = height

    def _spread_lefts(self, slot: Slot) -> None:
        """Set the ports at the left of a thing around its middle, in the order in which lines come."""
        if slot.thing is None:
            return
        slot.lefts.sort(key=lambda port: _come_from(port, self.net_of, self.columns))
        middle = (slot.top + slot.bottom) / 2
        if slot.bottom - slot.top > 2 * _FED_AT:
            middle = slot.top + _FED_AT
        count = len(slot.lefts)
        step = max(_LEAST, min(self.level.pitch, (slot.bottom - slot.top - 3.4) / max(1, count - 1)))
        for place, port in enumerate(slot.lefts):
            port.y = middle + (place - (count - 1) / 2) * step

    def _level_lefts(self, slot: Slot) -> None:
        """Move the ports at the left of a thing level with where their lines come from, as far as it goes."""
        ports = slot.lefts
        if slot.thing is None or not ports or (self.level.row == 0 and slot.thing.field == USED):
            return
        wishes = [_left_y(port, self.net_of) for port in ports]
        steps = [0.0, *(self.apart(a.line, b.line) for a, b in pairwise(ports))]
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


def _line(slot: Slot) -> Line:
    return (slot.lefts or slot.rights)[0].line


def _below(one: Slot, other: Slot, columns: Columns) -> bool:
    column = columns.slots[other.column]
    return column.index(one) > column.index(other)


def _come_from(port: Port, net_of: Mapping[int, Net], columns: Columns) -> tuple[float, int]:
    net = net_of[id(port)]
    if not net.lefts:
        return 0.0, port.line.order
    far = net.lefts[0].slot
    return float(columns.slots[far.column].index(far)), port.line.order


def _left_y(port: Port, net_of: Mapping[int, Net]) -> float | None:
    net = net_of[id(port)]
    if not net.lefts or port in net.lefts:
        return None
    return net.lefts[0].y


def same_list(one: Slot, other: Slot, net_of: Mapping[int, Net]) -> bool:
    """Say whether two things that are used hang on the same box, or are both not wired."""
    if len(one.lefts) > 1 or len(other.lefts) > 1:
        return False

    def feeder(slot: Slot) -> str:
        return slot.lefts[0].line.start if slot.lefts else ""

    return feeder(one) == feeder(other)
