"""How high everything stands: rows of what is used from the top, all else level with what it feeds.

Columns are placed from the right to the left. What a thing wants is to be level with what it feeds; where
two want the same place they move apart as little as the sum of all moves allows, so most lines stay straight
(isotonic regression under the sum of absolute moves). All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .moves import least_moves
from .order import Columns, Net, Port, Slot
from .rooms import LEAST, Rooms
from .straight import straighten
from .things import USED

#: Below the top of the field, where what reaches so far is fed: a longer bar moves nothing. [mm]
_MAIN_LINE = 62.0
#: Rows hang no further down than this to be level with their bar. [mm]
_HANGS = 45.0
#: Roomy rows are set as if they were so many, or twice as many: one more seldom makes the sheet denser.
_SPARE = 4
#: Between lists of things that are fed from different boxes. [mm]
LIST_GAP = 2.7


class Placer:
    """Gives slots and ports their heights."""

    def __init__(self, columns: Columns, rooms: Rooms, top: float, bottoms: Sequence[float]) -> None:
        self.columns, self.rooms = columns, rooms
        self.top, self.bottoms = top, bottoms
        self.lowest = top
        self.floors: dict[str, float] = {}

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
            straighten(self.columns, self.rooms, self.top, self.bottoms)
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
            if not (self._rows(column) if used else self._column(column, self.bottoms[index])):
                return False
            for slot in column:
                self._spread_lefts(slot)
        return True

    def _hanging(self) -> dict[str, float]:
        """Return the heights of ways that lie lower than the rows they feed, by row."""
        found = {}
        for slot in self.columns.slots[-1]:
            net = self.rooms.net_of[id(slot.lefts[0])] if slot.lefts else None
            if net is not None and net.lefts and net.rights[:1] == slot.lefts[:1]:
                below = net.lefts[0].y - slot.lefts[0].y
                if 0.2 < below < _HANGS:
                    found[slot.key] = net.lefts[0].y
        return found

    def _rows(self, column: Sequence[Slot]) -> bool:
        """Set what is used one below the other from the top."""
        y, before = self.top + self._first_row(column), None
        for slot in column:
            gap = self.rooms.level.row_gap
            if before is not None and self.rooms.level.row == 0:
                gap = 0.0 if same_list(before, slot, self.rooms.net_of) else LIST_GAP
            y += 0.0 if before is None else gap
            height = max(self.rooms.level.row_height, self.rooms.port_room(slot.lefts))
            if before is not None and before.lefts and slot.lefts:
                short = self.rooms.row_step(before, slot) - (
                    y + height / 2 - (before.top + before.bottom) / 2
                )
                if same_list(before, slot, self.rooms.net_of):
                    height += 2 * max(0.0, short)
                else:
                    y += max(0.0, short)
            y = max(y, self.floors.get(slot.key, y) - height / 2)
            slot.top, slot.bottom = y, y + height
            y, before = slot.bottom, slot
        self.lowest = max(self.lowest, y)
        spare = -len(column) % _SPARE if self.rooms.level.row == 3 else 0
        return y + spare * (self.rooms.level.row_height + self.rooms.level.row_gap) <= self.bottoms[-1]

    def _first_row(self, column: Sequence[Slot]) -> float:
        """Return how far the first row hangs down, so that the bar that feeds it has room for its name."""
        asked = self.rooms.measures.get(column[0].lefts[0].line.start) if column and column[0].lefts else None
        if asked is None or not asked.head:
            return 0.0
        return max(0.0, asked.head + asked.lead - self.rooms.level.row_height / 2)

    def _column(self, column: Sequence[Slot], bottom: float) -> bool:
        """Place a column level with what stands right of it."""
        steps: list[float] = []
        wishes: list[float | None] = []
        owners: list[tuple[Slot, list[Port]]] = []
        before: Slot | None = None
        after = 0.0
        for slot in column:
            self._order_rights(slot)
            groups = self._items(slot)
            above, below = self.rooms.margins(slot, len(groups) > 1 or self.rooms.grows(slot))
            for place, (wish, ports) in enumerate(groups):
                if place:
                    steps.append(self.rooms.pitch(groups[place - 1][1][0], ports[0]))
                elif before is None:
                    steps.append(above)
                else:
                    steps.append(after + self.rooms.space(before, slot) + above)
                wishes.append(wish)
                owners.append((slot, ports))
            before, after = slot, below
        if not owners:
            return True
        heights = self._settle(steps, wishes, bottom - after)
        self._set(owners, heights)
        lowest = max(slot.bottom for slot in column)
        self.lowest = max(self.lowest, lowest)
        return lowest <= bottom + 0.01

    def _order_rights(self, slot: Slot) -> None:
        def wish(port: Port) -> float:
            found = self.rooms.wish(port)
            if found is not None:
                return found
            partner = next(p for p in self.rooms.net_of[id(port)].ports if p is not port)
            return 1e6 if _below(partner.slot, slot, self.columns) else -1e6

        slot.rights.sort(key=wish)

    def _items(self, slot: Slot) -> list[tuple[float | None, list[Port]]]:
        """Return what is placed of a slot: each port of a thing that grows, else the whole."""
        if self.rooms.grows(slot):
            return [(self.rooms.wish(port), [port]) for port in slot.rights]
        wishes = []
        for port, offset in zip(slot.rights, self.rooms.offsets(slot), strict=True):
            wish = self.rooms.wish(port)
            if wish is not None:
                wishes.append(wish - offset)
        wishes.sort()
        return [(wishes[len(wishes) // 2] if wishes else None, list(slot.rights))]

    def _settle(self, steps: Sequence[float], wishes: Sequence[float | None], bottom: float) -> list[float]:
        """Return heights that keep the steps, as near to the wishes as the sum of moves allows."""
        sums, total = [], 0.0
        for step in steps:
            total += step
            sums.append(total)
        wished = [None if wish is None else wish - at for wish, at in zip(wishes, sums, strict=True)]
        before = next((value for value in wished if value is not None), self.top)
        free: list[float] = []
        for value in wished:
            # What wishes nothing keeps close to what stands above it, at the top to what stands below.
            before = before if value is None else value
            free.append(before)
        low, high = self.top, bottom - total
        settled = [min(max(value, low), max(low, high)) for value in least_moves(free)]
        return [value + at for value, at in zip(settled, sums, strict=True)]

    def _set(self, owners: Sequence[tuple[Slot, list[Port]]], heights: Sequence[float]) -> None:
        """Write heights into ports and slots."""
        first: dict[int, float] = {}
        margins: dict[int, tuple[float, float]] = {}
        for (slot, ports), height in zip(owners, heights, strict=True):
            grows = self.rooms.grows(slot)
            if grows:
                ports[0].y = height
            else:
                for port, offset in zip(ports, self.rooms.offsets(slot), strict=True):
                    port.y = height + offset
            if id(slot) not in margins:
                margins[id(slot)] = self.rooms.margins(slot, grows)
            above, below = margins[id(slot)]
            start = first.setdefault(id(slot), height)
            slot.top, slot.bottom = start - above + self.rooms.head(slot), height + below
            if slot.thing is None:
                for port in slot.lefts:
                    port.y = height

    def _spread_lefts(self, slot: Slot) -> None:
        """Set the ports at the left of a thing around its middle, in the order in which lines come."""
        if slot.thing is None:
            return
        slot.lefts.sort(key=lambda port: _come_from(port, self.rooms.net_of, self.columns))
        count = len(slot.lefts)
        step = max(LEAST, min(self.rooms.level.pitch, (slot.bottom - slot.top - 3.4) / max(1, count - 1)))
        middle = self._fed_at(slot, (count - 1) * step / 2)
        for place, port in enumerate(slot.lefts):
            port.y = middle + (place - (count - 1) / 2) * step

    def _fed_at(self, slot: Slot, half: float) -> float:
        """Return the middle of the ports at the left of a thing, which reach `half` up and down.

        A thing that is as long as its ways ask is fed down to the main line, or level with its first way, so
        that one more way at its end moves nothing before it.
        """
        if not self.rooms.grows(slot):
            return (slot.top + slot.bottom) / 2
        low, high = slot.top + 1.7 + half, slot.bottom - 1.7 - half
        line = self.top + _MAIN_LINE
        at = line - half if slot.top <= line <= slot.bottom - 1.7 else slot.rights[0].y
        return min(max(at, low), max(low, high))


def _below(one: Slot, other: Slot, columns: Columns) -> bool:
    column = columns.slots[other.column]
    return column.index(one) > column.index(other)


def _come_from(port: Port, net_of: Mapping[int, Net], columns: Columns) -> tuple[float, int]:
    net = net_of[id(port)]
    if not net.lefts:
        return 0.0, port.line.order
    far = net.lefts[0].slot
    return float(columns.slots[far.column].index(far)), port.line.order


def same_list(one: Slot, other: Slot, net_of: Mapping[int, Net]) -> bool:
    """Say whether two things that are used hang on the same box, or are both not wired."""
    if len(one.lefts) > 1 or len(other.lefts) > 1:
        return False

    def feeder(slot: Slot) -> str:
        return slot.lefts[0].line.start if slot.lefts else ""

    return feeder(one) == feeder(other)
